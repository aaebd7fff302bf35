"""Stored pixel values of the first picture of a DICOM file, by named decoders.

Which decoder reads which transfer syntax is fixed here, so that the same file
gives the same values on every computer, whatever else is installed. All
compressed pictures go through imagecodecs (BSD licence): libjpeg-turbo for
JPEG in 8, 12 and 16 bit, CharLS for JPEG-LS, OpenJPEG for JPEG 2000.
"""

from dataclasses import dataclass

import numpy as np

from radmeasure.errors import FilmError
from radmeasure.files.dicom_lut import read_lut
from radmeasure.files.film_jpeg import cut_short, decode_jpeg, decode_jpeg_ls, inspect_jpeg
from radmeasure.files.film_limits import check_size

_GREY = {"MONOCHROME1", "MONOCHROME2"}
_COLOUR = {"RGB", "YBR_FULL", "YBR_FULL_422", "YBR_RCT", "YBR_ICT"}
_PALETTE = "PALETTE COLOR"

_BIG_ENDIAN = "1.2.840.10008.1.2.2"
_NATIVE = {
    "1.2.840.10008.1.2",
    "1.2.840.10008.1.2.1",
    "1.2.840.10008.1.2.1.99",
    _BIG_ENDIAN,
}
_ENCAPSULATED_NATIVE = "1.2.840.10008.1.2.1.98"
_RLE = "1.2.840.10008.1.2.5"
_JPEG = {f"1.2.840.10008.1.2.4.{n}" for n in (50, 51, 57, 70)}
_JPEG_LS = {f"1.2.840.10008.1.2.4.{n}" for n in (80, 81)}
_JPEG_2000 = {f"1.2.840.10008.1.2.4.{n}" for n in (90, 91, 201, 202, 203)}


@dataclass(frozen=True)
class PixelHeader:
    """What the image pixel module states, checked.

    Attributes
    ----------
    width, height : int
        px
    samples : int
        1 or 3 a pixel.
    allocated, stored, high_bit : int
        bits
    signed : bool
    photometric : str
    frames : int
    syntax : str
        Transfer syntax UID.
    """

    width: int
    height: int
    samples: int
    allocated: int
    stored: int
    high_bit: int
    signed: bool
    photometric: str
    frames: int
    syntax: str

    @property
    def colour(self):
        return self.photometric in _COLOUR


def pixel_header(dataset, name):
    """Read and check the header; nothing is decoded.

    Raises
    ------
    FilmError
        It is impossible, too large, or of a kind that is no film.
    """

    def whole(keyword, default=None):
        value = dataset.get(keyword)
        if value in (None, "") and default is not None:
            return default
        if value in (None, ""):
            raise _wrong(name, f"it does not state {keyword}")
        try:
            return int(value)
        except (TypeError, ValueError):
            raise _wrong(name, f"its {keyword} is not a whole number") from None

    allocated = whole("BitsAllocated")
    stored = whole("BitsStored", allocated)
    photometric = str(dataset.get("PhotometricInterpretation") or "").strip()
    header = PixelHeader(
        width=whole("Columns"),
        height=whole("Rows"),
        samples=whole("SamplesPerPixel", 3 if photometric in _COLOUR else 1),
        allocated=allocated,
        stored=stored,
        high_bit=whole("HighBit", stored - 1),
        signed=whole("PixelRepresentation", 0) == 1,
        photometric=photometric,
        frames=max(whole("NumberOfFrames", 1), 1),
        syntax=str(getattr(dataset.file_meta, "TransferSyntaxUID", "")),
    )
    _check(header, name)
    return header


def _check(header, name):
    check_size(name, header.width, header.height, header.samples * header.allocated // 8)
    if header.photometric not in _GREY | _COLOUR | {_PALETTE}:
        kind = header.photometric or "none"
        raise _wrong(name, f"it states a photometric interpretation no film has ({kind})")
    if header.allocated not in (8, 16):
        raise _wrong(name, f"it has {header.allocated} bits a pixel where films have 8 or 16")
    if not 1 <= header.stored <= header.allocated:
        raise _wrong(name, f"it stores {header.stored} bits in {header.allocated}")
    if not header.stored - 1 <= header.high_bit < header.allocated:
        raise _wrong(name, "its highest bit lies outside its pixels")
    if header.samples != (3 if header.colour else 1):
        raise _wrong(name, f"it has {header.samples} samples a pixel for {header.photometric}")


def _wrong(name, why):
    return FilmError(f"{name} cannot be opened: {why}", "export the film again from its source")


def first_picture(dataset, header, name):
    """Decode the first picture.

    Parameters
    ----------
    dataset : pydicom.Dataset
    header : PixelHeader
    name : str

    Returns
    -------
    ndarray
        Shape (H, W), integer stored values without padding bits, or (H, W, 3)
        RGB uint8 or uint16 for colour (palettes included).

    Raises
    ------
    FilmError
    """
    if header.syntax in _NATIVE:
        values = _native(dataset, header, name)
    else:
        values = _compressed(dataset, header, name)
    if values.shape[:2] != (header.height, header.width):
        raise _wrong(name, "its picture has another size than its header states")
    if header.photometric == _PALETTE:
        return _through_palette(dataset, _clean(values, header), name)
    return values if header.colour else _clean(values, header)


def _native(dataset, header, name):
    from pydicom.pixels import pixel_array

    row = header.width * header.samples * header.allocated // 8
    expected = row * header.height * header.frames
    if header.photometric == "YBR_FULL_422":
        expected = expected * 2 // 3
    if len(dataset.PixelData) < expected:
        raise cut_short(name)
    if len(dataset.PixelData) > expected + row + 1:  # some writers pad by as much as a row
        raise _wrong(name, "its picture is larger than its header states")
    if header.samples == 1 and header.syntax != _BIG_ENDIAN:
        return _from_plain(dataset.PixelData, header, name)
    values = pixel_array(dataset, index=0, raw=True, view_only=True, correct_unused_bits=False)
    return _rgb(values, header.photometric)


def _rgb(values, photometric):
    """RGB of YBR_FULL values (PS3.3 C.7.6.3.1.2); other values as they are."""
    if photometric not in ("YBR_FULL", "YBR_FULL_422"):
        return values
    from pydicom.pixels import convert_color_space

    return convert_color_space(values, photometric, "RGB")


def _compressed(dataset, header, name):
    frame = _first_frame(dataset, header, name)
    if header.syntax in _JPEG:
        return _from_jpeg(frame, header, name)
    if header.syntax in _JPEG_LS:
        stream = inspect_jpeg(frame, name)
        _check_stream(stream.width, stream.height, stream.components, header, name)
        return _rgb(decode_jpeg_ls(frame[: stream.end]), header.photometric)
    if header.syntax in _JPEG_2000:
        return _from_jpeg_2000(frame, header, name)
    if header.syntax == _RLE:
        return _rgb(_from_rle(frame, header, name), header.photometric)
    if header.syntax == _ENCAPSULATED_NATIVE:
        return _rgb(_from_plain(frame, header, name), header.photometric)
    raise _wrong(name, f"the program has no decoder for its encoding ({_syntax_words(header)})")


def _syntax_words(header):
    from pydicom.uid import UID

    words = UID(header.syntax).name if header.syntax else ""
    return words or "not stated"


def _first_frame(dataset, header, name):
    from pydicom.encaps import get_frame

    try:
        return get_frame(bytes(dataset.PixelData), 0, number_of_frames=header.frames)
    except Exception as error:
        raise cut_short(name) from error


def _check_stream(width, height, components, header, name):
    """The stream must state the size the data set states, before it is decoded."""
    if (width, height) != (header.width, header.height):
        raise _wrong(
            name,
            f"its header states {header.width} × {header.height} pixels and its coded picture"
            f" {width} × {height}",
        )
    if components != header.samples:
        raise _wrong(name, "its header and its coded picture differ in the number of colours")


def _from_jpeg(frame, header, name):
    stream = inspect_jpeg(frame, name)
    _check_stream(stream.width, stream.height, stream.components, header, name)
    return decode_jpeg(frame, stream, name, _jpeg_colour_space(stream, header))


def _jpeg_colour_space(stream, header):
    """Colour space of three components: the stream's own marker, else the data set's word."""
    if stream.components != 3 or stream.colour_transform is not None or stream.jfif:
        return None
    return "RGB" if header.photometric == "RGB" else "YCBCR"


def _from_jpeg_2000(frame, header, name):
    from imagecodecs import jpeg2k_decode

    width, height, components, ends = _jpeg_2000_size(frame, name)
    _check_stream(width, height, components, header, name)
    if not ends:
        raise cut_short(name)
    values = jpeg2k_decode(bytes(frame), numthreads=1)
    return _rgb(values, header.photometric)


def _jpeg_2000_size(frame, name):
    """Width, height and components of a codestream (ISO 15444-1 SIZ), and whether it ends."""
    start = frame.find(b"\xff\x4f\xff\x51")  # some writers wrap the codestream into boxes
    siz = frame[start + 4 : start + 4 + 38]
    if start < 0 or len(siz) < 38:
        raise cut_short(name)
    size = [int.from_bytes(siz[at : at + 4], "big") for at in (4, 8, 12, 16)]
    components = int.from_bytes(siz[36:38], "big")
    return size[0] - size[2], size[1] - size[3], components, _ends(frame)


def _ends(frame):
    """Whether the end marker is there; frames are padded with 00 or, by some writers, FF."""
    return bytes(frame[-16:]).rstrip(b"\x00\xff").endswith(b"\xff\xd9")


def _from_rle(frame, header, name):
    """PS3.5 annex G: one PackBits segment for each byte of each sample, high byte first."""
    from imagecodecs import packbits_decode

    planes = header.samples * header.allocated // 8
    pixels = header.width * header.height
    heads = np.frombuffer(frame[:64], "<u4")
    if len(heads) < 16 or heads[0] != planes:
        raise _wrong(name, "its run-length coded picture is damaged")
    ends = [*heads[2 : planes + 1], len(frame)]
    out = np.empty((planes, pixels), np.uint8)
    for plane, (start, end) in enumerate(zip(heads[1 : planes + 1], ends, strict=True)):
        if not 64 <= start < end <= len(frame):
            raise _wrong(name, "its run-length coded picture is damaged")
        decoded = packbits_decode(bytes(frame[start:end]))
        if len(decoded) < pixels:
            raise cut_short(name)
        out[plane] = np.frombuffer(decoded[:pixels], np.uint8)
    if header.allocated == 16:
        out = out[0::2].astype(np.uint16) << 8 | out[1::2]
    shape = (header.samples, header.height, header.width)
    return np.moveaxis(out.reshape(shape), 0, -1)[..., 0 if header.samples == 1 else slice(None)]


def _from_plain(frame, header, name):
    """A frame stored without compression inside a fragment."""
    count = header.width * header.height * header.samples
    dtype = np.dtype("<u2" if header.allocated == 16 else "u1")
    if len(frame) < count * dtype.itemsize:
        raise cut_short(name)
    values = np.frombuffer(frame, dtype, count)
    shape = (header.height, header.width) + ((3,) if header.samples == 3 else ())
    return values.reshape(shape)


def _clean(values, header):
    """Stored values with the bits outside BitsStored cleared and the sign put right."""
    bits, shift = header.stored, header.high_bit + 1 - header.stored
    if values.dtype.kind == "i":
        values = values.view(values.dtype.str.replace("i", "u"))
    if shift:
        values = values >> shift
    top = 2**bits - 1
    if header.stored < 8 * values.dtype.itemsize and values.max() > top:
        values = values & values.dtype.type(top)  # e.g. overlay bits, or a sign carried upwards
    if not header.signed:
        return values
    signed = values.astype(np.int32)
    signed[signed > top // 2] -= top + 1
    return signed


def _through_palette(dataset, values, name):
    """Eight-bit RGB of palette indices."""
    names = [f"{colour}PaletteColorLookupTable" for colour in ("Red", "Green", "Blue")]
    if "SegmentedRedPaletteColorLookupTableData" in dataset:
        from pydicom.pixels import apply_color_lut

        rgb = apply_color_lut(values, dataset)
        return rgb if rgb.dtype == np.uint8 else (rgb >> 8).astype(np.uint8)
    palette = [read_lut(dataset, prefix) for prefix in names]
    if None in palette:
        raise _wrong(name, "its palette is missing or damaged")
    # Some writers state 16 bits and give 8.
    deep = max(lut.bits for lut in palette) > 8 and max(lut.entries.max() for lut in palette) > 255
    return np.stack([lut.at(values) >> (8 if deep else 0) for lut in palette], -1).astype(np.uint8)
