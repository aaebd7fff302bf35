"""Grey levels a film opens with: within one of dcmtk's, for made, library and real films."""

import numpy as np
import pydicom
import pytest
from made_films import (
    COMPUTED_RADIOGRAPHY,
    DCMTK_ENCODINGS,
    DIGITAL_X_RAY,
    INTRA_ORAL_RAW,
    SECONDARY_CAPTURE,
    dataset,
    dcmtk,
    encoded_by_dcmtk,
    file_bytes,
    picture,
)
from PIL import Image
from pydicom.data import get_testdata_file
from pydicom.dataset import Dataset
from pydicom.sequence import Sequence
from pydicom.uid import ExplicitVRBigEndian

from radmeasure.files.film import read_film, read_film_bytes


def drawn(film):
    """Grey levels as the film is drawn when opened."""
    return film.default_table[film.pixels].astype(int)


def drawn_by_dcmtk(path, folder, *more):
    """Grey levels dcmtk draws with the file's own first VOI LUT or window, else min to max."""
    header = pydicom.dcmread(path)
    if header.get("VOILUTSequence"):
        how = ("+Wl", "1")
    elif header.get("WindowWidth") not in (None, ""):
        how = ("+Wi", "1")
    else:
        how = ("+Wm",)
    syntax = str(header.file_meta.get("TransferSyntaxUID", ""))
    tool = "dcml2pnm" if syntax.endswith((".4.80", ".4.81")) else "dcmj2pnm"
    out = folder / "drawn.png"
    dcmtk(tool, "-O", *how, *more, "+on", path, out)
    levels = np.asarray(Image.open(out)).astype(int)
    if levels.ndim == 3:
        levels = (levels @ np.array([299, 587, 114]) + 500) // 1000
    return levels


def lut(entries, first, bits):
    """A modality or VOI LUT item."""
    item = Dataset()
    item.LUTDescriptor = [len(entries) % 65536, first, bits]
    item.LUTData = [int(v) for v in entries]
    item["LUTDescriptor"].VR = "US" if first >= 0 else "SS"
    item["LUTData"].VR = "US"
    return Sequence([item])


def curve(count, top, power=0.6):
    return np.round((np.arange(count) / (count - 1)) ** power * top).astype(int)


MADE = {
    "no window": {},
    "window": {"WindowCenter": 1800, "WindowWidth": 1200},
    "narrow window": {"WindowCenter": 2000.5, "WindowWidth": 2},
    "two windows": {"WindowCenter": [1500, 3000], "WindowWidth": [900, 100]},
    "linear window": {"WindowCenter": 1800, "WindowWidth": 1200, "VOILUTFunction": "LINEAR"},
    "sigmoid window": {"WindowCenter": 1800, "WindowWidth": 1200, "VOILUTFunction": "SIGMOID"},
    "inverse": {"PhotometricInterpretation": "MONOCHROME1", "PresentationLUTShape": "INVERSE"},
    "monochrome1 alone": {"PhotometricInterpretation": "MONOCHROME1"},
    "monochrome1 window": {
        "PhotometricInterpretation": "MONOCHROME1",
        "WindowCenter": 1800,
        "WindowWidth": 1200,
    },
    "identity": {"PresentationLUTShape": "IDENTITY", "WindowCenter": 2048, "WindowWidth": 4096},
    "rescale": {
        "RescaleSlope": 0.5,
        "RescaleIntercept": -100,
        "WindowCenter": 700,
        "WindowWidth": 900,
    },
    "falling rescale": {
        "RescaleSlope": -1,
        "RescaleIntercept": 4095,
        "WindowCenter": 2048,
        "WindowWidth": 3000,
    },
    "modality table": {
        "ModalityLUTSequence": lut(curve(4096, 65535), 0, 16),
        "WindowCenter": 40000,
        "WindowWidth": 30000,
    },
    "modality table, no window": {"ModalityLUTSequence": lut(curve(4096, 65535), 0, 16)},
    "display table 16 bit": {"VOILUTSequence": lut(curve(4096, 65535), 0, 16)},
    "display table 12 bit": {"VOILUTSequence": lut(curve(4096, 4095, 1.7), 0, 12)},
    "display table 8 bit": {"VOILUTSequence": lut(curve(4096, 255), 0, 8)},
    "display table, later start": {"VOILUTSequence": lut(curve(2000, 65535), 1000, 16)},
    "display table and window": {
        "VOILUTSequence": lut(curve(4096, 65535), 0, 16),
        "WindowCenter": 100,
        "WindowWidth": 50,
    },
    "inverse display table": {
        "PhotometricInterpretation": "MONOCHROME1",
        "PresentationLUTShape": "INVERSE",
        "VOILUTSequence": lut(curve(4096, 65535), 0, 16),
    },
    "shape against photometric 1": {
        "PhotometricInterpretation": "MONOCHROME1",
        "PresentationLUTShape": "IDENTITY",
        "WindowCenter": 2048,
        "WindowWidth": 4096,
    },
    "shape against photometric 2": {
        "PresentationLUTShape": "INVERSE",
        "WindowCenter": 2048,
        "WindowWidth": 4096,
    },
    "digital x-ray": {
        "sop_class": DIGITAL_X_RAY,
        "modality": "DX",
        "WindowCenter": 2000,
        "WindowWidth": 3000,
    },
    "computed radiography": {"sop_class": COMPUTED_RADIOGRAPHY, "modality": "CR"},
    "secondary capture": {"sop_class": SECONDARY_CAPTURE, "modality": "OT"},
    "raw": {
        "sop_class": INTRA_ORAL_RAW,
        "PresentationIntentType": "FOR PROCESSING",
        "PixelIntensityRelationshipSign": -1,
    },
}


@pytest.mark.parametrize("name", MADE)
def test_made_film_is_drawn_as_dcmtk_draws_it(name, tmp_path):
    """Modality, VOI and presentation in the standard's order, one inversion."""
    path = tmp_path / "film.dcm"
    path.write_bytes(file_bytes(dataset(**MADE[name])))
    film = read_film(path)
    assert np.abs(drawn(film) - drawn_by_dcmtk(path, tmp_path)).max() <= 1
    assert film.default_table[-1] >= film.default_table[0], "larger must be drawn brighter"


@pytest.mark.parametrize("bits", [8, 10, 12, 14, 16])
@pytest.mark.parametrize("signed", [False, True])
def test_every_depth_is_drawn_as_dcmtk_draws_it(bits, signed, tmp_path):
    """With a window over part of the range."""
    grey = picture(bits=bits)
    middle = 2 ** (bits - 1)
    if signed:
        grey = (grey.astype(int) - middle).astype(np.int8 if bits == 8 else np.int16)
    made = dataset(grey, bits=bits, WindowCenter=(0 if signed else middle) + 5, WindowWidth=middle)
    path = tmp_path / "film.dcm"
    path.write_bytes(file_bytes(made))
    assert np.abs(drawn(read_film(path)) - drawn_by_dcmtk(path, tmp_path)).max() <= 1


@pytest.mark.parametrize("name", DCMTK_ENCODINGS)
def test_every_encoding_is_drawn_as_dcmtk_draws_it(name, tmp_path):
    """The same film in every encoding dcmtk writes."""
    bits = DCMTK_ENCODINGS[name][2][-1]
    window = {"WindowCenter": 0.45 * 2**bits, "WindowWidth": 0.6 * 2**bits}
    path = encoded_by_dcmtk(name, bits, tmp_path, **window)
    assert np.abs(drawn(read_film(path)) - drawn_by_dcmtk(path, tmp_path)).max() <= 1


# Film: height, width, bits, acquired, spacing basis, words that one of the notes holds.
LIBRARY = {
    "RG1_UNCR.dcm": (1955, 1841, 15, "1995-09-26", None, ""),
    "RG1_UNCI.dcm": (1955, 1841, 15, "1995-09-26", None, "lossy"),
    "RG3_UNCR.dcm": (1760, 1760, 10, "1992-12-25", None, "mirrored"),
    "RG3_UNCI.dcm": (1760, 1760, 10, "1992-12-25", None, "lossy"),
    "77654033/CR1/6154": (16, 16, 12, "2001-01-01", "detector", ""),
    "77654033/CR2/6247": (16, 16, 12, "2001-01-01", "detector", ""),
    "77654033/CR3/6278": (16, 16, 12, "2001-01-01", "detector", ""),
    "mlut_18.dcm": (512, 512, 12, "2000-06-21", None, ""),
    "vlut_04.dcm": (512, 512, 8, "2000-06-21", None, ""),
    "JPGExtended.dcm": (1024, 256, 12, "1997-08-06", None, "not a projection"),
    "JPEG-lossy.dcm": (1024, 256, 12, "1997-08-06", None, "lossy"),
    "JPEG-LL.dcm": (1024, 256, 16, "1997-08-06", None, "not a projection"),
    "JPGLosslessP14SV1_1s_1f_8b.dcm": (768, 1024, 8, "2019-01-24", None, "not a projection"),
    "JPEGLSNearLossless_08.dcm": (45, 10, 8, "", None, ""),
    "JPEGLSNearLossless_16.dcm": (50, 10, 16, "", None, ""),
    "image_dfl.dcm": (512, 512, 8, "", None, ""),
    "MR_small.dcm": (64, 64, 16, "2004-08-26", None, "not a projection"),
    "MR_small_RLE.dcm": (64, 64, 16, "2004-08-26", None, "not a projection"),
    "MR_small_bigendian.dcm": (64, 64, 16, "2004-08-26", None, "not a projection"),
    "MR_small_implicit.dcm": (64, 64, 16, "2004-08-26", None, "not a projection"),
    "MR_small_jpeg_ls_lossless.dcm": (64, 64, 16, "2004-08-26", None, "not a projection"),
    "MR-SIEMENS-DICOM-WithOverlays.dcm": (484, 484, 12, "2005-11-30", None, "drawings laid"),
    "CT_small.dcm": (128, 128, 16, "1997-04-30", None, "not a projection"),
    "examples_overlay.dcm": (300, 484, 12, "2005-11-30", None, "drawings laid"),
    "examples_palette.dcm": (350, 800, 8, "2011-05-25", None, "converted to grey"),
    "OBXXXX1A.dcm": (600, 800, 8, "2011-05-25", None, "converted to grey"),
    "OBXXXX1A_expb.dcm": (600, 800, 8, "2011-05-25", None, "converted to grey"),
    "OBXXXX1A_rle_2frame.dcm": (600, 800, 8, "2011-05-25", None, "2 pictures"),
    "examples_ybr_color.dcm": (240, 320, 8, "2016-05-03", None, "30 pictures"),
    "color3d_jpeg_baseline.dcm": (480, 640, 8, "2016-05-03", None, "120 pictures"),
    "ExplVR_BigEnd.dcm": (60, 80, 8, "1997-04-24", None, "converted to grey"),
    "SC_rgb_dcmtk_+eb+cr.dcm": (100, 100, 8, "2017-01-01", "unknown", "converted to grey"),
    "SC_rgb_dcmtk_+eb+cy+np.dcm": (100, 100, 8, "2017-01-01", "unknown", "converted to grey"),
    "SC_rgb_jpeg_gdcm.dcm": (100, 100, 8, "2017-01-01", "unknown", "unusual for a film"),
    "SC_rgb_jls_lossy_line.dcm": (100, 100, 8, "", None, "converted to grey"),
    "SC_rgb_rle_16bit.dcm": (100, 100, 16, "2017-01-01", "unknown", "converted to grey"),
    "SC_jpeg_no_color_transform.dcm": (256, 256, 8, "", None, "converted to grey"),
    "SC_ybr_full_uncompressed.dcm": (100, 100, 8, "2017-01-01", "unknown", "converted to grey"),
    "SC_ybr_full_422_uncompressed.dcm": (100, 100, 8, "2017-01-01", "unknown", "lossy"),
}


@pytest.mark.parametrize("name", LIBRARY)
def test_library_film_has_its_facts_and_dcmtks_grey_levels(name, tmp_path):
    """pydicom's test files and the real CR radiographs of pydicom-data.

    Facts read off their headers with dcmdump; none has a spacing we may use for
    millimetres on a tooth except the detector pitch of the tiny CR films.
    """
    path = get_testdata_file(name, download=False)
    assert path, f"{name} is missing: install the development dependencies"
    height, width, bits, acquired, basis, words = LIBRARY[name]
    film = read_film(path)
    assert (film.height, film.width, film.bits, film.acquired) == (height, width, bits, acquired)
    assert (film.spacing and film.spacing.basis) == basis
    assert words in " | ".join(film.notes)
    assert np.abs(drawn(film) - drawn_by_dcmtk(path, tmp_path)).max() <= 1


def test_real_radiograph_with_a_spacing_of_zero_gets_no_millimetres():
    """RG1 states a pixel spacing of 0.000: no scale, and the words say why."""
    film = read_film(get_testdata_file("RG1_UNCR.dcm", download=False))
    assert film.spacing is None
    assert "not two positive numbers" in film.spacing_words


def _film(**attributes):
    return read_film_bytes(file_bytes(dataset(**attributes)), "film")


def test_eight_bit_display_table_of_many_entries_is_not_wrapped():
    """pydicom 3.0.2 draws the value 4095 as 15 through such a table; it must be 255."""
    film = _film(VOILUTSequence=lut(curve(4096, 255, 1.0), 0, 8))
    np.testing.assert_array_equal(film.default_table, curve(4096, 255, 1.0))


def test_display_table_of_a_big_endian_film_is_read_in_its_own_byte_order():
    """Tables kept as words (VR OW) have the byte order of the file."""
    entries = curve(4096, 65535)
    made = dataset(VOILUTSequence=lut(entries, 0, 16))
    made.VOILUTSequence[0]["LUTData"].VR = "OW"
    made.VOILUTSequence[0].LUTData = entries.astype(">u2").tobytes()
    made.PixelData = picture().astype(">u2").tobytes()
    made.file_meta.TransferSyntaxUID = ExplicitVRBigEndian
    film = read_film_bytes(file_bytes(made), "film")
    expected = np.floor(entries / 65535 * 255 + 0.5)
    np.testing.assert_array_equal(film.default_table, expected)


@pytest.mark.parametrize("vr, first", [("SS", -2048), ("US", 65536 - 2048)])
def test_table_of_signed_values_may_start_below_zero(vr, first):
    """The first value is signed when the pixels are, whatever VR a writer chose."""
    entries = curve(4096, 65535, 1.0)
    table = lut(entries, -2048, 16)
    table[0].LUTDescriptor = [4096, -2048, 16]
    table[0]["LUTDescriptor"].VR = vr
    table[0]["LUTDescriptor"].value = [4096, first, 16]
    signed = (picture().astype(int) - 2048).astype(np.int16)
    film = _film(pixels=signed, VOILUTSequence=table)
    np.testing.assert_array_equal(film.default_table, np.floor(entries / 65535 * 255 + 0.5))


def test_inversion_does_not_depend_on_the_brightest_pixel():
    """A part of a film is drawn in the same greys as the whole."""
    grey = picture()
    inverse = {
        "PhotometricInterpretation": "MONOCHROME1",
        "WindowCenter": 2048,
        "WindowWidth": 4096,
    }
    whole = read_film_bytes(file_bytes(dataset(grey, **inverse)), "film")
    dark = np.argmin(grey.max(axis=1))
    part = read_film_bytes(file_bytes(dataset(grey[dark : dark + 1], **inverse)), "film")
    np.testing.assert_array_equal(drawn(whole)[dark : dark + 1], drawn(part))


def test_inverse_film_is_stored_so_that_larger_is_brighter():
    """MONOCHROME1: the pixels themselves come the other way round, as tracing expects."""
    grey = picture()
    film = read_film_bytes(
        file_bytes(dataset(4095 - grey, PhotometricInterpretation="MONOCHROME1")), "film"
    )
    np.testing.assert_array_equal(film.pixels, grey)


@pytest.mark.parametrize("name", ["shape against photometric 1", "shape against photometric 2"])
def test_contradiction_on_inversion_is_told(name):
    """The shape is followed (as dcmtk does) and the user is asked to look."""
    film = _film(**MADE[name])
    assert any("contradicts itself on what is drawn bright" in note for note in film.notes)


def test_one_inversion_only():
    """MONOCHROME1 and INVERSE state the same fact (PS3.3 C.8.11.3.1.2): no note, no double."""
    film = _film(**MADE["inverse"])
    assert film.notes == ()
    np.testing.assert_array_equal(film.pixels, 4095 - picture())


@pytest.mark.parametrize(
    "window",
    [
        {"WindowCenter": 100, "WindowWidth": 0},
        {"WindowCenter": 100, "WindowWidth": -5},
        {"WindowCenter": 100, "WindowWidth": 0.5},
        {"WindowWidth": 100},
        {"WindowCenter": 100},
        {"WindowCenter": 100, "WindowWidth": 0, "VOILUTFunction": "LINEAR_EXACT"},
    ],
)
def test_unusable_window_falls_back_to_the_picture(window):
    """pydicom raises here; we draw from darkest to brightest and say so."""
    film = _film(**window)
    assert any("window is not usable" in note for note in film.notes)
    np.testing.assert_array_equal(film.default_table, _film().default_table)


def test_exact_linear_window_follows_the_standard():
    """LINEAR_EXACT (PS3.3 C.11.2.1.3.2, read): (x - c) / w + 0.5; dcmtk 3.6.7 lacks it."""
    film = _film(WindowCenter=2000, WindowWidth=1000, VOILUTFunction="LINEAR_EXACT")
    assert list(film.default_table[[1499, 1500, 2000, 2500, 2501]]) == [0, 0, 128, 255, 255]
    assert film.default_table[1750] == round(0.25 * 255)


def test_linear_window_follows_the_standards_pseudo_code():
    """LINEAR (C.11.2.1.2.1, read): with c - 0.5 and w - 1, width 1 a step."""
    step = _film(WindowCenter=2000, WindowWidth=1).default_table
    assert list(step[[1999, 2000]]) == [0, 255]
    between = _film(WindowCenter=2000.5, WindowWidth=1).default_table
    assert list(between[[2000, 2001]]) == [0, 255]  # on the step itself: still black
    table = _film(WindowCenter=2048, WindowWidth=4096).default_table
    assert (table[0], table[4095]) == (0, 255)
    share = (2000 - (2048 - 0.5)) / (4096 - 1) + 0.5
    assert table[2000] == np.floor(share * 255 + 0.5)


def test_unknown_window_function_and_damaged_tables_are_told():
    """What cannot be used is left out with a note, never a refusal."""
    broken = lut(curve(100, 255), 0, 8)
    broken[0].LUTDescriptor = [4096, 0, 8]
    film = _film(VOILUTSequence=broken)
    assert any("display table is damaged" in note for note in film.notes)
    film = _film(ModalityLUTSequence=broken)
    assert any("modality table is damaged" in note for note in film.notes)
    film = _film(WindowCenter=5, WindowWidth=9, VOILUTFunction="WAVY")
    assert any("window function the program does not know" in note for note in film.notes)
    film = _film(RescaleSlope=0, RescaleIntercept=0)
    assert any("rescale values are not usable" in note for note in film.notes)


def test_padding_does_not_darken_the_film():
    """The padding value outside the picture is left out of the darkest to brightest span."""
    grey = picture() // 2 + 1000
    padded = grey.copy()
    padded[:20] = 0
    film = read_film_bytes(file_bytes(dataset(padded, PixelPaddingValue=0)), "film")
    assert film.default_table[grey[20:].min()] == 0
    assert film.default_table[grey[20:].min() + 100] > 0
    without = read_film_bytes(file_bytes(dataset(padded)), "film")
    assert without.default_table[grey[20:].min()] > 50


def test_raw_detector_values_are_drawn_with_dense_material_bright():
    """FOR PROCESSING with sign +1 (more value, more X-ray): inverted, with a note."""
    film = _film(
        pixels=4095 - picture(),
        sop_class=INTRA_ORAL_RAW,
        PresentationIntentType="FOR PROCESSING",
        PixelIntensityRelationshipSign=1,
    )
    np.testing.assert_array_equal(film.pixels, picture())
    assert any("raw values of the detector" in note for note in film.notes)


def test_film_that_asks_for_dense_dark_is_drawn_so_with_a_note():
    """A film for presentation is drawn as it asks; the contradiction is told."""
    film = _film(PixelIntensityRelationshipSign=1)
    np.testing.assert_array_equal(film.pixels, picture())
    assert any("dense material dark" in note for note in film.notes)


def test_big_endian_palette_is_read_in_its_own_byte_order():
    """pydicom 3.0.2 swaps the palette of big-endian files; the pair below shows one picture."""
    little, big = (
        read_film(get_testdata_file(name, download=False))
        for name in ("OBXXXX1A.dcm", "OBXXXX1A_expb.dcm")
    )
    np.testing.assert_array_equal(little.pixels, big.pixels)


def test_segmented_palette_opens():
    """A segmented palette, which dcmtk 3.6.7 does not support; both byte orders agree."""
    little, big = (
        read_film(get_testdata_file(name, download=False))
        for name in ("gdcm-US-ALOKA-16.dcm", "gdcm-US-ALOKA-16_big.dcm")
    )
    np.testing.assert_array_equal(little.pixels, big.pixels)
    assert little.pixels.max() > 200
