"""What a stored pixel spacing may be called, row by row of the decision table."""

import itertools
import math

import pytest
from made_films import dataset, file_bytes
from pydicom.dataset import Dataset

from radmeasure.errors import FilmError
from radmeasure.files.dicom_spacing import WORDS, spacing_verdict
from radmeasure.files.film import read_film_bytes

PITCH, CORRECTED, LARGER, TINY = [0.02, 0.02], [0.0187, 0.0187], [0.021, 0.021], [0.009, 0.009]
IMAGER, PIXEL, SCANNED = "ImagerPixelSpacing", "PixelSpacing", "NominalScannedPixelSpacing"
KIND, WHY = "PixelSpacingCalibrationType", "PixelSpacingCalibrationDescription"
FACTOR, ASPECT = "EstimatedRadiographicMagnificationFactor", "PixelAspectRatio"
FIDUCIAL = {KIND: "FIDUCIAL", WHY: "5.0 mm ball at the tooth"}
GEOMETRY = {KIND: "GEOMETRY", WHY: "source and object distance"}

# Attributes, then: basis (None: no millimetres), may be shown unconfirmed, key of the words.
# Meanings by DICOM PS3.3 10.7.1.1 and 10.7.1.3 (read); the last column of refusals is our
# safety rule where the standard says nothing (larger, resampled).
TABLE = {
    "nothing": ({}, None, False, "none"),
    "aspect ratio only": ({ASPECT: [1, 1]}, None, False, "none"),
    "imager": ({IMAGER: PITCH}, "detector", True, "detector"),
    "imager and factor": ({IMAGER: PITCH, FACTOR: 1.05}, "detector", True, "detector"),
    "imager and equal": ({IMAGER: PITCH, PIXEL: PITCH}, "detector", True, "detector"),
    "imager and smaller": ({IMAGER: PITCH, PIXEL: CORRECTED}, "unknown", False, "unstated"),
    "imager and larger": ({IMAGER: PITCH, PIXEL: LARGER}, None, False, "larger"),
    "larger, claimed fiducial": (
        {IMAGER: PITCH, PIXEL: LARGER} | FIDUCIAL,
        None,
        False,
        "larger",
    ),
    "imager and under half": ({IMAGER: PITCH, PIXEL: TINY}, None, False, "resampled"),
    "pixel alone": ({PIXEL: PITCH}, "unknown", False, "alone"),
    "geometry": (
        {IMAGER: PITCH, PIXEL: CORRECTED} | GEOMETRY,
        "estimated",
        True,
        "estimated",
    ),
    "fiducial": (
        {IMAGER: PITCH, PIXEL: CORRECTED} | FIDUCIAL,
        "calibrated",
        True,
        "calibrated",
    ),
    "fiducial without imager": ({PIXEL: CORRECTED} | FIDUCIAL, "calibrated", True, "calibrated"),
    "claimed but equal": ({IMAGER: PITCH, PIXEL: PITCH} | FIDUCIAL, "detector", True, "detector"),
    "geometry but equal": ({IMAGER: PITCH, PIXEL: PITCH} | GEOMETRY, "detector", True, "detector"),
    "type without spacing": ({IMAGER: PITCH} | FIDUCIAL, None, False, "type_alone"),
    "unknown type": (
        {IMAGER: PITCH, PIXEL: CORRECTED, KIND: "GUESS", WHY: "x"},
        None,
        False,
        "type_unknown",
    ),
    "scanned": ({SCANNED: PITCH}, "scanned", True, "scanned"),
    "scanned and equal": ({SCANNED: PITCH, PIXEL: PITCH}, "scanned", True, "scanned"),
    "scanned and smaller": ({SCANNED: PITCH, PIXEL: CORRECTED}, "unknown", False, "unstated"),
    "aspect contradicts": (
        {PIXEL: [0.02, 0.01], IMAGER: [0.02, 0.01], ASPECT: [1, 1]},
        None,
        False,
        "aspect",
    ),
}


def given(attributes):
    made = Dataset()
    for keyword, value in attributes.items():
        setattr(made, keyword, value)
    return made


@pytest.mark.parametrize("row", TABLE)
def test_row_of_the_table(row):
    """Basis, whether it may be shown unconfirmed, and the words on screen."""
    attributes, basis, usable, key = TABLE[row]
    verdict = spacing_verdict(given(attributes))
    assert verdict.words.startswith(WORDS[key])
    if basis is None:
        assert verdict.spacing is None
        return
    assert verdict.spacing.basis == basis
    assert verdict.spacing.usable is usable
    assert verdict.spacing.words == verdict.words
    assert verdict.spacing.row_mm == attributes.get(PIXEL, attributes.get(IMAGER, PITCH))[0]


@pytest.mark.parametrize(
    "value",
    [[0, 0], [-0.02, 0.02], [0.02], [0.02, 0.02, 0.02], ["nan", "nan"], ["inf", "0.02"], 0.02],
)
@pytest.mark.parametrize("keyword", [IMAGER, PIXEL, SCANNED])
def test_spacing_that_is_not_two_positive_numbers_gives_no_millimetres(keyword, value):
    """Zero, negative, one value, three values, not finite (10.7.1.3: positive, non-zero)."""
    from pydicom import config

    with config.disable_value_validation():
        verdict = spacing_verdict(given({keyword: value}))
    assert verdict.spacing is None
    assert verdict.words == WORDS["invalid"]


def test_empty_spacing_is_no_spacing():
    """A type 2 attribute may stand there without a value."""
    for empty in (None, "", []):
        assert spacing_verdict(given({PIXEL: empty, IMAGER: empty})).words == WORDS["none"]


def test_rows_come_first():
    """10.7.1.3: the first value is the distance between rows."""
    verdict = spacing_verdict(given({IMAGER: [0.03, 0.02]}))
    assert (verdict.spacing.row_mm, verdict.spacing.column_mm) == (0.03, 0.02)


def test_stated_magnification_is_offered_never_applied():
    """The spacing stays the detector's; the factor stands beside it and in the words."""
    verdict = spacing_verdict(given({IMAGER: PITCH, FACTOR: 1.05}))
    assert verdict.spacing.row_mm == 0.02
    assert verdict.spacing.magnification == 1.05
    assert "1.05, not applied" in verdict.words


@pytest.mark.parametrize("factor", [0, -1, "nan", "", None])
def test_nonsense_magnification_is_not_offered(factor):
    """Only a finite positive factor is offered."""
    from pydicom import config

    with config.disable_value_validation():
        verdict = spacing_verdict(given({IMAGER: PITCH, FACTOR: factor}))
    assert verdict.spacing.magnification is None


@pytest.mark.parametrize(
    "attributes, words",
    [
        ({IMAGER: PITCH, PIXEL: PITCH} | FIDUCIAL, "taken as uncorrected"),
        ({IMAGER: PITCH, PIXEL: CORRECTED, KIND: "FIDUCIAL"}, "does not describe the calibration"),
        ({IMAGER: PITCH, PIXEL: CORRECTED, FACTOR: 1.5} | GEOMETRY, "contradicts the 1.07"),
        ({IMAGER: PITCH, PIXEL: [0.0187, 0.0170]} | FIDUCIAL, "rows and columns differently"),
        ({PIXEL: [2, 2]}, "unusual for a film"),
    ],
)
def test_contradiction_is_told(attributes, words):
    """What does not fit together is downgraded or kept with a message."""
    assert words in " | ".join(spacing_verdict(given(attributes)).notes)


def test_agreeing_magnification_is_not_reported():
    """0.02 / 0.0187 is 1.07: a stated 1.07 is no contradiction."""
    verdict = spacing_verdict(given({IMAGER: PITCH, PIXEL: CORRECTED, FACTOR: 1.07} | GEOMETRY))
    assert verdict.notes == ()


def test_slices_have_no_spacing_of_a_film():
    """The pixel spacing of a CT or MR slice is not the scale of a projection."""
    assert spacing_verdict(given({PIXEL: [0.4, 0.4]}), projection=False).spacing is None


def test_every_combination_is_safe():
    """Over 2 000 combinations: no error, no millimetres above the detector's, words always."""
    spacings = [None, PITCH, CORRECTED, LARGER, TINY, [0, 0]]
    for imager, pixel, scanned in itertools.product(spacings, repeat=3):
        for kind, factor in itertools.product(["", "FIDUCIAL", "GEOMETRY", "X"], [None, 1.05, 3]):
            made = given({IMAGER: imager, PIXEL: pixel, SCANNED: scanned, KIND: kind})
            if factor:
                made.EstimatedRadiographicMagnificationFactor = factor
            verdict = spacing_verdict(made)
            assert verdict.words
            if verdict.spacing is None:
                continue
            assert math.isfinite(verdict.spacing.row_mm) and verdict.spacing.row_mm > 0
            if imager:
                assert verdict.spacing.row_mm <= imager[0]
            if verdict.spacing.basis in ("calibrated", "estimated"):
                assert kind in ("FIDUCIAL", "GEOMETRY")


def test_film_carries_the_verdict():
    """A read film has the spacing, its words and its notes."""
    film = read_film_bytes(file_bytes(dataset(**{IMAGER: PITCH, PIXEL: CORRECTED} | FIDUCIAL)), "f")
    assert film.spacing.basis == "calibrated"
    assert film.spacing_words == film.spacing.words == WORDS["calibrated"]


def test_film_with_oblong_pixels_is_refused_and_square_ones_are_not():
    """Angles and ratios in pixels would be wrong; 1 % is our limit."""
    assert read_film_bytes(file_bytes(dataset(**{ASPECT: [20, 20]})), "f")
    with pytest.raises(FilmError, match="not square"):
        read_film_bytes(file_bytes(dataset(**{ASPECT: [21, 20]})), "f")
    with pytest.raises(FilmError, match="not square"):
        read_film_bytes(file_bytes(dataset(**{IMAGER: [0.021, 0.02]})), "f")
