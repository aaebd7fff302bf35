"""The canal of one root: its path from the root face, and depths along it."""

import numpy as np

from radmeasure.geometry.polyline import Crossing, cumulative

# Vertices this near to an end (mm) are left out, so that the path does not fold back when
# the end moves by its uncertainty.
_SLIVER = 0.75
# An end placed on its own pulls the line after it over this length (mm), so that the
# path does not zigzag.
_PULL_MM = 2.0


class Canal:
    """Path orifice -> canal line -> foramen (or apex), in mm, on a batch.

    Attributes
    ----------
    xy : ndarray, shape (K, M, 2)
        (across, along) mm of the path's vertices; the first is the orifice.
    s : ndarray, shape (K, M)
        Length from the orifice along the path, mm.
    end : str
        'foramen' or 'apex': what the path ends on.
    """

    def __init__(self, sight, root):
        frame = sight.frame(root)
        self.end = "foramen" if sight.point("foramen", root) is not None else "apex"
        first, last = sight.canal_xy("orifice", root), sight.canal_xy(self.end, root)
        line = frame.canal_xy(sight.line("canal", root))
        # Vertices beyond either end belong to no path.
        level = line[0, :, 1]
        keep = (level > first[0, 1] + _SLIVER) & (level < last[0, 1] - _SLIVER)
        middle = _pulled(line, first, keep) + _pulled(line, last, keep) - line[:, keep]
        self.xy = np.concatenate([first[:, None], middle, last[:, None]], axis=1)
        self.s = cumulative(self.xy)
        self._depth = self.xy[..., 1]

    @property
    def length(self):
        """mm from the orifice to the end, shape (K,)."""
        return self.s[:, -1]

    def depth_of(self, along):
        """Depth s below the orifice of a level ``along`` the axis (mm), shape (K,).

        Levels above the orifice give negative depths, straight up the axis.
        """
        nominal = along[0] - self._depth[0]
        if nominal[0] < 0:
            return along - self._depth[:, 0]
        if nominal[-1] > 0:
            return self.length + along - self._depth[:, -1]
        return Crossing(self._depth, along).of(self.s)

    def place_at(self, s):
        """(across, along) at depth ``s`` (K,) below the orifice, shape (K, 2)."""
        return Crossing(self.s, s).of(self.xy)


def _pulled(line, end, keep):
    """Kept vertices (K, M, 2), drawn smoothly to an end the line passes beside."""
    beside = end - Crossing(line[..., 1], end[:, 1]).of(line)
    away = np.abs(line[0, keep, 1] - end[0, 1])
    weight = np.clip(1 - away / _PULL_MM, 0, 1)
    return line[:, keep] + weight[:, None] * beside[:, None]


def canal_of(sight, root):
    """The canal of a root, or None when orifice, canal line or end is not placed."""

    def make():
        ready = not canal_waits(sight, root) and sight.frame(root) is not None
        return Canal(sight, root) if ready else None

    return sight.once(("canal", root), make)


def canal_waits(sight, root):
    """Landmarks the canal's path still waits for."""
    return sight.once(("canal_waits", root), lambda: tuple(_canal_waits(sight, root)))


def _canal_waits(sight, root):
    lacking = [n for n in ("orifice", "canal") if not sight.has(n, root)]
    if not sight.has("apex", root):
        lacking.append("apex")
        return lacking
    end = "foramen" if sight.has("foramen", root) else "apex"
    if sight.placed(end, root) == sight.placed("orifice", root):
        lacking.append("orifice")  # a slip of the hand: no canal lies between
    return lacking


def depth_of_point(sight, root, name):
    """Depth below the orifice of a point in the canal, (K,); None if either is not placed."""

    def make():
        canal, xy = canal_of(sight, root), sight.canal_xy(name, root)
        return None if canal is None or xy is None else canal.depth_of(xy[:, 1])

    return sight.once(("depth_in_canal", name, root), make)
