"""The drawing of one root in its own frame: what the level chart is made from."""

from dataclasses import dataclass
from types import MappingProxyType

import numpy as np


@dataclass(frozen=True, eq=False)
class RootOutline:
    """Everything placed on one root, straightened along its axis, in mm.

    ``across`` is mesial positive; ``along`` counts from ``zero`` towards the apex.

    Attributes
    ----------
    root : str
    zero : str
        What the levels count from: 'coronal_reference', 'orifice' or 'cej'.
    levels : mapping of name to Quantity
        Level of each landmark along the axis; 'cej' and 'crest' are the means of
        both sides.
    places : mapping of name to (across, along)
        Where each point lies.
    lines : mapping of name to ndarray, shape (N, 2)
        (across, along) of walls and of a lesion's outline.
    canal : ndarray, shape (M, 3), or None
        (across, along, depth from the root face) of the canal's path.
    post_start, post_direction : ndarray, shape (2,), or None
        The straight line a post takes: begins at the root face.
    origin_along : float
        ``along`` of the frame's own coronal end.
    axis_px, mesial_px : tuple of two floats
        Unit vectors on the film (x right, y down) towards the apex and the mesial side.
    whole : str
        '' in mm. On a film without a scale lengths are in proportion only, and this is
        the coronal end of what they are parts of: 'cej' (the root), 'coronal_reference'
        (the tooth) or 'orifice', each as far as the apex.
    per_part : float
        Length of that whole in the outline's own unit; 1 in mm.
    """

    root: str
    zero: str
    levels: MappingProxyType
    places: MappingProxyType
    lines: MappingProxyType
    canal: np.ndarray | None
    post_start: np.ndarray | None
    post_direction: np.ndarray | None
    origin_along: float
    axis_px: tuple
    mesial_px: tuple
    whole: str = ""
    per_part: float = 1.0

    def post_at(self, depth_mm):
        """(across, along) on the post's line at a depth below the root face, or None."""
        if self.post_start is None:
            return None
        return tuple((self.post_start + depth_mm * self.post_direction).tolist())

    def wall_at(self, name, along):
        """Across of a wall at a level, held beyond its ends; None when it is not drawn."""
        walls = self.walls_at(name, along)
        return None if walls is None else float(walls)

    def walls_at(self, name, along):
        """:meth:`wall_at` at several levels at once, an array of the shape of ``along``."""
        line = self.lines.get(name)
        if line is None:
            return None
        return np.interp(along, np.maximum.accumulate(line[:, 1]), line[:, 0])
