"""Films saved as PNG, JPEG and TIFF: right way up, full depth, grey."""

import io

import imagecodecs
import numpy as np
import pytest
import tifffile
from made_films import jpeg, picture, png, tiff
from PIL import Image, ImageOps

from radmeasure.errors import FilmError
from radmeasure.files.film import read_film_bytes

FLAT, DEEP = picture(bits=8), picture(bits=16)
COLOUR = np.stack([FLAT, FLAT // 2, 255 - FLAT], -1)
COLOUR_16 = np.stack([DEEP, DEEP // 2, 65535 - DEEP], -1)


def luma(colour):
    """ITU-R BT.601 luma, rounded (weights from memory; pillow's convert('L') uses the same)."""
    return np.floor(colour @ np.array([0.299, 0.587, 0.114]) + 0.5)


def opened(data):
    return read_film_bytes(data, "film")


@pytest.mark.parametrize(
    "kind, data",
    [("PNG", png(FLAT)), ("TIFF", tiff(FLAT)), ("PNG", png(DEEP)), ("TIFF", tiff(DEEP))],
)
def test_grey_opens_in_its_own_depth(kind, data):
    """8 and 16 bit, without losing a bit; no spacing, whatever the file says of dpi."""
    film = opened(data)
    grey = FLAT if film.bits == 8 else DEEP
    assert film.kind == kind
    assert film.pixels.dtype == grey.dtype
    np.testing.assert_array_equal(film.pixels, grey)
    assert film.spacing is None and "states no spacing" in film.spacing_words
    assert film.notes == ()


def test_dpi_never_becomes_a_scale():
    """A resolution tag says how the picture prints."""
    for data in (
        png(FLAT, dpi=(600, 600)),
        jpeg(FLAT, dpi=(600, 600)),
        tiff(FLAT, resolution=(600, 600), resolutionunit="inch"),
    ):
        film = opened(data)
        assert film.spacing is None
        assert "dpi" in film.spacing_words


def test_eight_bits_are_drawn_as_saved_and_sixteen_over_their_span():
    """A 12-bit film kept in 16 bits would be nearly black if drawn over all 16."""
    np.testing.assert_array_equal(opened(png(FLAT)).default_table, np.arange(256))
    dim = opened(png(picture(bits=12)))
    assert dim.bits == 16
    shown = dim.default_table[dim.pixels]
    assert (shown.min(), shown.max()) == (0, 255)


def test_picture_of_one_value_opens():
    """No span to draw over is no reason to fail."""
    film = opened(png(np.full((20, 30), 7, np.uint16)))
    assert film.default_table[7] == 0


@pytest.mark.parametrize("mode", ["1", "L", "P", "RGB", "RGBA", "LA"])
def test_pillow_modes_open_as_their_grey(mode):
    """Bilevel, palette, colour and alpha; compared with pillow's own conversion."""
    image = Image.fromarray(COLOUR).convert(mode)
    out = io.BytesIO()
    image.save(out, "PNG")
    film = opened(out.getvalue())
    expected = np.asarray(image.convert("RGB").convert("L")).astype(int)
    assert film.bits == 8
    assert np.abs(film.pixels.astype(int) - expected).max() <= 1


@pytest.mark.parametrize("bits", [2, 4])
def test_shallow_grey_png_is_spread_over_eight_bits(bits):
    """Grey of 2 and 4 bits, written by hand: the top value becomes 255."""
    top = 2**bits - 1
    levels = (FLAT[:, :72].astype(int) * (top + 1) // 256).astype(np.uint8)
    film = opened(_shallow_png(levels, bits))
    assert film.bits == 8
    np.testing.assert_array_equal(film.pixels, levels * (255 // top))


def _shallow_png(levels, bits):
    """A PNG of less than 8 bits (PNG specification, memory)."""
    import struct
    import zlib

    def chunk(kind, body):
        checksum = zlib.crc32(kind + body)
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", checksum)

    height, width = levels.shape
    spread = np.unpackbits(levels[..., None], axis=-1)[..., 8 - bits :].reshape(height, -1)
    rows = b"".join(b"\x00" + row.tobytes() for row in np.packbits(spread, axis=1))
    head = struct.pack(">IIBBBBB", width, height, bits, 0, 0, 0, 0)
    parts = [chunk(b"IHDR", head), chunk(b"IDAT", zlib.compress(rows)), chunk(b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(parts)


def test_colour_becomes_luma_with_a_note():
    """Eight and sixteen bit colour; the depth is kept."""
    for data, colour, bits in (
        (png(COLOUR), COLOUR, 8),
        (imagecodecs.png_encode(COLOUR_16), COLOUR_16, 16),
        (tiff(COLOUR, photometric="rgb"), COLOUR, 8),
        (tiff(COLOUR_16, photometric="rgb"), COLOUR_16, 16),
    ):
        film = opened(data)
        assert film.bits == bits
        assert np.abs(film.pixels - luma(colour)).max() <= 1
        assert any("converted to grey" in note for note in film.notes)


def test_grey_saved_as_colour_is_exact():
    """Equal channels are taken as they are."""
    film = opened(imagecodecs.png_encode(np.stack([DEEP] * 3, -1)))
    np.testing.assert_array_equal(film.pixels, DEEP)
    assert any("channels are equal" in note for note in film.notes)


def test_transparent_parts_become_black_and_opaque_alpha_is_silent():
    """An alpha channel is laid over black."""
    alpha = np.full(FLAT.shape, 255, np.uint8)
    opaque = opened(png(np.stack([FLAT, FLAT, FLAT, alpha], -1)))
    np.testing.assert_array_equal(opaque.pixels, FLAT)
    assert not any("transparent" in note for note in opaque.notes)
    alpha[:10] = 0
    alpha[10:20] = 128
    film = opened(png(np.stack([FLAT, FLAT, FLAT, alpha], -1)))
    assert film.pixels[:10].max() == 0
    assert np.abs(film.pixels[10:20] - FLAT[10:20] * (128 / 255)).max() <= 1
    np.testing.assert_array_equal(film.pixels[20:], FLAT[20:])
    assert any("transparent" in note for note in film.notes)


def test_sixteen_bit_alpha_keeps_its_depth():
    """16-bit grey with alpha, which pillow would read as 8 bits."""
    opaque = np.full(DEEP.shape, 65535, np.uint16)
    film = opened(imagecodecs.png_encode(np.stack([DEEP, opaque], -1)))
    np.testing.assert_array_equal(film.pixels, DEEP)


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("kind", ["PNG", "JPEG", "TIFF"])
def test_orientation_tag_turns_the_film_upright(orientation, kind):
    """All eight orientations, compared with pillow's exif_transpose."""
    image = Image.fromarray(FLAT)
    exif = image.getexif()
    exif[0x0112] = orientation
    out = io.BytesIO()
    image.save(out, kind, exif=exif, **({"quality": 95} if kind == "JPEG" else {}))
    film = opened(out.getvalue())
    upright = np.asarray(ImageOps.exif_transpose(Image.open(io.BytesIO(out.getvalue()))))
    assert film.pixels.shape == upright.shape
    assert np.abs(film.pixels.astype(int) - upright).max() <= 1
    assert any("right way up" in note for note in film.notes) == (orientation != 1)


def test_time_of_the_picture_is_read():
    """DateTimeOriginal of EXIF gives the date."""
    image = Image.fromarray(FLAT)
    exif = image.getexif()
    exif[0x8769] = {0x9003: "2026:01:02 03:04:05"}
    for kind in ("PNG", "JPEG"):
        out = io.BytesIO()
        image.save(out, kind, exif=exif)
        assert opened(out.getvalue()).acquired == "2026-01-02"


def test_damaged_tags_are_no_reason_to_refuse():
    """The picture opens; the user is asked which way up it is."""
    film = opened(jpeg(FLAT, exif=b"Exif\x00\x00II*\x00\x08\x00"))
    assert film.pixels.shape == FLAT.shape
    assert any("check which way up" in note for note in film.notes)


def test_jpeg_equals_pillows_decoder():
    """Grey, colour and progressive; both are libjpeg-turbo, built independently."""
    for data in (
        jpeg(FLAT, quality=90),
        jpeg(FLAT, quality=90, progressive=True),
        jpeg(COLOUR, quality=90),
    ):
        theirs = np.asarray(Image.open(io.BytesIO(data)).convert("L")).astype(int)
        assert np.abs(opened(data).pixels - theirs).max() <= 1


def test_lossy_and_lossless_jpeg():
    """A lossless 12-bit JPEG file keeps every value; a lossy one carries a note."""
    deep = picture(bits=12)
    film = opened(imagecodecs.jpeg8_encode(deep, bitspersample=12, lossless=True))
    np.testing.assert_array_equal(film.pixels, deep)
    assert film.notes == ()
    assert any("lossy" in note for note in opened(jpeg(FLAT)).notes)


def test_four_ink_jpeg_opens_as_grey():
    """CMYK as pillow writes it, inverted the way such files are."""
    image = Image.fromarray(COLOUR).convert("CMYK")
    out = io.BytesIO()
    image.save(out, "JPEG", quality=95)
    expected = np.asarray(Image.open(io.BytesIO(out.getvalue())).convert("RGB").convert("L"))
    assert np.abs(opened(out.getvalue()).pixels.astype(int) - expected).max() <= 1


@pytest.mark.parametrize("grey", [FLAT, DEEP])
@pytest.mark.parametrize("compression", [None, "lzw", "deflate", "packbits"])
def test_tiff_with_white_as_zero_is_turned_round(grey, compression):
    """Photometric MinIsWhite: the values come inverted, so that larger is brighter."""
    full = int(np.iinfo(grey.dtype).max)
    film = opened(tiff(full - grey, photometric="miniswhite", compression=compression))
    np.testing.assert_array_equal(film.pixels, grey)


@pytest.mark.parametrize(
    "options",
    [
        {"byteorder": ">"},
        {"bigtiff": True},
        {"compression": "lzw", "rowsperstrip": 16},
        {"compression": "deflate", "predictor": True},
        {"tile": (32, 32)},
        {"tile": (32, 48), "compression": "lzw"},
    ],
)
def test_layouts_of_tiff(options):
    """Byte order, big TIFF, strips, tiles, compressions, predictor."""
    np.testing.assert_array_equal(opened(tiff(DEEP, **options)).pixels, DEEP)


def test_tiff_written_by_pillow():
    """Another writer than tifffile."""
    for compression in ("raw", "tiff_lzw", "tiff_adobe_deflate", "packbits"):
        out = io.BytesIO()
        Image.fromarray(DEEP).save(out, "TIFF", compression=compression)
        np.testing.assert_array_equal(opened(out.getvalue()).pixels, DEEP)


def test_planes_palette_inks_and_bilevel_of_tiff():
    """Planar colour, palette, CMYK and one-bit pictures become grey."""
    planar = tiff(np.moveaxis(COLOUR_16, -1, 0), photometric="rgb", planarconfig="separate")
    assert np.abs(opened(planar).pixels - luma(COLOUR_16)).max() <= 1
    steps = (np.arange(256) * 257).astype(np.uint16)
    palette = tiff(FLAT, photometric="palette", colormap=np.stack([steps] * 3))
    np.testing.assert_array_equal(opened(palette).pixels, FLAT)
    ink = np.stack([np.zeros_like(FLAT)] * 3 + [255 - FLAT], -1)
    inks = tiff(ink, photometric="separated")
    np.testing.assert_array_equal(opened(inks).pixels, FLAT)
    bilevel = tiff(FLAT > 100, photometric="minisblack")
    np.testing.assert_array_equal(opened(bilevel).pixels, (FLAT > 100) * np.uint8(255))


def test_twelve_bit_packed_tiff():
    """12-bit samples packed into bytes."""
    deep = picture(bits=12)
    pairs = deep.reshape(-1, 2).astype(int)
    three = [pairs[:, 0] >> 4, (pairs[:, 0] & 15) << 4 | pairs[:, 1] >> 8, pairs[:, 1] & 255]
    packed = np.stack(three, -1).astype(np.uint8).tobytes()
    film = opened(_raw_tiff(packed, deep.shape, 12))
    np.testing.assert_array_equal(film.pixels, deep)


def _raw_tiff(data, shape, bits):
    """A little-endian TIFF of one strip, written by hand (TIFF 6.0, memory)."""
    import struct

    entries = [
        (256, 4, shape[1]),
        (257, 4, shape[0]),
        (258, 3, bits),
        (259, 3, 1),
        (262, 3, 1),
        (273, 4, 8),
        (277, 3, 1),
        (278, 4, shape[0]),
        (279, 4, len(data)),
    ]
    table = struct.pack("<H", len(entries))
    table += b"".join(struct.pack("<HHII", tag, kind, 1, value) for tag, kind, value in entries)
    data += b"\x00" * (len(data) % 2)
    return struct.pack("<2sHI", b"II", 42, 8 + len(data)) + data + table + bytes(4)


def test_first_of_several_pictures_is_opened_with_a_note():
    """A TIFF of two pages and an animated PNG."""
    out = io.BytesIO()
    with tifffile.TiffWriter(out) as writer:
        writer.write(DEEP)
        writer.write(DEEP[::-1])
    film = opened(out.getvalue())
    np.testing.assert_array_equal(film.pixels, DEEP)
    assert any("the first is opened" in note for note in film.notes)
    out = io.BytesIO()
    first = Image.fromarray(FLAT)
    first.save(out, "PNG", save_all=True, append_images=[Image.fromarray(FLAT[::-1].copy())])
    film = opened(out.getvalue())
    np.testing.assert_array_equal(film.pixels, FLAT)
    assert any("the first is opened" in note for note in film.notes)


@pytest.mark.parametrize("compression", ["lzw", "deflate", "packbits", "jpeg", None])
def test_damaged_or_cut_strip_is_refused_not_padded(compression):
    """A strip that unpacks short, and a file whose strip reaches past its end."""
    data = tiff(FLAT, compression=compression)
    with tifffile.TiffFile(io.BytesIO(data)) as file:
        page = file.pages.first
        start, count = page.dataoffsets[-1], page.databytecounts[-1]
    with pytest.raises(FilmError):
        opened(data[: start + count // 2])
    if compression:
        hurt = data[: start + count // 2] + bytes(count - count // 2) + data[start + count :]
        with pytest.raises(FilmError):
            opened(hurt)


def test_tile_of_absurd_size_is_refused_unopened():
    """A tile is decoded whole, so its size is limited as well."""
    data = tiff(DEEP, tile=(32, 32))
    for tag in (322, 323):
        at = data.index(tag.to_bytes(2, "little"))
        data = data[: at + 2] + b"\x04\x00\x01\x00\x00\x00\x00\xc0\x00\x00" + data[at + 12 :]
    with pytest.raises(FilmError, match="laid out as no film"):
        opened(data)
