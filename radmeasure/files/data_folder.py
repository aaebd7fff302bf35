"""Where the program keeps its own data: unsaved cases and the practice list."""

import os
import sys
from pathlib import Path


def data_folder():
    """Folder for data of this user, not created yet.

    ``RADMEASURE_DATA`` if set; else ``$XDG_DATA_HOME/radmeasure`` (XDG Base
    Directory Specification 0.8: default ``~/.local/share``), or the usual
    place of the system on Windows and macOS (common practice).
    """
    own = os.environ.get("RADMEASURE_DATA")
    if own:
        return Path(own)
    return _base() / "radmeasure"


def _base():
    home = Path.home()
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA", home / "AppData" / "Local"))
    if sys.platform == "darwin":
        return home / "Library" / "Application Support"
    stated = os.environ.get("XDG_DATA_HOME", "")
    # The specification: a relative path is invalid and to be ignored.
    return Path(stated) if os.path.isabs(stated) else home / ".local" / "share"
