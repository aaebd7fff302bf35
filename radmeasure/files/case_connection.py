"""SQLite connections of a case file, and its errors in words."""

import contextlib
import os
import sqlite3
import sys
import uuid
from pathlib import Path

from radmeasure.errors import CaseError


def sync_folder(folder):
    """Make a new or renamed file's name durable, where the system can."""
    if sys.platform == "win32":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


_SAFE = "everything before it is safe on disk"
_REASONS = {
    "SQLITE_FULL": ("the disk is full", "make room and do it again"),
    "SQLITE_IOERR": ("the medium failed or is full", "check it, then do it again"),
    "SQLITE_READONLY_DBMOVED": (
        "the file was moved or deleted while it was open",
        "save the case under a name again: all it shows is still here",
    ),
    "SQLITE_READONLY": ("the file or its medium is read-only", "save a copy elsewhere"),
    "SQLITE_CANTOPEN": ("the file or its folder cannot be opened", "check the rights"),
    "SQLITE_PERM": ("the file may not be opened", "check the rights"),
    "SQLITE_BUSY": ("another program is busy with it", "wait a moment and do it again"),
    "SQLITE_NOTADB": ("this is not a case file", "choose a file saved by radmeasure"),
    "SQLITE_CORRUPT": ("the file is damaged", "open your latest copy; this one is unchanged"),
    "SQLITE_TOOBIG": ("it is too large to store", ""),
}


def code_of(error):
    """SQLite's name of the error, e.g. 'SQLITE_IOERR_WRITE'; '' when it has none."""
    return getattr(error, "sqlite_errorname", "") or ""


# What reading a damaged file raises: SQLite's own errors, and texts or numbers that are none.
READ_ERRORS = (sqlite3.Error, UnicodeError, TypeError, AttributeError, OverflowError)


def _reason(error):
    """(why, what to do); what SQLite has no special code for is damage."""
    for code, words in _REASONS.items():
        if code_of(error).startswith(code):
            return words
    return _REASONS["SQLITE_CORRUPT"]


def open_error(path, error):
    """The CaseError for a file that SQLite cannot open or read."""
    why, do = _reason(error)
    return CaseError(f"{Path(path).name} cannot be opened: {why}", do)


def write_error(error):
    """The CaseError for an edit that did not reach the disk."""
    why, do = _reason(error)
    return CaseError(f"not saved, because {why}; {_SAFE}", do)


def connect(path):
    """Connect to an existing file; SQLite itself falls back to reading on a read-only medium."""
    connection = sqlite3.connect(
        f"{Path(path).absolute().as_uri()}?mode=rw",
        uri=True,
        isolation_level=None,  # transactions are begun and ended by CaseFile
        check_same_thread=False,  # CaseFile serialises the threads
        timeout=5.0,
    )
    try:
        # The file may come from anywhere: it may not run code through its schema.
        connection.execute("PRAGMA trusted_schema = OFF")
        connection.execute("PRAGMA cell_size_check = ON")
        connection.execute("PRAGMA fullfsync = ON")  # macOS: through the drive's own cache
        connection.execute("PRAGMA synchronous = EXTRA")
    except BaseException:
        connection.close()
        raise
    return connection


def io_words(error):
    """Why a file could not be written, in a few words."""
    if isinstance(error, CaseError):
        error = error.__cause__ or error
    if isinstance(error, sqlite3.Error):
        return _reason(error)[0]
    return os.strerror(error.errno) if getattr(error, "errno", None) else str(error)


# -- whole files ----------------------------------------------------------------
@contextlib.contextmanager
def whole_file(target, overwrite=False):
    """Give a path to write a database to; it becomes ``target`` complete or not at all.

    Raises
    ------
    CaseError
        ``target`` exists (unless ``overwrite``), or could not be written.
    """
    target = Path(target)
    if target.exists() and not overwrite:
        raise CaseError(f"{target.name} exists already", "choose another name")
    half = target.with_name(f".{target.name}.{uuid.uuid4().hex[:8]}.part")
    try:
        yield half
        os.replace(half, target)
        sync_folder(target.parent)
    except (CaseError, sqlite3.Error, OSError) as error:
        raise CaseError(
            f"{target.name} was not written: {io_words(error)}", "choose another place"
        ) from error
    finally:
        for extra in ("", "-journal"):
            with contextlib.suppress(OSError):
                os.unlink(f"{half}{extra}")


def copy_database(connection, target):
    """Copy a whole database as it is at this moment, also while others read and write it."""
    with contextlib.closing(sqlite3.connect(target)) as other:
        other.execute("PRAGMA synchronous = FULL")
        other.execute("PRAGMA fullfsync = ON")
        connection.backup(other)
