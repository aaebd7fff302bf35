"""Where cases stand on disk, and who may write them."""

import secrets
from datetime import datetime
from pathlib import Path

from radmeasure.errors import CaseError
from radmeasure.files import case_lock
from radmeasure.files.case_file import SUFFIX
from radmeasure.files.data_folder import data_folder


def unsaved_folder():
    """Where new cases live until the user gives them a place."""
    return data_folder() / "unsaved"


def unsaved_cases():
    """Paths of automatic cases that were never given a place, newest last."""
    found = unsaved_folder().glob(f"*{SUFFIX}")
    return sorted(found, key=lambda path: path.stat().st_mtime)


def automatic_path():
    """A free path for a new case: date and chance, nothing about the patient.

    Raises
    ------
    CaseError
        The data folder cannot be made.
    """
    folder = unsaved_folder()
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    except OSError as error:
        raise CaseError(
            f"the data folder {folder} cannot be made: {error.strerror}",
            "set RADMEASURE_DATA to a folder that can be written",
        ) from error
    stamp = datetime.now().strftime("%Y-%m-%d")
    while True:
        path = folder / f"case {stamp} {secrets.token_hex(3)}{SUFFIX}"
        if not path.exists():
            return path


def suggested_name(teeth):
    """A file name for 'save as': date and teeth; never label or identity."""
    what = f"tooth {'-'.join(teeth)}" if teeth else "case"
    return f"{datetime.now():%Y-%m-%d} {what}{SUFFIX}"


def try_lock(path):
    """Try to become the one who writes.

    Returns
    -------
    lock : CaseLock or None
    holder : Holder or None
        Who has the case when there is no lock for us.
    note : str
        What the user should know, '' for nothing.
    """
    try:
        lock, holder = case_lock.take(path)
    except OSError as error:
        return None, None, f"{Path(path).name} is open for reading only ({error.strerror})"
    if lock is None:
        return None, holder, held_words(holder)
    if lock.was_left:
        return lock, None, "the last session ended without closing; all it showed is here"
    return lock, None, ""


def held_words(holder):
    return f"{holder.words} has this case open; here you can look, not change"


def lock_target(path):
    """The lock of a file that is to be written anew.

    Raises
    ------
    CaseError
        Its folder cannot be written, or it is open somewhere.
    """
    try:
        lock, holder = case_lock.take(path)
    except OSError as error:
        raise CaseError(
            f"{Path(path).name} cannot be written: {error.strerror}", "choose another place"
        ) from error
    if lock is None:
        raise CaseError(f"{Path(path).name} is open: {holder.words}", "choose another name")
    return lock
