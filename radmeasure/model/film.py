"""A film as the program holds it, and what its spacing may be called."""

import hashlib
from dataclasses import dataclass, field

import numpy as np


class _Digest:
    """SHA-256 of a film's bytes, worked out when first asked for: the first picture need not wait.

    Without a default for the class, so that a film is made with a digest or with None.
    """

    def __get__(self, film, owner=None):
        if film is None:
            raise AttributeError("sha256")
        if film.__dict__["_sha256"] is None:
            film.__dict__["_sha256"] = hashlib.sha256(film.raw).hexdigest()
        return film.__dict__["_sha256"]

    def __set__(self, film, digest):
        film.__dict__["_sha256"] = digest


@dataclass(frozen=True)
class Spacing:
    """Pixel spacing a file states, and what it may honestly be called.

    Attributes
    ----------
    row_mm, column_mm : float
        Distance between rows (vertical) and between columns, mm per px.
    basis : str
        'detector', 'estimated', 'calibrated', 'scanned' or 'unknown'.
    words : str
        One sentence for screen, readings and report.
    usable : bool
        True when millimetres may be shown without the user confirming.
    magnification : float or None
        Magnification the file states (offered, never applied silently).
    """

    row_mm: float
    column_mm: float
    basis: str
    words: str
    usable: bool
    magnification: float | None = None


@dataclass(frozen=True, eq=False)
class Film:
    """A film in memory.

    Attributes
    ----------
    pixels : ndarray, shape (H, W), uint8 or uint16, read-only
        Larger is drawn brighter (denser material bright). Full depth of the file.
    bits : int
        Depth of the pixel values, so they lie in [0, 2**bits).
    default_table : ndarray, shape (2**bits,), uint8
        Grey level each value is drawn with when the film is opened.
    name : str
        File name without folder.
    sha256 : str
        Digest of the file's bytes; given as None it is worked out from ``raw`` when asked for.
    kind : str
        'DICOM', 'PNG', 'TIFF' or 'JPEG'.
    spacing : Spacing or None
    spacing_words : str
        Why there is no usable spacing, or what it may be called.
    tooth_fdi : tuple of str
        Teeth the file names, if any.
    acquired : str
        ISO date the file states, or ''.
    notes : tuple of str
        Things the user should know (contradictions, colour converted, ...).
    raw : bytes, memoryview of bytes or None
        The file's bytes, for the case file.
    turns : int
        Quarter turns clockwise that the file says bring it to the usual view
        (seen from the front, head up); ``pixels`` are as stored.
    mirrored : bool
        Whether the file says it must be mirrored left to right after turning.
    """

    pixels: np.ndarray
    bits: int
    default_table: np.ndarray
    name: str
    sha256: str = _Digest()
    kind: str
    spacing: Spacing | None = None
    spacing_words: str = "the file states no spacing"
    tooth_fdi: tuple = ()
    acquired: str = ""
    notes: tuple = ()
    raw: bytes | None = field(default=None, repr=False)
    turns: int = 0
    mirrored: bool = False

    @property
    def height(self):
        return self.pixels.shape[0]

    @property
    def width(self):
        return self.pixels.shape[1]
