"""Look into a JPEG or JPEG-LS stream before it is decoded, and decode it.

JPEG carries no checksum, and its decoders fill what is missing with grey
without a word: a lossless frame cut at half its length decodes to a picture
that is half wrong. So the stream is walked marker by marker to its end marker
first, its stated size is compared with the limits, and after decoding the
picture is checked not to depend on bytes that follow its data.
"""

import re
from dataclasses import dataclass

import numpy as np

from radmeasure.errors import FilmError

_SOI, _EOI, _SOS = 0xD8, 0xD9, 0xDA
_STANDALONE = {0x01, *range(0xD0, 0xD8)}
_LOSSLESS_SOF = {0xC3}
_JPEG_SOF = {0xC0, 0xC1, 0xC2, 0xC3}
_OTHER_SOF = {0xC5, 0xC6, 0xC7, 0xC9, 0xCA, 0xCB, 0xCD, 0xCE, 0xCF}
_LS_SOF = 0xF7
# In coded data 0xFF is followed by 0x00 (JPEG) or by a byte below 0x80 (JPEG-LS);
# restart markers stand inside it, anything else ends it.
_NEXT_JPEG = re.compile(rb"\xff+[^\x00\xd0-\xd7\xff]", re.DOTALL)
_NEXT_LS = re.compile(rb"\xff+[\x80-\xcf\xd8-\xfe]", re.DOTALL)
_RESTART = re.compile(rb"\xff[\xd0-\xd7]")
_FILLER = bytes(range(1, 129)) * 2


@dataclass(frozen=True)
class JpegHeader:
    """What a stream says of itself.

    Attributes
    ----------
    width, height : int
        px
    precision : int
        Bits per sample.
    components : int
    sof : int
        Second byte of the start-of-frame marker.
    colour_transform : int or None
        Of the Adobe segment, when there is one.
    jfif : bool
    exif : bytes
        Body of the EXIF segment, b'' when there is none.
    scans : tuple of (int, int)
        Offsets of the first byte of each scan's coded data and behind its last.
    end : int
        Offset behind the end marker.
    """

    width: int
    height: int
    precision: int
    components: int
    sof: int
    colour_transform: int | None
    jfif: bool
    exif: bytes
    scans: tuple
    end: int

    @property
    def lossless(self):
        return self.sof in _LOSSLESS_SOF or self.sof == _LS_SOF


def inspect_jpeg(data, name):
    """Walk a stream from its start to its end marker.

    Raises
    ------
    FilmError
        It is cut short, damaged or of a process no decoder here reads.
    """
    if data[:2] != b"\xff\xd8":
        raise _damaged(name, "it does not start as JPEG does")
    found, transform, jfif, exif, scans = None, None, False, b"", []
    for marker, body, start, end in _segments(data, name):
        if marker == _EOI:
            if found is None:
                raise _damaged(name, "it states no size")
            return JpegHeader(*found, transform, jfif, exif, tuple(scans), end)
        if marker in _JPEG_SOF or marker == _LS_SOF:
            found = _frame_header(marker, body, name)
        elif marker in _OTHER_SOF:
            raise FilmError(
                f"{name} uses a rare kind of JPEG (process {marker:02X})",
                "export the film uncompressed",
            )
        elif marker == 0xEE and body.startswith(b"Adobe") and len(body) >= 12:
            transform = body[11]
        elif marker == 0xE0 and body.startswith(b"JFIF\x00"):
            jfif = True
        elif marker == 0xE1 and body.startswith(b"Exif\x00\x00"):
            exif = body
        elif marker == _SOS:
            scans.append((start, end))
    raise cut_short(name)


def _segments(data, name):
    """Yield (marker, body, offset behind it, offset behind the coded data that follow)."""
    at, lossless_ls = 2, False
    while at + 2 <= len(data):
        if data[at] != 0xFF:
            raise _damaged(name, "a marker is missing")
        if data[at + 1] == 0xFF:  # fill byte
            at += 1
            continue
        marker, at = data[at + 1], at + 2
        if marker == _EOI:
            yield marker, b"", at, at
            return
        if marker in _STANDALONE:
            continue
        length = int.from_bytes(data[at : at + 2], "big")
        if length < 2 or at + length > len(data):
            raise cut_short(name)
        body, at, lossless_ls = (
            data[at + 2 : at + length],
            at + length,
            lossless_ls or marker == _LS_SOF,
        )
        start = at
        if marker == _SOS:
            after = (_NEXT_LS if lossless_ls else _NEXT_JPEG).search(data, at)
            if after is None:
                raise cut_short(name)
            at = after.end() - 2
        yield marker, bytes(body), start, at


def _frame_header(marker, body, name):
    if len(body) < 6:
        raise _damaged(name, "its header is too short")
    height, width = int.from_bytes(body[1:3], "big"), int.from_bytes(body[3:5], "big")
    return width, height, body[0], body[5], marker


def decode_jpeg(data, header, name, colour_space=None):
    """Decode a JPEG stream (baseline, extended, progressive or lossless, 2 to 16 bits).

    Parameters
    ----------
    data : bytes
    header : JpegHeader
        Of the same bytes.
    colour_space : {'RGB', 'YCBCR', None}
        How three components are stored; None leaves it to the stream.

    Returns
    -------
    ndarray, shape (H, W) or (H, W, C), uint8 or uint16
        Three components come as RGB.

    Raises
    ------
    FilmError
        Coded data ends before the picture does.
    """
    from imagecodecs import jpeg8_decode

    options = {}
    if header.components == 3 and colour_space:
        options = {"colorspace": colour_space, "outcolorspace": "RGB"}
    stream = bytes(data[: header.end])
    pixels = jpeg8_decode(stream, **options)
    if not np.array_equal(pixels, jpeg8_decode(_with_filler(stream, header.scans), **options)):
        raise cut_short(name)
    return pixels


def _with_filler(stream, scans):
    """The stream with bytes put behind each stretch of coded data.

    A decoder that has all it needs passes over them; one that misses data
    takes them instead of the grey it would fill in, and the pictures differ.
    """
    parts, at = [], 0
    for start, end in scans:
        coded = _RESTART.sub(lambda found: _FILLER + found[0], stream[start:end])
        parts += [stream[at:start], coded, _FILLER]
        at = end
    return b"".join([*parts, stream[at:]])


def decode_jpeg_ls(data):
    """Decode a JPEG-LS stream; the decoder itself refuses a damaged one."""
    from imagecodecs import jpegls_decode

    return jpegls_decode(bytes(data))


def cut_short(name):
    """Refusal for a film whose end is missing."""
    return FilmError(
        f"{name} is cut short: part of its picture is missing",
        "copy the film again from its source",
    )


def _damaged(name, why):
    return FilmError(
        f"{name} holds damaged JPEG data: {why}", "copy the film again from its source"
    )
