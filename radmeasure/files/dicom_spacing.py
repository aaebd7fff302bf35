"""What a distance on a DICOM film may be called: one decision table with its words.

Attributes are read as DICOM PS3.3 section 10.7 (Basic Pixel Spacing
Calibration, read) and the DX Detector, Intra-Oral and SC Image modules give
them. A radiograph is a projection: the spacing of the detector's pixels is not
that of the tooth, which lies nearer to the source and is drawn larger. So a
film's own spacing is never more than it says it is. The limits on plausible
values below are ours, for safety; the standard has none.
"""

import math
from dataclasses import dataclass

from radmeasure.model.film import Spacing

# Two spacings are the same within the rounding of decimal strings.
SAME = 1e-4
# A magnification above this means a resampled picture with stale tags, not a dental geometry.
MAX_MAGNIFICATION = 2.0
# A stated magnification may differ by this from the one the spacings imply.
MAGNIFICATION_SLACK = 0.02
# Pixels of intra-oral and extra-oral detectors and scans (mm); outside, a note is given.
PLAUSIBLE_MM = (0.005, 0.5)

WORDS = {
    "none": "the file states no spacing",
    "detector": "millimetres at the detector, not corrected for magnification",
    "scanned": "millimetres on the scanned film, not corrected for magnification",
    "estimated": "millimetres estimated for an assumed depth, near the central ray",
    "calibrated": "millimetres calibrated at the depth of the reference object, near the"
    " central ray",
    "unstated": "millimetres corrected by a method the file does not state; confirm or calibrate"
    " before they are used",
    "alone": "millimetres of unknown basis: the file does not say whether they are corrected for"
    " magnification; confirm or calibrate before they are used",
    "invalid": "no millimetres: the spacing in the file is not two positive numbers; calibrate"
    " on the film",
    "larger": "no millimetres: the stated pixel spacing is larger than the detector's, which a"
    " diverging beam cannot give; calibrate on the film",
    "resampled": "no millimetres: the stated spacings imply a magnification above 2, as in a"
    " resampled picture; calibrate on the film",
    "type_alone": "no millimetres: a calibration is claimed but no calibrated spacing is given;"
    " calibrate on the film",
    "type_unknown": "no millimetres: the kind of calibration in the file is not one DICOM knows;"
    " calibrate on the film",
    "aspect": "no millimetres: the stated spacing contradicts the stated pixel aspect ratio;"
    " calibrate on the film",
    "no_projection": "no millimetres: the picture is no projection film, so its spacing means"
    " something else; calibrate on the film",
}


@dataclass(frozen=True)
class SpacingVerdict:
    """The table's answer.

    Attributes
    ----------
    spacing : Spacing or None
    words : str
        What the spacing may be called, or why there is none.
    notes : tuple of str
        Contradictions and oddities to show.
    """

    spacing: Spacing | None
    words: str
    notes: tuple = ()


class _Invalid(Exception):
    """A spacing attribute is there and is not two positive numbers."""


def spacing_verdict(dataset, projection=True):
    """Read the spacing attributes of a data set and decide what they may be called.

    Parameters
    ----------
    dataset : pydicom.Dataset
    projection : bool
        False for slices (CT, MR, ...), whose spacing is not the film's.

    Returns
    -------
    SpacingVerdict
    """
    try:
        imager = _pair(dataset, "ImagerPixelSpacing")
        pixel = _pair(dataset, "PixelSpacing")
        scanned = _pair(dataset, "NominalScannedPixelSpacing")
    except _Invalid:
        return SpacingVerdict(None, WORDS["invalid"])
    if not projection and (imager or pixel or scanned):
        return SpacingVerdict(None, WORDS["no_projection"])
    kind = str(dataset.get("PixelSpacingCalibrationType") or "").strip().upper()
    refusal = _refusal(dataset, imager, pixel, scanned, kind)
    if refusal:
        return SpacingVerdict(None, WORDS[refusal])
    stated = _positive(dataset.get("EstimatedRadiographicMagnificationFactor"))
    return _named(dataset, imager, pixel, scanned, kind, stated)


def _refusal(dataset, imager, pixel, scanned, kind):
    """Key of the words for a contradiction that leaves no millimetres, or None."""
    if kind not in ("", "GEOMETRY", "FIDUCIAL"):
        return "type_unknown"
    if kind and not pixel:
        return "type_alone"
    stated = pixel or imager or scanned
    aspect = aspect_ratio(dataset)
    if stated and aspect and abs(aspect - stated[0] / stated[1]) > 1e-3 * aspect:
        return "aspect"
    if not (pixel and imager):
        return None
    if any(p > i * (1 + SAME) for p, i in zip(pixel, imager, strict=True)):
        return "larger"
    if any(i / p > MAX_MAGNIFICATION for p, i in zip(pixel, imager, strict=True)):
        return "resampled"
    return None


def _named(dataset, imager, pixel, scanned, kind, stated):
    """The row of the table for consistent attributes."""
    notes = _oddities(pixel or imager or scanned)
    if pixel and imager and not _same(pixel, imager):
        notes += _magnification_notes(imager, pixel, stated)
    if kind and imager and _same(pixel, imager):
        notes.append(
            f"the file claims a {kind} calibration, yet its spacing is the detector's own:"
            " taken as uncorrected"
        )
        return _verdict(pixel, "detector", "detector", True, stated, notes)
    if kind:
        basis = "calibrated" if kind == "FIDUCIAL" else "estimated"
        if not str(dataset.get("PixelSpacingCalibrationDescription") or "").strip():
            notes.append("the file does not describe the calibration it claims")
        return _verdict(pixel, basis, basis, True, None, notes)
    if pixel and imager and _same(pixel, imager):
        return _verdict(pixel, "detector", "detector", True, stated, notes)
    if pixel and scanned and _same(pixel, scanned):
        return _verdict(pixel, "scanned", "scanned", True, stated, notes)
    if pixel:
        key = "unstated" if imager or scanned else "alone"
        return _verdict(pixel, "unknown", key, False, None, notes)
    if imager:
        return _verdict(imager, "detector", "detector", True, stated, notes)
    if scanned:
        return _verdict(scanned, "scanned", "scanned", True, stated, notes)
    return SpacingVerdict(None, WORDS["none"], tuple(notes))


def _verdict(pair, basis, key, usable, magnification, notes):
    words = WORDS[key]
    if magnification:
        words += f"; the file states a magnification of {magnification:.3g}, not applied"
    spacing = Spacing(*pair, basis, words, usable, magnification)
    return SpacingVerdict(spacing, words, tuple(notes))


def _oddities(pair):
    low, high = PLAUSIBLE_MM
    if pair and not all(low <= mm <= high for mm in pair):
        return [f"a pixel spacing of {pair[0]:.4g} × {pair[1]:.4g} mm is unusual for a film"]
    return []


def _magnification_notes(imager, pixel, stated):
    implied = [i / p for i, p in zip(imager, pixel, strict=True)]
    notes = []
    if abs(implied[0] - implied[1]) > 1e-3:
        notes.append("the file magnifies rows and columns differently")
    if stated and abs(implied[0] - stated) > MAGNIFICATION_SLACK:
        notes.append(
            f"the stated magnification {stated:.3g} contradicts the {implied[0]:.3g} that the"
            " spacings imply"
        )
    return notes


def _same(one, other):
    return all(abs(a - b) <= SAME * max(a, b) for a, b in zip(one, other, strict=True))


def _pair(dataset, keyword):
    """Row and column spacing, row first as DICOM 10.7.1.3 says; None when absent."""
    value = dataset.get(keyword)
    if value is None or value == "":
        return None
    try:
        pair = tuple(float(v) for v in ([value] if isinstance(value, (str, float)) else value))
    except (TypeError, ValueError):
        raise _Invalid(keyword) from None
    if not pair:
        return None
    if len(pair) != 2 or not all(math.isfinite(v) and v > 0 for v in pair):
        raise _Invalid(keyword)
    return pair


def _positive(value):
    try:
        number = float(value)
    except (TypeError, ValueError):
        return None
    return number if math.isfinite(number) and number > 0 else None


def aspect_ratio(dataset):
    """Vertical over horizontal pixel size (PS3.3 C.7.6.3.1.7), None when absent or unreadable."""
    value = dataset.get("PixelAspectRatio")
    try:
        vertical, horizontal = (float(v) for v in value)
    except (TypeError, ValueError):
        return None
    return vertical / horizontal if vertical > 0 and horizontal > 0 else None
