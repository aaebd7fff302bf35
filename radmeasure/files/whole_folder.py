"""A folder of results that appears whole or not at all."""

import contextlib
import os
import shutil
import tempfile
from pathlib import Path

from radmeasure.errors import InputError, OutputError
from radmeasure.files.text import folder_for_output


def check_free(folder):
    """Refuse a place that is a file, or a folder that holds something.

    Raises
    ------
    InputError, OutputError
    """
    folder = Path(folder)
    try:
        if folder.exists() and not folder.is_dir():
            raise InputError(f"{folder} is a file", "name a new folder")
        if folder.is_dir() and any(folder.iterdir()):
            raise InputError(f"{folder} holds files already", "name a new or empty folder")
    except OSError as cause:
        raise _not_written(folder, cause) from None


@contextlib.contextmanager
def whole_folder(folder):
    """A folder beside ``folder`` to write into; it takes that name when the block ends well.

    Raises
    ------
    InputError
        Something is there already.
    OutputError
    """
    folder = Path(folder)
    check_free(folder)
    parent = folder_for_output(folder.absolute().parent)
    try:
        beside = Path(tempfile.mkdtemp(prefix=".radmeasure-", dir=parent))
    except OSError as cause:
        raise _not_written(folder, cause) from None
    try:
        yield beside
        _put_in_place(beside, folder)
    except BaseException:
        shutil.rmtree(beside, ignore_errors=True)
        raise


def _put_in_place(beside, folder):
    try:
        umask = os.umask(0)
        os.umask(umask)
        beside.chmod(0o777 & ~umask)
        if folder.is_dir():
            folder.rmdir()
        beside.rename(folder)
    except OSError as cause:
        raise _not_written(folder, cause) from None


def _not_written(folder, cause):
    return OutputError(
        f"{folder!s:.200} cannot be written ({cause.strerror or cause})",
        "choose another folder",
    )
