"""A drawing as a list of shapes, free of any toolkit: one list, many renderers.

Units are those of the canvas (points on paper, px on a screen), x to the right,
y down. What a shape looks like is a pen's name in :mod:`radmeasure.reports.palette`.
"""

from dataclasses import dataclass
from functools import lru_cache

# Advance widths of DejaVu Sans, hundredths of the font size, for characters 32 to 126.
_ADVANCE = (
    32, 40, 46, 84, 64, 95, 78, 27, 39, 39, 50, 84, 32, 36, 32, 34, 64, 64, 64, 64, 64, 64, 64,
    64, 64, 64, 34, 34, 84, 84, 84, 53, 100, 68, 69, 70, 77, 63, 58, 77, 75, 29, 29, 66, 56, 86,
    75, 79, 60, 79, 69, 63, 61, 73, 68, 99, 69, 61, 69, 39, 34, 39, 84, 50, 50, 61, 63, 55, 63,
    62, 35, 63, 63, 28, 28, 58, 28, 97, 63, 61, 63, 63, 41, 52, 39, 63, 59, 82, 59, 59, 52, 64,
    34, 64, 84,
)  # fmt: skip
_OTHER = 66


def text_width(text, size, strong=False):
    """Width of a line of text in DejaVu Sans, in units of ``size``'s canvas.

    Examples
    --------
    >>> round(text_width("apex", 10), 1)
    24.5
    """
    return _hundredths(text) * size / 100 * (1.15 if strong else 1.0)


@lru_cache(512)
def _hundredths(text):
    return sum(_ADVANCE[ord(c) - 32] if 32 <= ord(c) < 127 else _OTHER for c in text)


@dataclass(frozen=True)
class Path:
    """A line or, when ``closed``, an area.

    ``about`` names the rule or landmark it shows, for help under the pointer.
    """

    points: tuple
    pen: str
    closed: bool = False
    opacity: float = 1.0
    about: str = ""


@dataclass(frozen=True)
class Disc:
    """A round mark."""

    at: tuple
    radius: float
    pen: str
    about: str = ""


@dataclass(frozen=True)
class Text:
    """One line of text; ``at`` is on its baseline, ``anchor`` 'start', 'middle' or 'end'."""

    at: tuple
    text: str
    pen: str
    anchor: str = "start"
    about: str = ""


@dataclass(frozen=True)
class Handle:
    """Something that can be dragged, and what its value becomes.

    Attributes
    ----------
    name : str
        'depth', 'seal', 'size' or 'gain', as in the plan's choice.
    at : tuple
        Where it is drawn.
    along : tuple
        Unit vector on the canvas in which the value grows.
    per_mm : float
        Canvas units per mm of the value.
    value, low, high : float
        mm.
    choices : tuple of (name, mm)
        Sizes to choose from; empty where any value may be chosen.
    """

    name: str
    at: tuple
    along: tuple
    per_mm: float
    value: float
    low: float
    high: float
    choices: tuple = ()

    def dragged(self, dx, dy):
        """Value after dragging by (dx, dy), kept within its range.

        Examples
        --------
        >>> Handle("depth", (0, 0), (0, -1), 10.0, 8.0, 0.0, 12.0).dragged(3, -15)
        9.5
        """
        moved = (dx * self.along[0] + dy * self.along[1]) / self.per_mm
        return float(min(max(self.value + moved, self.low), self.high))

    def chosen(self, dx, dy):
        """Name of the choice nearest to the dragged value, or None without choices."""
        value = self.dragged(dx, dy)
        if not self.choices:
            return None
        return min(self.choices, key=lambda choice: abs(choice[1] - value))[0]


@dataclass(frozen=True)
class Drawing:
    """Shapes in drawing order on a canvas.

    Falsy when there is nothing to draw; ``why`` then says why.
    """

    width: float
    height: float
    font_size: float = 8.0
    shapes: tuple = ()
    handles: tuple = ()
    words: str = ""
    why: str = ""

    def __bool__(self):
        return bool(self.shapes)

    def size_of(self, pen):
        """Font size of a text pen on this drawing."""
        return self.font_size * pen.size


def spread(wanted, gap, low, high):
    """Places near the wanted ones, at least ``gap`` apart and within [low, high].

    Keeps the order; neighbours that would collide move apart about their mean (pool
    adjacent violators). When there is no room for all, the gap shrinks.

    Examples
    --------
    >>> spread([5.0, 5.0, 20.0], 4.0, 0.0, 30.0)
    [3.0, 7.0, 20.0]
    """
    if not wanted:
        return []
    count = len(wanted)
    if count > 1:
        gap = min(gap, (high - low) / (count - 1))
    order = sorted(range(count), key=lambda i: wanted[i])
    # Without their gaps, the places only have to rise: pool blocks that fall.
    blocks = []
    for rank, i in enumerate(order):
        blocks.append([wanted[i] - rank * gap, 1])
        while len(blocks) > 1 and blocks[-2][0] > blocks[-1][0]:
            value, n = blocks.pop()
            last = blocks[-1]
            last[0] = (last[0] * last[1] + value * n) / (last[1] + n)
            last[1] += n
    level = [value for value, n in blocks for _ in range(n)]
    top = high - (count - 1) * gap
    placed = [0.0] * count
    for rank, i in enumerate(order):
        placed[i] = min(max(level[rank], low), top) + rank * gap
    return placed
