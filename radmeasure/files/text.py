"""Small text files: JSON read with a clear error, files written whole or not at all."""

import json
import os
import tempfile
from pathlib import Path

from radmeasure.errors import InputError, OutputError

# A landmark, recipe or rulebook file is a few kilobytes; far larger is a mistake.
MOST_BYTES = 64 * 1024 * 1024


def read_bytes(path, what="file", error=InputError, most=MOST_BYTES):
    """Bytes of a regular file.

    Raises
    ------
    error
        Missing, a folder, not readable, not a regular file, empty or too large.
    """
    path = Path(path)
    try:
        if path.is_dir():
            raise error(f"{path} is a folder", f"name a {what}")
        if path.exists() and not path.is_file():
            raise error(f"{path} is not a regular file", f"name a {what}")
        size = path.stat().st_size
        if size > most:
            raise error(f"{path} is {size / 1e6:.0f} MB, too large for a {what}", "check the file")
        data = path.read_bytes()
    except FileNotFoundError:
        raise error(f"{path} does not exist", "check the name") from None
    except PermissionError:
        raise error(f"{path} may not be read", "check its permissions") from None
    except (OSError, ValueError) as cause:
        raise error(f"{path!s:.200} cannot be read ({cause})", "check the name and disk") from None
    if not data:
        raise error(f"{path} is empty", f"choose another {what}")
    return data


def read_json(path, what="JSON file"):
    """Parsed JSON of a file; NaN and Infinity are refused.

    Raises
    ------
    InputError
    """

    def no_constant(name):
        raise InputError(f"{path} holds {name}", "use finite numbers")

    data = read_bytes(path, what)
    try:
        return json.loads(data.decode("utf-8-sig"), parse_constant=no_constant)
    except UnicodeDecodeError:
        raise InputError(f"{path} is not UTF-8 text", f"name a {what}") from None
    except json.JSONDecodeError as cause:
        raise InputError(
            f"{path} is not valid JSON (line {cause.lineno}: {cause.msg})", "correct or remake it"
        ) from None
    except RecursionError:
        raise InputError(f"{path} is nested too deeply", f"name a {what}") from None


def write_whole(path, data):
    """Write bytes or text to ``path`` whole or not at all.

    Raises
    ------
    OutputError
        The folder is missing or not writable, or the disk is full; what stood
        at ``path`` is unchanged.
    """
    path = Path(path)
    if isinstance(data, str):
        data = data.encode("utf-8")
    temporary = None
    try:
        if path.is_dir():
            raise OutputError(f"{path} is a folder", "name a file")
        handle, temporary = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        umask = os.umask(0)
        os.umask(umask)
        os.chmod(temporary, 0o666 & ~umask)
        os.replace(temporary, path)
    except OutputError:
        raise
    except OSError as cause:
        if temporary and os.path.exists(temporary):
            os.unlink(temporary)
        raise OutputError(
            f"{path} cannot be written ({cause.strerror or cause})",
            "choose another folder or free some space",
        ) from None


def folder_for_output(path):
    """Make the folder ``path`` if needed and return it.

    Raises
    ------
    OutputError
    """
    path = Path(path)
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as cause:
        raise OutputError(
            f"folder {path} cannot be made ({cause.strerror or cause})", "choose another folder"
        ) from None
    return path
