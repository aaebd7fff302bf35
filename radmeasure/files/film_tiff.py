"""Films saved as TIFF: up to 16 bits, either byte order, strips or tiles, grey either way round.

tifffile rather than pillow reads them: it keeps 16-bit colour, and refuses a
damaged strip where pillow's library pads it.
"""

import io

import numpy as np

from radmeasure.errors import FilmError
from radmeasure.files.film_jpeg import cut_short, inspect_jpeg
from radmeasure.files.film_limits import check_size
from radmeasure.files.raster import LOSSY, SEVERAL, exif_date, raster_film, turned

# Numbers of TIFF 6.0 (from memory; tests compare with an independent writer).
_WHITE_IS_ZERO, _BLACK_IS_ZERO, _RGB, _PALETTE, _CMYK, _YCBCR = 0, 1, 2, 3, 5, 6
_PLAIN, _LZW, _JPEG, _DEFLATE, _OLD_DEFLATE, _PACKBITS = 1, 5, 7, 8, 32946, 32773
_CODINGS = {_PLAIN, _LZW, _JPEG, _DEFLATE, _OLD_DEFLATE, _PACKBITS}
_MAX_TILE = 20_000_000  # px; a tile is decoded whole even when the picture is small


def read_tiff(data, name):
    """Open the first picture of a TIFF file from its bytes.

    Parameters
    ----------
    data : bytes
    name : str

    Returns
    -------
    radmeasure.model.film.Film

    Raises
    ------
    FilmError
    """
    import tifffile

    with tifffile.TiffFile(io.BytesIO(data)) as file:
        page = file.pages.first
        _check(page, data, name)
        notes = [SEVERAL] if len(file.pages) > 1 else []
        picture, bits = _grey_or_rgb(page, page.asarray(maxworkers=1), notes, name)
        picture = turned(picture, _tag(page, "Orientation", 1), notes)
        taken = exif_date((_tag(page, "ExifTag", None) or {}).get("DateTimeOriginal", ""))
    return raster_film(picture, notes, data, name, "TIFF", taken, bits)


def _tag(page, key, default):
    return page.tags[key].value if key in page.tags else default


def _check(page, data, name):
    """Refuse what cannot or must not be decoded, before anything is decoded."""
    sample_bytes = 1 if page.bitspersample <= 8 else 2
    check_size(name, page.imagewidth, page.imagelength, page.samplesperpixel * sample_bytes)
    if page.dtype is None or page.dtype.kind not in "ub" or page.bitspersample > 16:
        raise FilmError(
            f"{name} stores its pixels in a form films do not use"
            f" ({page.bitspersample}-bit numbers of TIFF sample format {int(page.sampleformat)})",
            "save it as whole numbers of 8 or 16 bits",
        )
    if int(page.compression) not in _CODINGS:
        raise FilmError(
            f"{name} uses a TIFF compression the program does not read ({int(page.compression)})",
            "save it uncompressed",
        )
    if page.imagedepth != 1 or page.tilewidth * page.tilelength > _MAX_TILE:
        raise FilmError(f"{name} is laid out as no film is", "save it again as a plain TIFF")
    _check_segments(page, data, name)


def _check_segments(page, data, name):
    """Every strip or tile lies inside the file, and JPEG ones end and are no larger than stated."""
    segments = list(zip(page.dataoffsets, page.databytecounts, strict=True))
    if len(segments) < int(np.prod(page.chunked)):
        raise cut_short(name)
    if any(start < 1 or count < 1 or start + count > len(data) for start, count in segments):
        raise cut_short(name)
    if int(page.compression) == _JPEG:
        for start, count in segments:
            header = inspect_jpeg(data[start : start + count], name)
            check_size(name, header.width, header.height, header.components)


def _grey_or_rgb(page, picture, notes, name):
    """Grey or RGB values (H, W[, C]) and their depth; larger is brighter."""
    bits = 8 if page.bitspersample <= 8 else 16
    if page.samplesperpixel > 1 and int(page.planarconfig) == 2:
        picture = np.moveaxis(picture, 0, -1)
    if int(page.compression) == _JPEG:
        notes.append(LOSSY)
    photometric = int(page.photometric)
    if photometric in (_WHITE_IS_ZERO, _BLACK_IS_ZERO):
        picture = _full_depth(_first(picture, 2), page.bitspersample)
        white_is_zero = photometric == _WHITE_IS_ZERO
        return (_inverted(picture, 2**bits - 1) if white_is_zero else picture), bits
    if photometric == _RGB or (photometric == _YCBCR and int(page.compression) == _JPEG):
        return _first(picture, 4), bits
    if photometric == _PALETTE and picture.ndim == 2 and page.colormap is not None:
        colours = np.moveaxis(page.colormap, 0, -1)[picture]
        return (colours >> 8).astype(np.uint8), 8
    if photometric == _CMYK and picture.ndim == 3 and picture.shape[2] == 4:
        ink = picture.astype(np.uint32)
        full = 2**bits - 1
        return ((full - ink[..., :3]) * (full - ink[..., 3:]) // full).astype(picture.dtype), bits
    raise FilmError(
        f"{name} stores its colours in a way the program does not read (photometric {photometric})",
        "save it as grey or RGB",
    )


def _first(picture, most):
    """At most ``most`` samples a pixel; grey without an axis of length one."""
    if picture.ndim == 3 and picture.shape[2] > most:
        picture = picture[..., :most]
    return picture[..., 0] if picture.ndim == 3 and picture.shape[2] == 1 else picture


def _full_depth(picture, stored_bits):
    """Values of less than 8 bits spread over 8, others as they are (9 to 15 bits count as 16)."""
    if picture.dtype == bool or stored_bits < 8:
        return (picture.astype(np.uint16) * 255 // (2**stored_bits - 1)).astype(np.uint8)
    return picture


def _inverted(picture, full):
    """White-is-zero values the other way round; an alpha channel stays."""
    picture = picture.copy()
    grey = picture[..., 0] if picture.ndim == 3 else picture
    np.subtract(full, grey, out=grey, dtype=picture.dtype)
    return picture
