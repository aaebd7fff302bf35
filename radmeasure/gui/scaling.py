"""A reference object that was found or drawn, waiting for its size."""

import math
from dataclasses import dataclass

from radmeasure.model.landmarks import KnownLength, Sphere

# Standard uncertainties of a reference's own size, mm (common practice, no source); a file's
# length to its stop is set by hand, a ball or wire is made to size.
U_FILE_MM, U_WIRE_MM, U_BALL_MM = 0.25, 0.05, 0.02
# Within this of the tooth's axis an object counts as lying along it, or across it.
ALONG_DEG = 30.0


@dataclass(frozen=True)
class Pending:
    """A reference object without its size yet.

    Attributes
    ----------
    kind : str
        'sphere', 'wire', 'file' or 'length' (drawn by hand).
    points : tuple of (x, y)
        Film pixels: rim points, or a line.
    words : str
        What was seen.
    """

    kind: str
    points: tuple
    words: str = ""

    def entry(self, size_mm, axis):
        """The scale entry once the size is known; ``axis`` is the tooth's, in film pixels.

        Raises
        ------
        InputError
            The size is not a positive number.
        """
        if self.kind == "sphere":
            return Sphere(size_mm, U_BALL_MM, self.points)
        along = "tooth" if self.kind == "file" else self._direction(axis)
        u_mm = U_FILE_MM if along == "tooth" else U_WIRE_MM
        return KnownLength(size_mm, u_mm, self.points, along)

    def _direction(self, axis):
        (x0, y0), (x1, y1) = self.points[0], self.points[-1]
        angle = abs(math.degrees(math.atan2(y1 - y0, x1 - x0) - math.atan2(axis[1], axis[0])))
        angle = min(angle % 180, 180 - angle % 180)
        if angle <= ALONG_DEG:
            return "tooth"
        return "across" if angle >= 90 - ALONG_DEG else "free"


def with_entry(entries, new):
    """Scale entries with ``new`` in place of what measured the same way before."""
    kept = [e for e in entries if not _same_part(e, new)]
    return (*kept, new)


def _same_part(old, new):
    if type(old) is not type(new):
        return False
    return not isinstance(old, KnownLength) or old.along == new.along
