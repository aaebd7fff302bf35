"""Polylines on batches: arrays of shape (..., M, 2), vertices in order."""

import numpy as np


def steps(line):
    """Vectors between neighbouring vertices, shape (..., M - 1, 2)."""
    return line[..., 1:, :] - line[..., :-1, :]


def cumulative(line):
    """Length from the first vertex to each vertex, shape (..., M).

    Examples
    --------
    >>> cumulative(np.array([[0, 0], [3, 4], [3, 10.0]]))
    array([ 0.,  5., 11.])
    """
    s = np.hypot(*np.moveaxis(steps(line), -1, 0))
    zero = np.zeros((*s.shape[:-1], 1))
    return np.concatenate([zero, np.cumsum(s, axis=-1)], axis=-1)


def normals(line, closed=False):
    """Unit normals at the vertices (left of the running direction in x right, y down), (M, 2)."""
    if closed:
        tangent = np.roll(line, -1, axis=0) - np.roll(line, 1, axis=0)
    else:
        tangent = np.gradient(line, axis=0)
    length = np.hypot(tangent[:, 0], tangent[:, 1])
    length[length == 0] = 1.0
    tangent = tangent / length[:, None]
    return np.column_stack([-tangent[:, 1], tangent[:, 0]])


def thin(line, most):
    """At most ``most`` vertices, evenly spaced along the line; shorter lines unchanged."""
    line = np.asarray(line, dtype=float)
    if len(line) <= most:
        return line
    s = cumulative(line)
    wanted = np.linspace(0, s[-1], most)
    return np.column_stack([np.interp(wanted, s, line[:, i]) for i in (0, 1)])


class Crossing:
    """Where a coordinate that runs along a polyline reaches a level, for a whole batch.

    The segment, the place in it and its slope are those of the first row (the nominal
    one); the other rows move by first order, with linear extension beyond the ends. So
    the place moves smoothly with the inputs, however short the segment.

    Parameters
    ----------
    coordinate : ndarray, shape (K, M)
        Value at each vertex, mostly increasing along the line.
    level : ndarray, shape (K,) or float
    extend : float
        How far beyond the ends (in the coordinate's unit) the line may be extended.

    Attributes
    ----------
    inside : bool
        False when the nominal level lies off the line by more than ``extend``.
    """

    def __init__(self, coordinate, level, extend=0.0):
        nominal = coordinate[0]
        target = level[0] if np.ndim(level) else level
        low, high = nominal.min(), nominal.max()
        self.inside = bool(low - extend <= target <= high + extend)
        above = np.nonzero((nominal[1:] >= target) & (nominal[:-1] <= target))[0]
        if len(above):
            j = int(above[0])
        else:
            j = 0 if abs(target - nominal[0]) < abs(target - nominal[-1]) else len(nominal) - 2
        rise = nominal[j + 1] - nominal[j]
        rise = 1e-9 if abs(rise) < 1e-9 else rise
        self._j, self._t = j, (target - nominal[j]) / rise
        self._off = (level - self._between(coordinate)) / rise

    def _between(self, values):
        a, b = values[:, self._j], values[:, self._j + 1]
        return a + self._t * (b - a)

    def of(self, values):
        """Values (K, M) or (K, M, 2) interpolated at the crossing."""
        change = values[0, self._j + 1] - values[0, self._j]
        return self._between(values) + np.multiply.outer(self._off, change)


def interpolate_rows(level, coordinate, values, rows=slice(None)):
    """``values`` at many levels, on each row's own coordinate; shape (K, L).

    Parameters
    ----------
    level : ndarray, shape (K, L) or (L,)
    coordinate, values : ndarray, shape (R, M)
        Segment, place in it and slope are those of row 0, as in :class:`Crossing`.
    rows : ndarray of int, shape (K,), optional
        Which of the R rows stands for each row of ``level``; without it, R is K.
    """
    nominal, target = coordinate[0], level[0] if np.ndim(level) == 2 else level
    # A wall drawn by hand may step back; the running maximum keeps the search ordered.
    j = np.searchsorted(np.maximum.accumulate(nominal)[1:-1], target)
    rise = nominal[j + 1] - nominal[j]
    rise[np.abs(rise) < 1e-9] = 1e-9
    t = (target - nominal[j]) / rise
    slope = (values[0, j + 1] - values[0, j]) / rise
    # What a row's value is when its own coordinate is carried to the nominal place.
    a = values.take(j, axis=1) - slope * coordinate.take(j, axis=1)
    j += 1
    b = values.take(j, axis=1) - slope * coordinate.take(j, axis=1)
    b -= a
    b *= t
    b += a
    return b[rows] + slope * level
