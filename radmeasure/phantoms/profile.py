"""A quantity along an axis, tabulated finely and read by straight interpolation."""

import numpy as np

STEP_MM = 0.02


class Profile:
    """Values on an even grid, linear between and beyond.

    Parameters
    ----------
    start : float
        Abscissa of the first value, mm.
    values : array_like, shape (n,) or (k, n)
        Several rows give several quantities at once, as a list.
    step : float
        Spacing, mm.
    """

    def __init__(self, start, values, step=STEP_MM):
        self.start, self.step = float(start), float(step)
        self.values = np.asarray(values, np.float32)
        self._rise = np.diff(self.values)
        self._last = self.values.shape[-1] - 2

    def __call__(self, x):
        u = (x - np.float32(self.start)) * np.float32(1.0 / self.step)
        i = np.clip(u, 0, self._last).astype(np.intp)
        share = u - i.astype(np.float32)  # an integer would widen single precision
        if self.values.ndim == 1:
            return self.values.take(i) + share * self._rise.take(i)
        return [v.take(i) + share * r.take(i) for v, r in zip(self.values, self._rise)]

    @property
    def grid(self):
        return self.start + self.step * np.arange(len(self.values))

    def mapped(self, function):
        """A profile of ``function(s, values)``."""
        return Profile(self.start, function(self.grid, self.values.astype(float)), self.step)


def tabulated(low, high, function, step=STEP_MM):
    """Profile of ``function(s)`` over [low, high] mm."""
    count = int(np.ceil((high - low) / step)) + 1
    grid = low + step * np.arange(count)
    return Profile(low, np.broadcast_to(function(grid), grid.shape), step)


def through(knots, values, low, high, smooth_mm=0.0):
    """Monotone curve through ``knots``, tabulated over [low, high] mm.

    Piecewise cubic without overshoot (Fritsch & Carlson, SIAM J Numer Anal
    1980;17:238-246); flat beyond the knots.
    """
    x, y = np.asarray(knots, float), np.asarray(values, float)
    h, delta = np.diff(x), np.diff(y) / np.diff(x)
    slope = np.zeros_like(y)
    same = delta[1:] * delta[:-1] > 0
    w1, w2 = 2 * h[1:] + h[:-1], h[1:] + 2 * h[:-1]
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = (w1 + w2) / (w1 / delta[:-1] + w2 / delta[1:])
    slope[1:-1] = np.where(same, mean, 0.0)

    def curve(s):
        s = np.clip(s, x[0], x[-1])
        i = np.clip(np.searchsorted(x, s) - 1, 0, len(h) - 1)
        t = (s - x[i]) / h[i]
        a, b = y[i], y[i + 1]
        return (
            a * (1 + 2 * t) * (1 - t) ** 2
            + slope[i] * h[i] * t * (1 - t) ** 2
            + b * t * t * (3 - 2 * t)
            - slope[i + 1] * h[i] * t * t * (1 - t)
        )

    return tabulated(low, high, curve)
