"""Grey level of every stored value of a DICOM film, as one table.

The order is the standard's (PS3.3 C.11 and C.7.6.3, PS3.4 annex N; read for the
window formulas, the rest from memory): modality LUT or rescale, then VOI LUT
or window, then the presentation LUT shape or the photometric interpretation,
which inverts at most once. Everything is computed on a table over the stored
values, never on the picture: a film has millions of pixels and at most 65 536
values.
"""

import math
from dataclasses import dataclass

import numpy as np

from radmeasure.files.dicom_lut import read_lut


@dataclass(frozen=True)
class Window:
    """A window by one of the standard's functions (PS3.3 C.11.2.1.2 and C.11.2.1.3).

    Attributes
    ----------
    function : str
        'LINEAR' (with its c - 0.5 and w - 1), 'LINEAR_EXACT' or 'SIGMOID'.
    centre, width : float
    """

    function: str
    centre: float
    width: float

    def share(self, values):
        """Shares 0..1 of modality values."""
        centre, width = self.centre, self.width
        if self.function == "SIGMOID":
            return 1.0 / (1.0 + np.exp(np.clip(-4.0 * (values - centre) / width, -700, 700)))
        if self.function == "LINEAR_EXACT":
            return np.clip((values - centre) / width + 0.5, 0, 1)
        if width == 1:
            return (values > centre - 0.5).astype(float)
        share = values - (centre - 0.5)
        share /= width - 1
        share += 0.5
        return np.clip(share, 0, 1, out=share)


def spanning(low, high):
    """The window that draws ``low`` black and ``high`` white."""
    return Window("LINEAR", (float(low) + float(high) + 1) / 2, float(high) - float(low) + 1)


@dataclass(frozen=True)
class Display:
    """How stored values are drawn, and by which steps of the standard.

    Attributes
    ----------
    table : ndarray, shape (2**bits,), uint8
        Grey level of ``lowest``, ``lowest + 1``, ...
    notes : tuple of str
    modality : Lut or (slope, intercept)
    voi : Lut or Window
    inverse : bool
        Whether the result is inverted in the end.
    span : (low, high)
        Modality values that stored values can come to.
    """

    table: np.ndarray
    notes: tuple = ()
    modality: object = (1.0, 0.0)
    voi: object = None
    inverse: bool = False
    span: tuple = (0, 255)


def stored_range(bits, signed):
    """Lowest and highest value that ``bits`` bits hold."""
    return (-(2 ** (bits - 1)), 2 ** (bits - 1) - 1) if signed else (0, 2**bits - 1)


def display_of(dataset, bits, signed, extremes):
    """The table a film is opened with.

    Parameters
    ----------
    dataset : pydicom.Dataset
        MONOCHROME1 or MONOCHROME2.
    bits : int
        Bits stored, at most 16.
    signed : bool
    extremes : callable
        Gives the (lowest, highest) stored value of the picture; asked only
        when the file states no usable window.

    Returns
    -------
    Display
    """
    notes = []
    lowest, highest = stored_range(bits, signed)
    stored = np.arange(lowest, highest + 1)
    modality = _modality(dataset, signed, notes)
    values = _through(modality, stored)
    voi = _voi_lut(dataset, values, notes) or _window(dataset, notes)
    if voi is None:
        first, last = (v - lowest for v in extremes())
        present = values[first : last + 1]
        voi = spanning(present.min(), present.max())
    share = voi.share(values)
    inverse = _inverted(dataset, notes)
    ends = 1.0 - share[[0, -1]] if inverse else share[[0, -1]]
    if _dense_dark(dataset, ends[1] > ends[0], notes):
        inverse = not inverse
    share = 1.0 - share if inverse else share
    grey = (np.clip(share, 0, 1) * 255 + 0.5).astype(np.uint8)
    span = (values.min(), values.max())
    return Display(grey, tuple(notes), modality, voi, inverse, span)


def _through(modality, stored):
    """Modality values of stored ones."""
    if modality == (1.0, 0.0):
        return stored.astype(float)
    if isinstance(modality, tuple):
        return stored * modality[0] + modality[1]
    return modality.at(stored).astype(float)


def _modality(dataset, signed, notes):
    """The modality LUT, else slope and intercept."""
    sequence = dataset.get("ModalityLUTSequence")
    if sequence:
        lut = read_lut(sequence[0], "LUT", signed=signed)
        if lut is not None:
            return lut
        notes.append("the file's modality table is damaged: left out")
    slope, intercept = (_number(dataset, k, d) for k, d in _RESCALE)
    if slope is None or intercept is None or slope == 0:
        notes.append("the file's rescale values are not usable: left out")
        return (1.0, 0.0)
    return (slope, intercept)


_RESCALE = (("RescaleSlope", 1.0), ("RescaleIntercept", 0.0))


def _voi_lut(dataset, values, notes):
    """The first VOI LUT, None when there is none."""
    sequence = dataset.get("VOILUTSequence")
    if not sequence:
        return None
    lut = read_lut(sequence[0], "LUT", signed=values.min() < 0)
    if lut is None:
        notes.append("the file's display table is damaged: left out")
    return lut


def _window(dataset, notes):
    """The first window, None when there is none or it is unusable."""
    centre, width = (_number(dataset, k, None) for k in ("WindowCenter", "WindowWidth"))
    if dataset.get("WindowWidth") in (None, "") and dataset.get("WindowCenter") in (None, ""):
        return None
    function = str(dataset.get("VOILUTFunction") or "LINEAR").strip().upper()
    least = 1 if function not in ("LINEAR_EXACT", "SIGMOID") else 1e-9
    if centre is None or width is None or width < least:
        notes.append("the file's window is not usable: brightness is set from the picture")
        return None
    if function not in ("LINEAR", "LINEAR_EXACT", "SIGMOID"):
        notes.append("the file asks for a window function the program does not know: drawn linear")
        function = "LINEAR"
    return Window(function, centre, width)


def _number(dataset, keyword, default):
    """First finite number of an attribute, ``default`` when empty, None when unreadable."""
    value = dataset.get(keyword)
    if value is None or value == "":
        return default
    if not isinstance(value, (str, int, float)) and hasattr(value, "__len__"):
        if not len(value):
            return default
        value = value[0]
    try:
        number = float(value)
    except (TypeError, ValueError):
        return None
    return number if math.isfinite(number) else None


def _inverted(dataset, notes):
    """Whether high values are drawn dark: stated by the shape, else by the photometric."""
    inverse_photometric = dataset.get("PhotometricInterpretation") == "MONOCHROME1"
    shape = str(dataset.get("PresentationLUTShape") or "").strip().upper()
    if shape not in ("INVERSE", "IDENTITY"):
        return inverse_photometric
    if (shape == "INVERSE") != inverse_photometric:
        notes.append(
            "the file contradicts itself on what is drawn bright: its presentation shape is"
            " followed; check that enamel is bright"
        )
    return shape == "INVERSE"


def _dense_dark(dataset, rising, notes):
    """Whether raw values must be inverted for dense material to be bright.

    Pixel Intensity Relationship Sign (PS3.3 C.8.11.3.1.2, memory): -1, higher
    values mean less X-ray intensity, so denser material; +1 the reverse. A
    film FOR PRESENTATION is drawn as it asks, with a note on a contradiction;
    one FOR PROCESSING asks for nothing, so dense material is drawn bright.
    """
    sign = _number(dataset, "PixelIntensityRelationshipSign", None)
    if sign not in (1, -1) or (sign == -1) == bool(rising):
        return False
    if str(dataset.get("PresentationIntentType") or "").strip() == "FOR PROCESSING":
        notes.append("raw values of the detector: drawn with dense material bright")
        return True
    notes.append("the file asks to draw dense material dark: invert it if enamel looks dark")
    return False
