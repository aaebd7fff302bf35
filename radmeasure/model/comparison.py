"""Two films of one tooth: how they lie on each other, and what changed between them."""

from dataclasses import dataclass

from radmeasure.quantity import Quantity


@dataclass(frozen=True)
class Alignment:
    """The similarity that lays an earlier film over a later one.

    In complex pixels (x + i y), later = ``factor`` * earlier + ``shift``.

    Attributes
    ----------
    factor : complex
        Size and rotation.
    shift : complex
        px of the later film.
    residual_px : float
        Root mean square distance of the landmarks on the later film after laying
        over, px of the later film; 0 when only two were there.
    residual_mm : float or None
        The same in mm; None on an uncalibrated film.
    overlap : float
        Share of the earlier film that lies on the later one, 0 to 1.
    landmarks : tuple of (name, root)
        What they were aligned on.
    """

    factor: complex
    shift: complex
    residual_px: float
    residual_mm: float | None
    overlap: float
    landmarks: tuple

    def __call__(self, xy):
        """A position of the earlier film on the later one, px."""
        on = self.factor * complex(*xy) + self.shift
        return (on.real, on.imag)


@dataclass(frozen=True)
class NotAligned:
    """Falsy: the films could not be laid over each other, and why."""

    why: str

    def __bool__(self):
        return False


@dataclass(frozen=True)
class Change:
    """One reading on both films.

    Attributes
    ----------
    id : str
        Reading id, or 'root_length_by_crown'.
    root, side : str or None
    unit : str
    earlier, later, change : Quantity
        ``change`` is later minus earlier.
    exceeds : bool
        True when it is larger than its own 95 % uncertainty.
    """

    id: str
    root: str | None
    side: str | None
    unit: str
    earlier: Quantity
    later: Quantity
    change: Quantity
    exceeds: bool


@dataclass(frozen=True)
class Comparison:
    """Attributes
    ----------
    alignment : Alignment or NotAligned
    changes : tuple of Change
    """

    alignment: Alignment | NotAligned
    changes: tuple
