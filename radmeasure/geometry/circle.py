"""Circles through points."""

from functools import lru_cache

import numpy as np


def fit_circle(points):
    """Least-squares circle of each row of a batch.

    Parameters
    ----------
    points : ndarray, shape (K, M, 2)
        At least three points a row.

    Returns
    -------
    centre : ndarray, shape (K, 2)
    radius : ndarray, shape (K,)

    Notes
    -----
    Algebraic start (I. Kasa, IEEE Trans Instrum Meas 1976;25:8-14, from memory),
    then two Gauss-Newton steps on the distances to the rim.

    Examples
    --------
    >>> c, r = fit_circle(np.array([[[0.0, 0], [4, 8], [12, 4]]]))
    >>> c.round(6).tolist(), r.round(6).tolist()
    ([[6.0, 2.0]], [6.324555])
    """
    mean = points.mean(axis=1, keepdims=True)
    p = points - mean
    x, y = p[..., 0], p[..., 1]
    design = np.stack([x, y, np.ones_like(x)], axis=-1)
    rhs = x * x + y * y
    solution = _solve(design, rhs)
    centre = 0.5 * solution[:, :2]
    radius = np.sqrt(solution[:, 2] + (centre**2).sum(axis=1))
    for _ in range(2):
        d = p - centre[:, None, :]
        rho = np.hypot(d[..., 0], d[..., 1])
        unit = d / rho[..., None]
        design = np.concatenate([-unit, -np.ones_like(rho)[..., None]], axis=-1)
        delta = _solve(design, -(rho - radius[:, None]))
        centre, radius = centre + delta[:, :2], radius + delta[:, 2]
    return centre + mean[:, 0], radius


def _solve(design, rhs):
    """Least squares of every row by normal equations."""
    ata = np.einsum("kmi,kmj->kij", design, design)
    atb = np.einsum("kmi,km->ki", design, rhs)
    return np.linalg.solve(ata, atb[..., None])[..., 0]


def ellipse_width(points, direction):
    """Extent along a direction of the ellipse through a rim, least squares on the conic.

    A ball seen obliquely shows as an ellipse; its extent square to the obliquity is the
    one that its diameter stands for.

    Parameters
    ----------
    points : array_like, shape (M, 2)
    direction : ndarray, shape (2,)
        Unit vector.

    Returns
    -------
    float or None
        In the unit of the points; None when fewer than six points, or no ellipse, are given.
    """
    conic = _conic(np.asarray(points, dtype=float).tobytes())
    return None if conic is None else float(2 * np.sqrt(direction @ conic @ direction))


@lru_cache(maxsize=16)  # a rim rests while other marks are dragged
def _conic(points):
    """Matrix C of the ellipse whose half extent along d is sqrt(d C d), or None."""
    points = np.frombuffer(points).reshape(-1, 2)
    if len(points) < 6:
        return None
    centre = points.mean(axis=0)
    size = np.hypot(*(points - centre).T).mean()
    x, y = ((points - centre) / size).T
    conic = np.column_stack([x * x, x * y, y * y, x, y])
    (a, b, c, d, e), *_, rank, _ = np.linalg.lstsq(conic, np.ones(len(x)), rcond=None)
    shape = np.array([[a, b / 2], [b / 2, c]])
    if rank < 5 or np.linalg.eigvalsh(shape)[0] <= 0:
        return None
    inverse = np.linalg.inv(shape)
    linear = np.array([d, e])
    return inverse * size**2 * (1 + 0.25 * linear @ inverse @ linear)
