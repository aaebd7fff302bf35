"""The straight axis a post takes in a root, and the walls beside it.

A post does not bend: below the canal's straight part its axis goes on straight
while the canal turns away, so dentine is judged beside this axis, not beside the
canal's middle.
"""

import numpy as np

from radmeasure.measurements.canal import canal_of
from radmeasure.measurements.curvature import bend_of
from radmeasure.measurements.widths import wall_of

ROOT_WALLS = ("root_wall_mesial", "root_wall_distal")
CANAL_WALLS = ("canal_wall_mesial", "canal_wall_distal")
STEP_MM = 0.5


class PostAxis:
    """Line along the straight part of the canal, from the root face on.

    Attributes
    ----------
    start, direction : ndarray, shape (K, 2)
        (across, along) mm of its start and its unit vector.
    """

    def __init__(self, sight, root):
        bend, canal = bend_of(sight, root), canal_of(sight, root)
        if bend is not None and bend.bends:
            self.direction = bend.direction
            self.start = bend.leaves - bend.straight[:, None] * bend.direction
        else:
            chord = canal.xy[:, -1] - canal.xy[:, 0]
            self.start = canal.xy[:, 0]
            self.direction = chord / np.hypot(chord[:, 0], chord[:, 1])[:, None]

    def at(self, depths):
        """(across, along) mm at depths (L,) below the root face, each (K, L)."""
        across = self.start[:, :1] + self.direction[:, :1] * depths
        return across, self.start[:, 1:] + self.direction[:, 1:] * depths


def axis_of(sight, root):
    """The post's axis in a root, or None while the canal's path is not drawn."""

    def make():
        return None if canal_of(sight, root) is None else PostAxis(sight, root)

    return sight.once(("post axis", root), make)


class Beside:
    """Distances (mm, (K, L)) from the post's axis to the walls, at depths (L,).

    Attributes
    ----------
    depths : ndarray, shape (L,)
    across, level : ndarray, shape (K, L)
        Place of the axis in the tooth frame.
    mesial, distal : ndarray, shape (K, L)
        From the axis to the root's outer walls.
    canal_mesial, canal_distal : ndarray, shape (K, L), or None
        From the axis to the canal's walls, where drawn.

    Above the drawn outer walls the root is wider than where they begin, so their
    first level stands for it.
    """

    def __init__(self, sight, root, depths):
        self.depths = depths
        self.across, self.level = axis_of(sight, root).at(depths)
        outer = [wall_of(sight, root, name) for name in ROOT_WALLS]
        inner = [wall_of(sight, root, name) for name in CANAL_WALLS]
        level = np.maximum(self.level, max(w.along[0].min() for w in outer))
        self.mesial = outer[0].at(level) - self.across
        self.distal = self.across - outer[1].at(level)
        self.canal_mesial = self.canal_distal = None
        if all(w is not None for w in inner):
            self.canal_mesial = inner[0].at(level) - self.across
            self.canal_distal = self.across - inner[1].at(level)

    def down_to(self, depth_mm, end):
        """These levels above ``depth_mm``, and ``end`` (Beside of that one level) after them."""
        above = int(np.searchsorted(self.depths, depth_mm - 1e-6))
        joined = object.__new__(Beside)
        joined.depths = np.append(self.depths[:above], end.depths)
        for name in ("across", "level", "mesial", "distal", "canal_mesial", "canal_distal"):
            mine, last = getattr(self, name), getattr(end, name)
            parts = None if mine is None else np.concatenate([mine[:, :above], last], axis=1)
            setattr(joined, name, parts)
        return joined

    @property
    def width(self):
        return self.mesial + self.distal

    @property
    def nearer(self):
        """From the axis to the nearer outer wall."""
        return np.minimum(self.mesial, self.distal)

    def dentine(self, diameter):
        """(mesial, distal) dentine beside a post of ``diameter`` (L,), or beside a wider canal."""
        half = 0.5 * diameter
        edges = [half, half]
        if self.canal_mesial is not None:
            edges = [np.maximum(self.canal_mesial, half), np.maximum(self.canal_distal, half)]
        return self.mesial - edges[0], self.distal - edges[1]


def beside_root(sight, root):
    """:class:`Beside` every half millimetre as deep as the outer walls are drawn."""

    def make():
        deepest = min(drawn_to_mm(sight, root), float(canal_of(sight, root).length[0]))
        return Beside(sight, root, np.arange(0.0, max(deepest, 0.0), STEP_MM))

    return sight.once(("beside", root), make)


def drawn_to_mm(sight, root):
    """Depth on the post's axis (nominal, mm) down to which both outer walls are drawn."""

    def make():
        axis = axis_of(sight, root)
        end = min(float(wall_of(sight, root, name).along[0].max()) for name in ROOT_WALLS)
        return float((end - axis.start[0, 1]) / axis.direction[0, 1])

    return sight.once(("walls drawn to", root), make)
