"""A straight part followed by one arc, fitted to a line."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

# Below this total turning the place where a line starts to bend cannot be told.
STRAIGHT_DEG = 3.0
# The last millimetres, where a canal turns aside to its foramen.
_TIP_MM = 2.5
# The end of a line lies this share of its length aside of its straight part before a
# bend is told from the way it was drawn (0.1 mm of a 14 mm canal).
_ASIDE = 0.007
# A bend begins within this share of the length; later ones cannot be told.
_LATEST = 0.85
_EARLIEST = 0.15
# Before looking, a bend begins about a third down the length, give or take BEGINS_U of it
# (common practice, no source); a slight bend's own line hardly says where.
BEGINS, BEGINS_U = 0.35, 0.25
# Against lines drawn to about 0.1 mm in waves of 3 mm that knowledge weighs this, over length**2.
_PRIOR = 1.0
# Misfit of a line drawn so, mm; one that fits much better is taken as it is.
_DRAWN_RMS = 0.05


@dataclass(frozen=True)
class StraightThenArc:
    """Fit of every row of a batch.

    Attributes
    ----------
    straight : ndarray, shape (K,)
        Length of the straight part.
    curvature : ndarray, shape (K,)
        Signed, 1 / radius.
    leaves : ndarray, shape (K, 2)
        Where the arc begins.
    direction : ndarray, shape (K, 2)
        Unit vector of the straight part.
    length : ndarray, shape (K,)
        Length of the whole line.
    rms : float
        Root mean square distance of the nominal line from its fit.
    bends : bool
        False when the whole line is straight within :data:`STRAIGHT_DEG`; the
        other fields then describe one straight line.
    """

    straight: np.ndarray
    curvature: np.ndarray
    leaves: np.ndarray
    direction: np.ndarray
    length: np.ndarray
    rms: float
    bends: bool

    @property
    def turning_deg(self):
        """Angle of the arc, degrees, shape (K,)."""
        return np.degrees(np.abs(self.curvature) * np.maximum(self.length - self.straight, 0))


def _curve(parameters, s):
    """Positions (M, 2) at lengths s, and their derivatives (2 M, 5).

    Parameters: start (x, y), heading, straight length, curvature.
    """
    x, y, heading, straight, k = parameters
    k = k if abs(k) > 1e-9 else 1e-9
    t = np.array([np.cos(heading), np.sin(heading)])
    n = np.array([-t[1], t[0]])
    u = np.maximum(s - straight, 0.0)[:, None]
    sin, cos = np.sin(k * u), np.cos(k * u)
    forward, aside = sin / k, (1 - cos) / k
    run = np.minimum(s, straight)[:, None] + forward
    position = np.array([x, y]) + run * t + aside * n
    derivatives = np.empty((len(s), 2, 5))
    derivatives[:, :, :2] = np.eye(2)
    derivatives[:, :, 2] = run * n - aside * t
    derivatives[:, :, 3] = np.where(u > 0, (1 - cos) * t - sin * n, 0.0)
    derivatives[:, :, 4] = ((u * cos - forward) * t + (u * sin - aside) * n) / k
    return position, derivatives.reshape(-1, 5)


def _start(line, s):
    """First guess from the headings of the segments: best of a grid of straight lengths."""
    d = np.diff(line, axis=0)
    heading = np.unwrap(np.arctan2(d[:, 1], d[:, 0]))
    middle, weight = 0.5 * (s[1:] + s[:-1]), np.diff(s)
    straight = np.linspace(0.05, 0.85, 17) * s[-1]
    bent = np.maximum(middle - straight[:, None], 0.0)
    # Weighted regression of heading on the bent part, for all straight lengths at once.
    w = weight / weight.sum()
    mean_b, mean_h = bent @ w, float(heading @ w)
    b, h = bent - mean_b[:, None], heading - mean_h
    curvature = (b * h) @ w / np.maximum((b * b) @ w, 1e-12)
    cost = np.square(h - curvature[:, None] * b) @ w
    i = int(np.argmin(cost))
    return np.array([*line[0], mean_h - curvature[i] * mean_b[i], straight[i], curvature[i]])


def fit_straight_then_arc(xy, s, begins=BEGINS):
    """Fit rows of a batch; the nominal row by Gauss-Newton, the others by its last step.

    Least squares with a weak prior on where the bend begins, so that a nearly straight
    line gives a stable answer; :data:`BEGINS_U` says how far that prior is to be trusted.

    A canal often turns aside once more in its last millimetres, to a foramen beside
    the apex; where leaving out the last 2.5 mm halves the misfit, the fit does so.

    Parameters
    ----------
    xy : ndarray, shape (K, M, 2)
    s : ndarray, shape (K, M)
        Length from the first vertex, mm (or any unit in which 2.5 is short).
    begins : ndarray, shape (K,), or float
        Where the bend is expected to begin, as a share of the length.

    Returns
    -------
    StraightThenArc
    """
    line, along = xy[0], s[0]
    length = along[-1]
    p, rms = _fit_nominal(line, along, len(line))
    used = slice(None)
    body = int(np.searchsorted(along, length - min(_TIP_MM, 0.3 * length)))
    if body >= 5:
        q, rms_body = _fit_nominal(line, along, body)
        # A body that is straight by itself would say the bend is all in the tip: it may be.
        turning = abs(np.degrees(q[4] * (along[body - 1] - q[3])))
        if rms_body < 0.5 * rms and turning >= STRAIGHT_DEG:
            p, rms, used = q, rms_body, slice(body)
    turning = abs(p[4] * (length - p[3]))
    aside = 0.5 * turning * (length - p[3])
    if np.degrees(turning) < STRAIGHT_DEG or aside < _ASIDE * length:
        return _all_straight(xy, s)
    # Where the bend begins at the line's very start, its place and the heading cannot be
    # told apart; the rows are drawn from where they can.
    told = np.array([*p[:3], max(p[3], _EARLIEST * length), p[4]])
    gain, pull = _gain(_curve(told, along[used])[1], length, _PRIOR)
    residual = (xy[:, used] - xy[0, used]).reshape(len(xy), -1)
    begins = np.broadcast_to(begins, len(xy))
    rows = p + residual @ gain.T + np.outer((begins - begins[0]) * length, pull)
    direction = np.stack([np.cos(rows[:, 2]), np.sin(rows[:, 2])], axis=-1)
    straight = np.clip(rows[:, 3], 0.0, _LATEST * s[:, -1])
    return StraightThenArc(
        straight=straight,
        curvature=rows[:, 4],
        leaves=rows[:, :2] + straight[:, None] * direction,
        direction=direction,
        length=s[:, -1],
        rms=rms,
        bends=True,
    )


def _fit_nominal(line, along, used):
    """Gauss-Newton on the first ``used`` vertices; returns the parameters and the misfit.

    First the line alone; one that leaves a misfit was drawn by hand or eye, and is
    fitted again with what is known beforehand.
    """
    p, rms = _fitted(line[:used].tobytes(), along[:used].tobytes(), float(along[-1]))
    return np.array(p), rms


@lru_cache(maxsize=32)  # while a mark is dragged that the canal does not rest on
def _fitted(line, along, length):
    line, along = np.frombuffer(line).reshape(-1, 2), np.frombuffer(along)
    p, rms = _gauss_newton(_start(line, along), line, along, length, 1e-6)
    trust = min(1.0, (rms / _DRAWN_RMS) ** 2)
    if trust > 1e-3:
        p, rms = _gauss_newton(p, line, along, length, trust * _PRIOR)
    return tuple(p), rms


def _gauss_newton(p, line, along, length, prior):
    for _ in range(12):
        position, derivatives = _curve(p, along)
        gain, pull = _gain(derivatives, length, prior)
        delta = gain @ (line - position).ravel() + pull * (BEGINS * length - p[3])
        p = p + np.clip(delta, -0.25 * length, 0.25 * length)
        p[3] = np.clip(p[3], 0.0, min(0.95 * along[-1], _LATEST * length))
        if np.abs(delta).max() < 1e-6:
            break
    return p, float(np.sqrt(np.square(line - _curve(p, along)[0]).sum(axis=1).mean()))


def _gain(jacobian, length, prior):
    """Parameters per displacement of the line, and per shift of where the bend is expected."""
    weight = prior / length**2
    known = np.diag([0, 0, 0, weight, 1e-9])
    right = np.column_stack([jacobian.T, [0, 0, 0, weight, 0]])
    solved = np.linalg.solve(jacobian.T @ jacobian + known, right)
    return solved[:, :-1], solved[:, -1]


def _all_straight(xy, s):
    """One straight line through each row; the apical half's heading against the coronal half's."""
    vector = xy[:, -1] - xy[:, 0]
    direction = vector / np.hypot(vector[:, 0], vector[:, 1])[:, None]
    normal = np.stack([-direction[:, 1], direction[:, 0]], axis=-1)
    off = ((xy - xy[:, :1]) * normal[:, None]).sum(-1)
    rms = float(np.sqrt(np.square(off[0] - off[0].mean()).mean()))
    zero = np.zeros(len(xy))
    return StraightThenArc(s[:, -1], zero, xy[:, -1], direction, s[:, -1], rms, False)
