"""A straight part followed by one arc, fitted to a line."""

from dataclasses import dataclass

import numpy as np

# Below this total turning the place where a line starts to bend cannot be told.
STRAIGHT_DEG = 3.0
# The last millimetres, where a canal turns aside to its foramen.
_TIP_MM = 2.5
# Where the bend begins is known beforehand to about a quarter of the length; against
# lines drawn to about 0.1 mm this weighs 1 / length**2.
_PRIOR = 1.0


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
    """Positions (M, 2) at lengths s: start (x, y), heading, straight length, curvature."""
    x, y, heading, straight, k = parameters
    u = np.maximum(s - straight, 0.0)
    t = np.array([np.cos(heading), np.sin(heading)])
    n = np.array([-t[1], t[0]])
    if abs(k) < 1e-9:
        forward, aside = u, 0.5 * k * u * u
    else:
        forward, aside = np.sin(k * u) / k, (1 - np.cos(k * u)) / k
    return np.array([x, y]) + np.outer(np.minimum(s, straight) + forward, t) + np.outer(aside, n)


def _start(line, s):
    """First guess from the headings of the segments: best of a grid of straight lengths."""
    d = np.diff(line, axis=0)
    heading = np.unwrap(np.arctan2(d[:, 1], d[:, 0]))
    middle, weight = 0.5 * (s[1:] + s[:-1]), np.sqrt(np.diff(s))
    best = None
    for straight in np.linspace(0.05, 0.85, 17) * s[-1]:
        design = np.column_stack([np.ones_like(middle), np.maximum(middle - straight, 0)])
        solution, *_ = np.linalg.lstsq(design * weight[:, None], heading * weight, rcond=None)
        cost = float(np.square((design @ solution - heading) * weight).sum())
        if best is None or cost < best[0]:
            best = (cost, solution[0], straight, solution[1])
    return np.array([*line[0], best[1], best[2], best[3]])


def _jacobian(parameters, s):
    step = np.array([1e-4, 1e-4, 1e-5, 1e-4, 1e-6])
    columns = []
    for i, h in enumerate(step):
        up, down = parameters.copy(), parameters.copy()
        up[i] += h
        down[i] -= h
        columns.append(((_curve(up, s) - _curve(down, s)) / (2 * h)).ravel())
    return np.column_stack(columns)


def fit_straight_then_arc(xy, s):
    """Fit rows of a batch; the nominal row by Gauss-Newton, the others by its last step.

    A canal often turns aside once more in its last millimetres, to a foramen beside
    the apex; where leaving out the last 2.5 mm halves the misfit, the fit does so.

    Parameters
    ----------
    xy : ndarray, shape (K, M, 2)
    s : ndarray, shape (K, M)
        Length from the first vertex, mm (or any unit in which 2.5 is short).

    Returns
    -------
    StraightThenArc
    """
    line, along = xy[0], s[0]
    length = along[-1]
    p, rms = _fit_nominal(line, along, slice(None))
    used = slice(None)
    body = int(np.searchsorted(along, length - min(_TIP_MM, 0.3 * length)))
    if body >= 5:
        q, rms_body = _fit_nominal(line, along, slice(body))
        if rms_body < 0.5 * rms and rms > 1e-3:
            p, rms, used = q, rms_body, slice(body)
    if abs(np.degrees(p[4] * (length - p[3]))) < STRAIGHT_DEG:
        return _all_straight(xy, s)
    gain = _gain(_jacobian(p, along[used]), length, _PRIOR)
    residual = (xy[:, used] - xy[0, used]).reshape(len(xy), -1)
    rows = p + residual @ gain.T
    direction = np.stack([np.cos(rows[:, 2]), np.sin(rows[:, 2])], axis=-1)
    straight = np.clip(rows[:, 3], 0.0, None)
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
    """Gauss-Newton on one line; returns the parameters and the misfit."""
    length = along[-1]
    line, along = line[used], along[used]
    p = _start(line, along)
    for _ in range(12):
        delta = _gain(_jacobian(p, along), length, 1e-6) @ (line - _curve(p, along)).ravel()
        p = p + np.clip(delta, -0.25 * length, 0.25 * length)
        p[3] = np.clip(p[3], 0.0, 0.95 * along[-1])
        if np.abs(delta).max() < 1e-6:
            break
    rms = float(np.sqrt(np.square(line - _curve(p, along)).sum(axis=1).mean()))
    return p, rms


def _gain(jacobian, length, damping):
    """Parameters per displacement; damping holds the straight length within its prior."""
    prior = np.diag([0, 0, 0, damping / length**2, 1e-9])
    return np.linalg.solve(jacobian.T @ jacobian + prior, jacobian.T)


def _all_straight(xy, s):
    """One straight line through each row; the apical half's heading against the coronal half's."""
    vector = xy[:, -1] - xy[:, 0]
    direction = vector / np.hypot(vector[:, 0], vector[:, 1])[:, None]
    normal = np.stack([-direction[:, 1], direction[:, 0]], axis=-1)
    off = ((xy - xy[:, :1]) * normal[:, None]).sum(-1)
    rms = float(np.sqrt(np.square(off[0] - off[0].mean()).mean()))
    zero = np.zeros(len(xy))
    return StraightThenArc(s[:, -1], zero, xy[:, -1], direction, s[:, -1], rms, False)
