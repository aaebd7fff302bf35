"""Open a film: one way in for every kind of file, and one kind of refusal."""

import os
import stat
from pathlib import Path

from radmeasure.errors import FilmError
from radmeasure.files.film_limits import MAX_FILE_BYTES
from radmeasure.files.film_quiet import quiet_libraries

_KINDS = "a DICOM, PNG, TIFF or JPEG film"
# From this size on the allocator gives no memory a second time (glibc, from memory), and a
# DICOM film is read into room made for it.
_LARGE_BYTES = 32 << 20
# The system copies a file three to five times slower to a place 16 bytes off this, which is
# where the allocator puts large arrays.
_ALIGNED = 64

# Files that get mistaken for films, by their first bytes, so that a refusal can say what it met.
_OTHERS = (
    (b"PK\x03\x04", "a zip archive"),
    (b"\x1f\x8b", "a gzip archive"),
    (b"7z\xbc\xaf\x27\x1c", "a 7z archive"),
    (b"Rar!", "a rar archive"),
    (b"%PDF", "a PDF document"),
    (b"GIF8", "a GIF picture"),
    (b"BM", "a BMP picture"),
    (b"RIFF", "a WebP picture or a sound"),
    (b"\x00\x00\x00\x0cjP  ", "a JPEG 2000 picture"),
    (b"\xff\x4f\xff\x51", "a JPEG 2000 picture"),
    (b"\x00\x00\x00\x0cJXL ", "a JPEG XL picture"),
    (b"\xd0\xcf\x11\xe0", "an office document"),
    (b"\x7fELF", "a program"),
    (b"MZ", "a program"),
    (b"{", "a text file"),
    (b"<", "a text file"),
)

# First element of a data set that lacks DICOM's heading (little endian group, element).
_FIRST_ELEMENTS = {
    *(b"\x02\x00" + bytes([element, 0]) for element in (0x00, 0x01, 0x02)),
    *(b"\x08\x00" + bytes([element, 0]) for element in (0x00, 0x05, 0x08, 0x12, 0x16, 0x18)),
}


def read_film(path):
    """Open the film at ``path``.

    Parameters
    ----------
    path : str or path-like
        A DICOM, PNG, TIFF or JPEG file; the content decides, not the name.

    Returns
    -------
    radmeasure.model.film.Film
        Right way up, in grey, in the full depth of the file; ``raw`` holds the
        file's bytes.

    Raises
    ------
    FilmError
        The file cannot be read, is no film, is damaged, is larger than
        `radmeasure.files.film_limits` allows, or contradicts itself.
    """
    path = Path(path)
    name = path.name or str(path)
    return read_film_bytes(_whole_file(path, name), name)


def read_film_bytes(data, name):
    """Open a film from its bytes, e.g. those kept in a case file.

    Parameters
    ----------
    data : bytes or memoryview of bytes
        The whole file.
    name : str
        File name without folder; names the film in messages.

    Returns
    -------
    radmeasure.model.film.Film

    Raises
    ------
    FilmError
        As `read_film`.
    """
    if not data:
        raise FilmError(f"{name} is empty", "copy the film again from its source")
    reader = _reader(data)
    if reader is None:
        raise FilmError(f"{name} is {_what_else(data)}, not {_KINDS}", "choose the film itself")
    try:
        with quiet_libraries():
            return reader(data, name)
    except FilmError:
        raise
    except (Exception, MemoryError) as error:  # whatever a damaged file makes a library raise
        raise FilmError(
            f"{name} is damaged and cannot be read", "copy the film again from its source"
        ) from error


def _whole_file(path, name):
    """Bytes, or a memoryview of them, of a regular file of acceptable size."""
    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            raise FilmError(f"{name} is {_special(status.st_mode)}, not a file", "choose a film")
        if status.st_size > MAX_FILE_BYTES:
            raise FilmError(
                f"{name} is larger than {MAX_FILE_BYTES // 2**20} MiB", "choose the film itself"
            )
        with open(path, "rb") as file:
            large = status.st_size >= _LARGE_BYTES and file.peek(132)[128:132] == b"DICM"
            return _into_room(file, status.st_size) if large else file.read(status.st_size + 1)
    except FilmError:
        raise
    except FileNotFoundError as error:
        raise FilmError(f"there is no file {name}", "check the name and the folder") from error
    except PermissionError as error:
        raise FilmError(f"you have no permission to read {name}", "ask for access to it") from error
    except (OSError, ValueError) as error:
        reason = os.strerror(error.errno) if getattr(error, "errno", None) else "bad file name"
        raise FilmError(f"{name} cannot be read ({reason})", "copy it to this computer") from error


def _into_room(file, size):
    """The file as a read-only memoryview: its picture is used where it lies.

    Large arrays of numpy come in large pages where the system has any: 50 MB in a third of
    the time.
    """
    import numpy as np

    room = np.empty(size + _ALIGNED, np.uint8)
    start = -room.__array_interface__["data"][0] % _ALIGNED
    count = file.readinto(room[start : start + size])
    return memoryview(room)[start : start + count].toreadonly()


def _special(mode):
    return "a folder" if stat.S_ISDIR(mode) else "a device or pipe"


def _reader(data):
    """The reader for these bytes, or None; libraries are imported only now."""
    if data[128:132] == b"DICM" or _bare_dicom(data):
        from radmeasure.files.dicom_read import read_dicom

        return read_dicom
    if data.startswith((b"II*\x00", b"MM\x00*", b"II+\x00", b"MM\x00+")):
        from radmeasure.files.film_tiff import read_tiff

        return read_tiff
    if data.startswith((b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff")):
        from radmeasure.files.raster import read_raster

        return read_raster
    return None


def _bare_dicom(data):
    """True for a data set without preamble: it starts with a low element of group 2 or 8."""
    return data[:4] in _FIRST_ELEMENTS


def _what_else(data):
    for start, words in _OTHERS:
        if data.startswith(start):
            return words
    return "no picture the program knows"
