"""Folders for cases under test."""

import os
import tempfile
from contextlib import contextmanager
from pathlib import Path

NOBODY = 65534


def memory_disk():
    """A disk in memory, None where there is none: for tests that do not test durability."""
    disk = Path("/dev/shm")
    return disk if disk.is_dir() and os.access(disk, os.W_OK) else None


@contextmanager
def open_to_all():
    """A folder that also a user without rights can reach."""
    with tempfile.TemporaryDirectory() as name:
        os.chmod(name, 0o755)
        yield Path(name)


@contextmanager
def without_rights():
    """Root may write everywhere: step down to nobody, so that file modes count."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(NOBODY)
    try:
        yield
    finally:
        os.seteuid(0)
