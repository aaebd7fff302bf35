"""Every transfer syntax gives the stored values that an independent encoder put in."""

import numpy as np
import pydicom
import pytest
from made_films import (
    DCMTK_ENCODINGS,
    LOSSY,
    SECONDARY_CAPTURE,
    dataset,
    dcmtk,
    encapsulated,
    encoded_by_dcmtk,
    file_bytes,
    high_throughput,
    jpeg,
    jpeg_2000,
    picture,
)
from pydicom.data import get_testdata_file
from pydicom.uid import RLELossless

from radmeasure.errors import FilmError
from radmeasure.files.dicom_pixels import first_picture, pixel_header
from radmeasure.files.film import read_film, read_film_bytes

CASES = [(name, bits) for name, (_, _, depths) in DCMTK_ENCODINGS.items() for bits in depths]


@pytest.mark.parametrize("name, bits", CASES)
def test_values_equal_what_dcmtk_encoded(name, bits, tmp_path):
    """Lossless: the original values. Lossy: within one of dcmtk's own decoder."""
    coded = encoded_by_dcmtk(name, bits, tmp_path)
    film = read_film(coded)
    if name not in LOSSY:
        np.testing.assert_array_equal(film.pixels, picture(bits=bits))
        return
    plain = tmp_path / "decoded.dcm"
    dcmtk("dcmdjpls" if "jpeg-ls" in name else "dcmdjpeg", coded, plain)
    theirs = pydicom.dcmread(plain).pixel_array.astype(int)
    assert np.abs(film.pixels.astype(int) - theirs).max() <= 1


@pytest.mark.parametrize("bits", [8, 12, 16])
def test_jpeg_2000_gives_the_original_values(bits):
    """Lossless JPEG 2000, encoded by OpenJPEG (the same library; other encoders below)."""
    grey = picture(bits=bits)
    frame = jpeg_2000(grey, bits)
    made = encapsulated(dataset(grey, bits=bits), [frame], "1.2.840.10008.1.2.4.90")
    np.testing.assert_array_equal(read_film_bytes(file_bytes(made), "film").pixels, grey)


def test_high_throughput_jpeg_2000_gives_the_original_values():
    """HTJ2K encoded by OpenJPH, decoded by OpenJPEG: two implementations."""
    grey = picture(bits=16)
    made = encapsulated(dataset(grey, bits=16), [high_throughput(grey)], "1.2.840.10008.1.2.4.201")
    np.testing.assert_array_equal(read_film_bytes(file_bytes(made), "film").pixels, grey)


@pytest.mark.parametrize("bits", [8, 12, 16])
def test_encapsulated_uncompressed_opens(bits):
    """Native pixels inside a fragment (1.2.840.10008.1.2.1.98)."""
    grey = picture(bits=bits)
    frame = grey.astype(grey.dtype.newbyteorder("<")).tobytes()
    made = encapsulated(dataset(grey, bits=bits), [frame], "1.2.840.10008.1.2.1.98")
    np.testing.assert_array_equal(read_film_bytes(file_bytes(made), "film").pixels, grey)


@pytest.mark.parametrize("bits", [8, 12, 16])
@pytest.mark.parametrize("encoding", ["native", "rle", "jpeg-ls", "jpeg 2000"])
def test_signed_values_keep_their_order(bits, encoding):
    """Signed stored values open shifted to start at zero."""
    centred = picture(bits=bits).astype(int) - 2 ** (bits - 1)
    signed = centred.astype(np.int8 if bits == 8 else np.int16)
    made = dataset(signed, bits=bits)
    if encoding == "rle":
        made.compress(RLELossless, encoding_plugin="pydicom")
    elif encoding == "jpeg 2000":
        frame = jpeg_2000(signed, bits)
        made = encapsulated(made, [frame], "1.2.840.10008.1.2.4.90")
    elif encoding == "jpeg-ls":
        from imagecodecs import jpegls_encode

        # JPEG-LS codes bit patterns; the data set says that they are signed (PS3.5 8.2.3)
        unsigned = (centred & (2**bits - 1)).astype(np.uint8 if bits == 8 else np.uint16)
        made = encapsulated(made, [jpegls_encode(unsigned)], "1.2.840.10008.1.2.4.80")
    film = read_film_bytes(file_bytes(made), "film")
    np.testing.assert_array_equal(film.pixels, picture(bits=bits))


def _stored(path):
    data = pydicom.dcmread(path)
    return first_picture(data, pixel_header(data, "film"), "film")


@pytest.mark.parametrize(
    "coded, plain",
    [
        ("RG1_J2KR.dcm", "RG1_UNCR.dcm"),
        ("RG1_J2KI.dcm", "RG1_UNCI.dcm"),
        ("RG3_J2KR.dcm", "RG3_UNCR.dcm"),
        ("RG3_J2KI.dcm", "RG3_UNCI.dcm"),
        ("MR2_J2KR.dcm", "MR2_UNCR.dcm"),
        ("MR2_J2KI.dcm", "MR2_UNCI.dcm"),
        ("693_J2KR.dcm", "693_UNCR.dcm"),
        ("US1_J2KR.dcm", "US1_UNCR.dcm"),
        ("US1_J2KI.dcm", "US1_UNCI.dcm"),
    ],
)
def test_jpeg_2000_of_other_encoders_equals_the_uncompressed_copy(coded, plain):
    """Pairs of one picture in pydicom-data, written by other programs; some pad with FF."""
    ours, theirs = (_stored(library_file(name)) for name in (coded, plain))
    assert np.abs(ours.astype(int) - theirs.astype(int)).max() <= (1 if "KI" in coded else 0)


@pytest.mark.parametrize(
    "coded, plain",
    [
        ("MR_small_RLE.dcm", "MR_small.dcm"),
        ("MR_small_jpeg_ls_lossless.dcm", "MR_small.dcm"),
        ("MR_small_jp2klossless.dcm", "MR_small.dcm"),
        ("MR_small_bigendian.dcm", "MR_small.dcm"),
        ("MR_small_expb.dcm", "MR_small.dcm"),
        ("MR_small_implicit.dcm", "MR_small.dcm"),
        ("MR_small_padded.dcm", "MR_small.dcm"),
        ("SC_rgb_rle.dcm", "SC_rgb.dcm"),
        ("SC_rgb_rle_16bit.dcm", "SC_rgb_16bit.dcm"),
        ("SC_rgb_dcmtk_+eb+cr.dcm", "SC_rgb_dcmtk_ebcr_dcmd.dcm"),
        ("SC_rgb_small_odd_big_endian.dcm", "SC_rgb_small_odd.dcm"),
    ],
)
def test_library_pairs_are_equal(coded, plain):
    """pydicom's test files of one picture in several encodings."""
    ours, theirs = (read_film(library_file(name)).pixels for name in (coded, plain))
    assert np.abs(ours.astype(int) - theirs.astype(int)).max() <= ("+eb" in coded)


def test_sign_of_the_data_set_wins_over_that_of_the_codestream():
    """J2K_pixelrep_mismatch: unsigned codestream, signed data set.

    The values are those of pydicom's own tests (tests/pixels/pixels_reference.py, memory).
    """
    stored = _stored(library_file("J2K_pixelrep_mismatch.dcm"))
    assert stored[0, 0] == -2000
    expected = [621, 412, 138, -193, -520, -767, -907, -966, -988, -995]
    assert stored[47:57, 279].tolist() == expected


def library_file(name):
    """Path of a file in pydicom or pydicom-data; nothing is downloaded."""
    path = get_testdata_file(name, download=False)
    assert path, f"{name} is missing: install the development dependencies"
    return path


def test_bits_outside_the_stored_ones_are_dropped():
    """Old films keep overlay bits above the picture; they are no part of its values."""
    grey = picture()
    made = dataset(grey | np.uint16(0x3000))
    np.testing.assert_array_equal(read_film_bytes(file_bytes(made), "film").pixels, grey)


def test_values_stored_high_in_their_word_are_shifted_down():
    """HighBit 15 with 12 bits stored: the picture stands in the upper bits."""
    grey = picture()
    made = dataset(grey << 4 | np.uint16(0x0005), HighBit=15)
    np.testing.assert_array_equal(read_film_bytes(file_bytes(made), "film").pixels, grey)


@pytest.mark.parametrize("padding", [b"", b"\x00", b"\x00\x00", b"\xff"])
def test_padding_behind_the_end_marker_is_no_damage(padding):
    """Fragments are padded to even length, by some writers with FF."""
    grey = picture()
    frame = jpeg_2000(grey, 12) + padding
    frame += b"\x00" * (len(frame) % 2)
    made = encapsulated(dataset(grey), [frame], "1.2.840.10008.1.2.4.90")
    np.testing.assert_array_equal(read_film_bytes(file_bytes(made), "film").pixels, grey)


def test_frame_in_several_fragments_is_joined():
    """One frame may be split over fragments of the encapsulated picture."""
    from pydicom.encaps import encapsulate

    grey = picture()
    frame = jpeg_2000(grey, 12)
    made = encapsulated(dataset(grey), [frame], "1.2.840.10008.1.2.4.90")
    made.PixelData = encapsulate([frame], fragments_per_frame=3, has_bot=False)
    np.testing.assert_array_equal(read_film_bytes(file_bytes(made), "film").pixels, grey)


@pytest.mark.parametrize(
    "photometric, quality", [("YBR_FULL_422", 95), ("YBR_FULL", 95), ("RGB", 95)]
)
def test_colour_jpeg_capture_becomes_grey(photometric, quality):
    """A colour secondary capture opens as luma, with a note, within JPEG's own error."""
    grey = picture(bits=8)
    colour = np.stack([grey, grey // 2, 255 - grey], -1)
    frame = jpeg(colour, quality=quality, subsampling=0)
    made = encapsulated(
        dataset(colour, bits=8, sop_class=SECONDARY_CAPTURE, modality="OT"),
        [frame],
        "1.2.840.10008.1.2.4.50",
        PhotometricInterpretation=photometric,
    )
    film = read_film_bytes(file_bytes(made), "film")
    luma = np.rint(colour @ np.array([0.299, 0.587, 0.114]))
    assert np.abs(film.pixels - luma).mean() < 3
    assert any("converted to grey" in note for note in film.notes)


def test_grey_saved_as_colour_keeps_its_values_exactly():
    """Equal channels are one channel; the note says that nothing was lost."""
    grey = picture(bits=8)
    made = dataset(np.stack([grey] * 3, -1), bits=8, sop_class=SECONDARY_CAPTURE)
    film = read_film_bytes(file_bytes(made), "film")
    np.testing.assert_array_equal(film.pixels, grey)
    assert any("channels are equal" in note for note in film.notes)


def test_first_of_several_frames_is_opened_with_a_note():
    """A capture of two pictures shows its first and says so."""
    both = np.stack([picture(seed=1), picture(seed=2)])
    made = dataset(both[0], NumberOfFrames=2, PixelData=both.astype("<u2").tobytes())
    film = read_film_bytes(file_bytes(made), "film")
    np.testing.assert_array_equal(film.pixels, both[0])
    assert "it holds 2 pictures: the first is opened" in film.notes


@pytest.mark.parametrize("syntax", ["1.2.840.10008.1.2.4.80", "1.2.840.10008.1.2.4.90"])
def test_decoders_are_named_not_chosen_by_what_is_installed(syntax, monkeypatch):
    """pydicom would take whichever plugin it finds first; ours does not ask it."""
    import pydicom.pixels
    from imagecodecs import jpegls_encode

    def chosen(*arguments, **options):
        raise AssertionError("pydicom was asked to choose a decoder")

    monkeypatch.setattr(pydicom.pixels, "pixel_array", chosen)
    grey = picture()
    frame = jpegls_encode(grey) if syntax.endswith("80") else jpeg_2000(grey, 12)
    made = encapsulated(dataset(grey), [frame], syntax)
    np.testing.assert_array_equal(read_film_bytes(file_bytes(made), "film").pixels, grey)


@pytest.mark.parametrize(
    "name",
    [
        "jpeg baseline",
        "jpeg extended",
        "jpeg lossless first order",
        "jpeg lossless predictor 6",
        "jpeg-ls lossless",
        "run length",
    ],
)
@pytest.mark.parametrize("kept", [0.95, 0.5, 0.1])
@pytest.mark.parametrize("with_end_marker", [False, True])
def test_cut_frame_is_refused_not_filled_with_grey(name, kept, with_end_marker, tmp_path):
    """Decoders fill what is missing without a word; a frame that ends early is refused.

    Also when an end marker was put behind what is left.
    """
    bits = DCMTK_ENCODINGS[name][2][-1]
    made = pydicom.dcmread(encoded_by_dcmtk(name, bits, tmp_path))
    frame = pydicom.encaps.get_frame(made.PixelData, 0, number_of_frames=1)
    frame = frame[: int(len(frame) * kept)] + (b"\xff\xd9" if with_end_marker else b"")
    made.PixelData = pydicom.encaps.encapsulate([frame + b"\x00" * (len(frame) % 2)])
    with pytest.raises(FilmError):
        read_film_bytes(file_bytes(made), "film")
