"""Who has a case open for writing: a lock file beside the case.

The operating system holds the lock and lets go of it when the holder ends,
however it ends; the text in the file only says who the holder is. The lock
lives beside the case and not in it, so that a copy of an open case is not
"open", and carries no user or machine name.
"""

import contextlib
import getpass
import json
import os
import socket
import sys
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path

# Locked on Windows, where a locked byte cannot be read by others: far beyond the text.
_LOCKED_BYTE = 1 << 30


@dataclass(frozen=True)
class Holder:
    """Who has the case open, as far as the lock file says."""

    user: str = ""
    host: str = ""
    pid: int = 0
    since: str = ""

    @property
    def words(self):
        """E.g. 'ana on front-desk (process 4711, since 2026-03-01 09:30)'."""
        if not self.pid:
            return "another window"
        since = f", since {self.since}" if self.since else ""
        return f"{self.user or 'somebody'} on {self.host} (process {self.pid}{since})"


def _me():
    try:
        user = getpass.getuser()
    except (OSError, KeyError):  # no such user in the system's list
        user = ""
    now = datetime.now().strftime("%Y-%m-%d %H:%M")
    return Holder(user, socket.gethostname(), os.getpid(), now)


def lock_path(case_path):
    """The lock file of a case: hidden nowhere, gone when the case is closed."""
    path = Path(os.path.realpath(case_path))
    return path.with_name(path.name + ".lock")


class CaseLock:
    """A lock that is held; made by :func:`take`."""

    def __init__(self, path, handle, was_left):
        self._path, self._handle = path, handle
        self.was_left = was_left
        """True when the last holder ended without closing the case."""

    def release(self):
        """Let go; safe to call twice."""
        if self._handle is None:
            return
        handle, self._handle = self._handle, None
        if sys.platform == "win32":
            os.close(handle)
        # A file system that failed meanwhile must not keep the case from closing.
        with contextlib.suppress(OSError):
            os.unlink(self._path)
        if sys.platform != "win32":
            os.close(handle)


def take(case_path):
    """Try to become the one who writes.

    Returns
    -------
    lock : CaseLock or None
    holder : Holder or None
        Who has it when ``lock`` is None.

    Raises
    ------
    OSError
        The folder cannot be written, or its medium cannot lock.
    """
    path = lock_path(case_path)
    while True:
        handle = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_BINARY", 0), 0o666)
        try:
            if not _locked(handle):
                holder = _read(handle)
                os.close(handle)
                return None, holder
            if _still_there(path, handle):
                was_left = os.fstat(handle).st_size > 0
                _write(handle)
                return CaseLock(path, handle, was_left), None
        except OSError:
            os.close(handle)
            raise
        os.close(handle)  # the holder removed the file between our opening and locking it


def _locked(handle):
    try:
        if sys.platform == "win32":
            import msvcrt

            os.lseek(handle, _LOCKED_BYTE, os.SEEK_SET)
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            # flock, not lockf: it tells two windows of one process apart.
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    return True


def _still_there(path, handle):
    try:
        return os.path.samestat(os.stat(path), os.fstat(handle))
    except FileNotFoundError:
        return False


def _write(handle):
    os.ftruncate(handle, 0)
    os.lseek(handle, 0, os.SEEK_SET)
    os.write(handle, json.dumps(asdict(_me())).encode())


def _read(handle):
    os.lseek(handle, 0, os.SEEK_SET)
    try:
        return Holder(**json.loads(os.read(handle, 4096)))
    except (ValueError, TypeError):  # being written at this moment
        return Holder()
