"""Root, canal and dentine widths at every millimetre below the orifice."""

from dataclasses import dataclass
from functools import partial

import numpy as np

from radmeasure.geometry.polyline import interpolate_rows
from radmeasure.measurements.canal import canal_of, canal_waits
from radmeasure.measurements.result import Measured, Missing, key, waits

# A wall may be read this far beyond its drawn end, mm.
_BEYOND_MM = 0.3
_WALLS = {
    "root_width": ("root_wall_mesial", "root_wall_distal"),
    "canal_width": ("canal_wall_mesial", "canal_wall_distal"),
    "dentine_mesial": ("root_wall_mesial", "canal_wall_mesial"),
    "dentine_distal": ("canal_wall_distal", "root_wall_distal"),
}


@dataclass(frozen=True, eq=False)
class Wall:
    """A wall line in the tooth frame of its root, on the rows on which it moves.

    ``rows`` (K,) says which of these stands for each row of the batch.
    """

    across: np.ndarray
    along: np.ndarray
    rows: np.ndarray

    def covers(self, level):
        """True where nominal axis levels (L,) lie on the drawn wall."""
        nominal = self.along[0]
        return (level >= nominal.min() - _BEYOND_MM) & (level <= nominal.max() + _BEYOND_MM)

    def at(self, level):
        """mm across (mesial positive) at axis levels (K, L)."""
        return interpolate_rows(level, self.along, self.across, self.rows)


def wall_of(sight, root, name):
    """A wall of a root as :class:`Wall`, or None."""

    def make():
        if not sight.has(name, root) or sight.frame(root) is None:
            return None
        xy, rows = sight.moving_line(name, root)
        return Wall(xy[..., 0], xy[..., 1], rows)

    return sight.once((name, root), make)


def widths(sight, root, rules):
    """root_width, canal_width, dentine_mesial, dentine_distal per mm of depth."""
    canal = canal_of(sight, root)
    lines = {}
    if canal is not None and sight.scale.calibrated:
        lines = sight.once(("walls_per_mm", root), partial(_walls_per_mm, sight, root))
    for id_, names in _WALLS.items():
        lacking = waits(sight, *((root, n) for n in names)) + canal_waits(sight, root)
        if lacking or canal is None:
            yield key(id_, root), Missing("mm", lacking)
        elif not sight.scale.calibrated:
            yield key(id_, root), Missing("mm", (), "needs a scale")
        else:
            yield from _profile(id_, root, lines, names)


def _walls_per_mm(sight, root):
    """(depths, covered (L,), mm across (K, L)) of every wall placed, at whole mm of depth."""
    canal = canal_of(sight, root)
    depths = np.arange(1.0, np.floor(canal.length[0] + 1e-6) + 0.5)
    if not len(depths):
        return {}
    level = interpolate_rows(depths, canal.s, canal.xy[..., 1])
    names = {n for pair in _WALLS.values() for n in pair}
    walls = {n: wall_of(sight, root, n) for n in names}
    return {n: (depths, w.covers(level[0]), w.at(level)) for n, w in walls.items() if w is not None}


def _profile(id_, root, lines, names):
    if not lines:
        return
    (depths, seen_a, a), (_, seen_b, b) = (lines[n] for n in names)
    width = a - b
    method = "perpendicular to the axis at that depth of the canal"
    for i in np.nonzero(seen_a & seen_b)[0]:
        yield key(id_, root, None, float(depths[i])), Measured(width[:, i], "mm", method)
