"""Films saved as PNG or JPEG."""

import io
import struct
import zlib
from datetime import datetime

import numpy as np

from radmeasure.errors import FilmError
from radmeasure.files.film_grey import grey_of, opening_table, over_black, read_only
from radmeasure.files.film_jpeg import cut_short, decode_jpeg, inspect_jpeg
from radmeasure.files.film_limits import check_size
from radmeasure.model.film import Film

NO_SPACING = (
    "the file states no spacing; a dpi tag says how a picture prints, not how large the tooth is"
)
_ORIENTATION, _TAKEN, _EXIF_IFD = 0x0112, 0x9003, 0x8769
SEVERAL = "it holds several pictures: the first is opened"
TURNED = "turned the right way up as its orientation tag says"
TRANSPARENT = "transparent parts are drawn black"
LOSSY = "saved with lossy compression: fine edges may have moved by a pixel"


def read_raster(data, name):
    """Open a PNG or JPEG film from its bytes.

    Parameters
    ----------
    data : bytes
    name : str

    Returns
    -------
    Film

    Raises
    ------
    FilmError
    """
    kind, decode = ("PNG", _png) if data.startswith(b"\x89PNG") else ("JPEG", _jpeg)
    picture, notes, taken = decode(data, name)
    return raster_film(picture, notes, data, name, kind, taken)


def raster_film(picture, notes, data, name, kind, taken="", bits=None):
    """Film of a decoded picture; colour becomes grey here.

    Parameters
    ----------
    picture : ndarray, shape (H, W) or (H, W, C), uint8 or uint16
        C = 2 and 4 end with alpha.
    notes : list of str
    taken : str
        ISO date or ''.
    bits : int, optional
        Depth of the values; that of the dtype by default.
    """
    notes = list(notes)
    if picture.ndim == 3 and picture.shape[2] in (2, 4):
        picture = _without_alpha(picture, notes)
    if picture.ndim == 3:
        picture, note = grey_of(picture)
        notes.append(note)
    pixels = read_only(picture)
    bits = bits or 8 * pixels.dtype.itemsize
    return Film(
        pixels=pixels,
        bits=bits,
        default_table=read_only(opening_table(pixels, bits)),
        name=name,
        sha256=None,
        kind=kind,
        spacing_words=NO_SPACING,
        acquired=taken,
        notes=tuple(notes),
        raw=data,
    )


def _without_alpha(picture, notes):
    colour, alpha = picture[..., :-1], picture[..., -1]
    if alpha.min() < np.iinfo(alpha.dtype).max:
        colour = over_black(colour, alpha)
        notes.append(TRANSPARENT)
    return colour[..., 0] if colour.shape[2] == 1 else colour


def _png(data, name):
    width, height, depth, colour_type, several = _png_header(data, name)
    channels = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}.get(colour_type, 1)
    check_size(name, width, height, channels * (2 if depth == 16 else 1))
    notes = [SEVERAL] if several else []
    image = _pillow(data)
    image.load()
    if depth == 16 and colour_type != 0:  # pillow would drop half of the depth
        from imagecodecs import png_decode

        picture = png_decode(data)
    else:
        picture = _array(image, name)
    return _upright(picture, _exif(image.info.get("exif", b"")), notes)


def _png_header(data, name):
    """Size and kind of a PNG after every chunk's checksum was found right."""
    at, several, ended, header = 8, False, False, None
    while at + 12 <= len(data) and not ended:
        length = int.from_bytes(data[at : at + 4], "big")
        kind, body = data[at + 4 : at + 8], data[at + 8 : at + 8 + length]
        checksum = data[at + 8 + length : at + 12 + length]
        if len(checksum) < 4:
            raise cut_short(name)
        if kind == b"IHDR" and header is None and length == 13:
            header = struct.unpack(">IIBB", body[:10])
            check_size(name, *header[:2])
        if zlib.crc32(body, zlib.crc32(kind)) != int.from_bytes(checksum, "big"):
            raise FilmError(
                f"{name} is damaged: a checksum inside it is wrong",
                "copy the film again from its source",
            )
        several = several or kind == b"acTL"
        ended = kind == b"IEND"
        at += 12 + length
    if header is None or not ended:
        raise cut_short(name)
    return (*header, several)


def _jpeg(data, name):
    header = inspect_jpeg(data, name)
    check_size(name, header.width, header.height, header.components)
    notes = [] if header.lossless else [LOSSY]
    exif = _exif(header.exif)
    picture = decode_jpeg(data, header, name)
    if header.components == 4:  # pillow knows how CMYK is stored in JPEG files
        picture = _array(_pillow(data), name)
    return _upright(picture, exif, notes)


def _exif(body):
    """The tags of an EXIF segment, or None when it is damaged."""
    from PIL import Image

    exif = Image.Exif()
    try:
        exif.load(body)
    except Exception:  # pillow raises whatever the damage leads it to
        return None
    return exif


def _pillow(data):
    from PIL import Image

    return Image.open(io.BytesIO(data), formats=("PNG", "JPEG"))


def _array(image, name):
    """Values of a pillow image as (H, W), (H, W, 2), (H, W, 3) or (H, W, 4)."""
    if image.mode == "1":
        image = image.convert("L")
    elif image.mode == "P":
        image = image.convert("RGBA" if "transparency" in image.info else "RGB")
    elif image.mode == "CMYK":
        image = image.convert("RGB")
    values = np.asarray(image)
    if image.mode.startswith("I"):  # 16-bit grey, whatever integer type pillow chose
        values = values.astype(np.uint16)
    if image.mode not in ("L", "LA", "RGB", "RGBA") and not image.mode.startswith("I"):
        raise FilmError(f"{name} stores its colours as {image.mode}", "save it as grey or RGB")
    return values


def _upright(picture, exif, notes):
    """Picture the right way up by its EXIF tags, notes, and the date they state."""
    try:
        orientation, taken = exif.get(_ORIENTATION, 1), exif.get_ifd(_EXIF_IFD).get(_TAKEN, "")
    except Exception:  # damaged tags are no reason to refuse the picture
        notes.append("its orientation tag is damaged: check which way up it is")
        return picture, notes, ""
    return turned(picture, orientation, notes), notes, exif_date(taken)


def turned(picture, orientation, notes):
    """Apply one of the eight orientations of TIFF 6.0 / EXIF (numbers from memory)."""
    if orientation not in range(2, 9):
        return picture
    notes.append(TURNED)
    if orientation in (5, 6, 7, 8):
        picture = picture.swapaxes(0, 1)
    if orientation in (3, 4, 7, 8):
        picture = picture[::-1]
    if orientation in (2, 3, 6, 7):
        picture = picture[:, ::-1]
    return picture


def exif_date(text):
    """ISO date of an EXIF or TIFF time stamp, '' when it has none."""
    try:
        return datetime.strptime(str(text)[:10], "%Y:%m:%d").date().isoformat()
    except ValueError:
        return ""
