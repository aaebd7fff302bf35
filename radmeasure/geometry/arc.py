"""A straight part followed by one arc, fitted to a line."""

import math
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from radmeasure.geometry.bends import BEGINS, FINE, weigh

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
# Against lines drawn to about 0.1 mm in waves of 3 mm that knowledge weighs this, over length**2.
_PRIOR = 1.0
# The fit of a line as it is needs just enough of that to be solved when it is straight.
_STEADY = 1e-6
# Misfit of a line drawn so, mm; one that fits much better is taken as it is.
_DRAWN_RMS = 0.03


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
    x, y, heading, straight, k = map(float, parameters)
    k = k if abs(k) > 1e-9 else 1e-9
    tx, ty = math.cos(heading), math.sin(heading)
    # Along the straight part u, sine and 1 - cosine are 0, and with them what they are part of.
    u = np.maximum(s - straight, 0.0)
    sin, cos = np.sin(k * u), np.cos(k * u)
    less = 1 - cos
    run, aside = np.minimum(s, straight) + sin / k, less / k
    right, down = run * tx - aside * ty, run * ty + aside * tx
    position = np.empty((len(s), 2))
    position[:, 0], position[:, 1] = right + x, down + y
    ahead, off = (u * cos - sin / k) / k, (u * sin - aside) / k
    derivatives = np.zeros((len(s), 2, 5))
    across, downwards = derivatives[:, 0], derivatives[:, 1]
    across[:, 0] = downwards[:, 1] = 1.0
    across[:, 2], downwards[:, 2] = -down, right
    across[:, 3], downwards[:, 3] = less * tx + sin * ty, less * ty - sin * tx
    across[:, 4], downwards[:, 4] = ahead * tx - off * ty, ahead * ty + off * tx
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


def fit_straight_then_arc(xy, s, begins=BEGINS, spread=1.0):
    """Fit rows of a batch, the others than the nominal one by the last step of its fit.

    The nominal row by least squares, and the more it was drawn by hand or eye the more by
    the mean of all bends that explain it (:mod:`radmeasure.geometry.bends`).

    A canal often turns aside once more in its last millimetres, to a foramen beside
    the apex; where leaving out the last 2.5 mm halves the misfit, the fit does so.

    Parameters
    ----------
    xy : ndarray, shape (K, M, 2)
    s : ndarray, shape (K, M)
        Length from the first vertex, mm (or any unit in which 2.5 is short).
    begins : ndarray, shape (K,), or float
        Where the bend is expected to begin, as a share of the length.
    spread : float
        Over how many rows the line's variance is spread: K for draws, 2 for a stencil.

    Returns
    -------
    StraightThenArc
    """
    line, along = xy[0], s[0]
    length = along[-1]
    covariance = _off(xy, line, along)
    covariance = covariance.T @ covariance / spread
    p, rms = _fit_nominal(line, along, len(line), covariance)
    used = slice(None)
    body = int(np.searchsorted(along, length - min(_TIP_MM, 0.3 * length)))
    if body >= 5:
        q, rms_body = _fit_nominal(line, along, body, covariance)
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


def bends_drawn(fit, xy, s, turned, shifted):
    """A bend for every random draw of a line, of those that explain the nominal one.

    Parameters
    ----------
    fit : StraightThenArc
        Of these rows; its first row is kept.
    xy, s : ndarray, shapes (K, M, 2), (K, M)
        As for :func:`fit_straight_then_arc`, rows drawn at random about the first.
    turned, shifted : ndarray, shapes (K, 2, 2), (K, 2)
        Each row's own frame: ``xy[0] = turned @ xy[k] + shifted`` but for the drawing.

    Returns
    -------
    StraightThenArc
    """
    line, along = xy[0], s[0]
    still = np.einsum("kij,kmj->kmi", turned, xy) + shifted[:, None]
    off = _off(still, line, along)
    rows = weigh(line, along, off.T @ off / len(off), FINE).draws(len(xy))
    # All lengths of a draw grow together with its scale.
    grown = s[:, -1] / along[-1]
    straight = rows[:, 3] * grown
    direction = np.stack([np.cos(rows[:, 2]), np.sin(rows[:, 2])], axis=-1)
    leaves = rows[:, :2] + rows[:, 3:4] * direction - shifted
    found = {
        "straight": straight,
        "curvature": rows[:, 4] / grown,
        "leaves": np.einsum("kij,ki->kj", turned, leaves),
        "direction": np.einsum("kij,ki->kj", turned, direction),
    }
    for name, values in found.items():
        values[0] = getattr(fit, name)[0]
    return replace(fit, **found)


def _off(xy, line, along):
    """How far each row lies aside of the line, (K, M)."""
    tangent = np.gradient(line, along, axis=0)
    return ((xy - line) * np.column_stack([-tangent[:, 1], tangent[:, 0]])).sum(-1)


def _fit_nominal(line, along, used, covariance):
    """Fit of the first ``used`` vertices; returns the parameters and the misfit."""
    parts = (line[:used], along[:used], covariance[:used, :used])
    p, rms = _fitted(*(part.tobytes() for part in parts), float(along[-1]))
    return np.array(p), rms


@lru_cache(maxsize=32)  # while a mark is dragged that the canal does not rest on
def _fitted(line, along, covariance, length):
    line, along = np.frombuffer(line).reshape(-1, 2), np.frombuffer(along)
    p, rms = _gauss_newton(_start(line, along), line, along, length)
    trust = min(1.0, (rms / _DRAWN_RMS) ** 2)
    if trust > 1e-3:
        mean = weigh(line, along, np.frombuffer(covariance).reshape(len(along), -1)).mean()
        mean[2] += 2 * np.pi * np.round((p[2] - mean[2]) / (2 * np.pi))
        p = p + trust * (mean - p)
        rms = _misfit(p, line, along)
    return tuple(p), rms


def _gauss_newton(p, line, along, length):
    for _ in range(12):
        position, derivatives = _curve(p, along)
        gain, pull = _gain(derivatives, length, _STEADY)
        delta = gain @ (line - position).ravel() + pull * (BEGINS * length - p[3])
        p = p + np.clip(delta, -0.25 * length, 0.25 * length)
        p[3] = np.clip(p[3], 0.0, min(0.95 * along[-1], _LATEST * length))
        if np.abs(delta).max() < 1e-6:
            break
    return p, _misfit(p, line, along)


def _misfit(p, line, along):
    return float(np.sqrt(np.square(line - _curve(p, along)[0]).sum(axis=1).mean()))


def _gain(jacobian, length, prior):
    """Parameters per displacement of the line, and per shift of where the bend is expected."""
    weight = prior / length**2
    normal = jacobian.T @ jacobian
    normal[3, 3] += weight
    normal[4, 4] += 1e-9
    right = np.zeros((5, len(jacobian) + 1))
    right[:, :-1] = jacobian.T
    right[3, -1] = weight
    solved = np.linalg.solve(normal, right)
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
