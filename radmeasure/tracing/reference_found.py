"""What the search for reference objects gives: an object found, or the reason there is none."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Found:
    """A reference object on the film, its size in px.

    Attributes
    ----------
    kind : str
        'sphere', 'wire' or 'file'.
    points : tuple of (x, y)
        Sphere: rim points; wire: its two ends; file: line from stop to tip. px.
    size_px : float
        Diameter, length, or length along the line.
    u_size_px : float
        Standard uncertainty of ``size_px``.
    confidence : float
        0 to 1, that this is such an object.
    words : str
        What was seen, for the user who confirms it.
    axes_px : tuple of two floats or None
        Sphere: short and long axis of its shadow. Across the tilt of the
        receptor the short axis is the ball's own magnified diameter.
    """

    kind: str
    points: tuple
    size_px: float
    u_size_px: float
    confidence: float
    words: str = ""
    axes_px: tuple | None = None


@dataclass(frozen=True)
class NotFound:
    """No reference object: falsy, with the reason.

    Attributes
    ----------
    reason : str
        One sentence.
    kind : str or None
        Kind that was looked for or refused.
    """

    reason: str
    kind: str | None = None

    def __bool__(self):
        return False
