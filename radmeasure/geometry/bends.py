"""All bends that explain a drawn line: straight part and arc, weighed on a grid.

Bends that fit a drawn line nearly alike run along a curved valley, from an early wide arc
to a late tight one, which no least-squares fit with its straight law describes. Each bend of
a grid is therefore weighed by how well it explains the line under the covariance of its
drawing (Bayes' rule; where the line begins and heads is left free and solved for).
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

# The grid: where the arc begins, as a share of the length, and its signed angle (rad); how
# many of each a mean is taken from, and draws.
_SHARES, _ANGLES = (0.02, 0.85), (-1.92, 1.92)
COARSE, FINE = (16, 45), (40, 89)
_FINE = np.linspace(0, 1, 65)
# Before looking, a bend begins about a third down the length, give or take BEGINS_U of it,
# and turns by this (rms, common practice, no source: few canals turn by more than 60 degrees).
BEGINS, BEGINS_U = 0.35, 0.25
_USUAL_ARC = np.radians(35)
# A canal keeps to an arc within this, mm, but for its end, which turns aside to its foramen.
_KEEPS, _TIP, _TIP_MM = 0.02, 0.15, 2.5
# How far ahead of its drawn begin a line may begin, mm.
_AHEAD = 0.1


@lru_cache(maxsize=2)
def _table(shares, angles):
    """(share, angle) of the G bends, and their lines of length 1 (G, 65, 2), heading along x."""
    grid = np.linspace(*_SHARES, shares), np.linspace(*_ANGLES, angles)
    share, angle = (g.ravel() for g in np.meshgrid(*grid, indexing="ij"))
    k = angle / (1 - share)
    k = np.where(np.abs(k) < 1e-9, 1e-9, k)[:, None]
    u = np.maximum(_FINE - share[:, None], 0)
    ahead = np.minimum(_FINE, share[:, None]) + np.sin(k * u) / k
    line = np.stack([ahead, (1 - np.cos(k * u)) / k], axis=-1)
    # Turned so that its end lies on x.
    end = np.arctan2(line[:, -1, 1], line[:, -1, 0])
    return share, angle, end, _turned(line, -end[:, None])


def _turned(line, by):
    c, s = np.cos(by), np.sin(by)
    x, y = line[..., 0], line[..., 1]
    return np.stack([c * x - s * y, s * x + c * y], axis=-1)


@dataclass(frozen=True, eq=False)
class Weighed:
    """Bends of the grid and how well each explains a line of ``length``.

    Attributes
    ----------
    weight : ndarray, shape (G,)
        Sums to 1.
    share, angle, heading : ndarray, shape (G,)
        Where the arc begins (share of the length), its signed angle, the way the line begins.
    moved, spread : ndarray, shapes (G, 3), (3, 3)
        Turn (rad) and shift (mm) that suit each best, and a square root of their covariance.
    """

    weight: np.ndarray
    share: np.ndarray
    angle: np.ndarray
    heading: np.ndarray
    moved: np.ndarray
    spread: np.ndarray
    begins: np.ndarray
    length: float
    grid: tuple

    def mean(self):
        """(x, y, heading, straight, curvature) of the mean bend."""
        share, angle = self.weight @ self.share, self.weight @ self.angle
        moved = self.weight @ self.moved
        heading = self.weight @ np.unwrap(self.heading) + moved[0]
        return self._parameters(share, angle, heading, moved[1:])

    def draws(self, count, seed=0):
        """``count`` bends drawn by their weights, parameters as in :meth:`mean`, (count, 5)."""
        rng = np.random.default_rng(seed)
        at = np.searchsorted(np.cumsum(self.weight), (rng.permutation(count) + 0.5) / count)
        at = np.minimum(at, len(self.weight) - 1)

        def between(of, limits, steps):
            gap = (limits[1] - limits[0]) / (steps - 1)
            return of[at] + rng.uniform(-0.5, 0.5, count) * gap

        share = np.clip(between(self.share, _SHARES, self.grid[0]), 0, _SHARES[1])
        angle = between(self.angle, _ANGLES, self.grid[1])
        moved = self.moved[at] + rng.standard_normal((count, 3)) @ self.spread.T
        heading = self.heading[at] + moved[:, 0]
        return self._parameters(share, angle, heading, moved[:, 1:])

    def _parameters(self, share, angle, heading, shift):
        x, y = np.moveaxis(self.begins + shift, -1, 0)
        curvature = angle / ((1 - share) * self.length)
        return np.stack([x, y, heading, share * self.length, curvature], axis=-1)


def weigh(line, along, covariance, grid=COARSE):
    """Weigh all bends of the grid against a line.

    Parameters
    ----------
    line : ndarray, shape (M, 2)
        mm.
    along : ndarray, shape (M,)
        Length from the first vertex.
    covariance : ndarray, shape (M, M)
        Of the drawing, square to the line, mm2.
    grid : tuple of two int
        How many begins and angles are tried.

    Returns
    -------
    Weighed
    """
    length = along[-1]
    share, angle, turned, table = _table(*grid)
    chord = line[-1] - line[0]
    way = np.arctan2(chord[1], chord[0])
    t = np.gradient(line, along, axis=0)
    normal = np.stack([-t[:, 1], t[:, 0]], axis=-1) / np.hypot(*t.T)[:, None]
    # The bends where the line has its vertices, laid on it end to end.
    at = along / length * (len(_FINE) - 1)
    i = np.minimum(at.astype(int), len(_FINE) - 2)
    part = (at - i)[:, None]
    across = _turned(normal, -way)  # the line's normals, its chord along x
    fine = table[:, i] * (1 - part) + table[:, i + 1] * part
    bend = length * (fine * across).sum(-1)
    # What a turn about the begin does, nearly alike for all bends: as to the line itself.
    lever = line - line[0]
    free = np.column_stack([-lever[:, 1] * normal[:, 0] + lever[:, 0] * normal[:, 1], normal])
    tip = np.clip((along - length) / _TIP_MM + 1, 0, None)
    covariance = covariance + _KEEPS**2 * np.eye(len(line)) + _TIP**2 * np.outer(tip, tip)
    whiten = np.linalg.inv(np.linalg.cholesky(covariance))
    r = ((lever * normal).sum(-1) - bend) @ whiten.T
    free = whiten @ free
    # Its begin may lie aside, hardly ahead.
    kept = np.zeros((3, 3))
    kept[1:, 1:] = np.outer(t[0], t[0]) / (t[0] @ t[0]) / _AHEAD**2
    known = np.linalg.inv(free.T @ free + kept + 1e-6 * np.eye(3))
    pulled = r @ free
    moved = pulled @ known
    cost = np.einsum("gm,gm->g", r, r) - np.einsum("gi,gi->g", pulled, moved)
    cost += ((share - BEGINS) / BEGINS_U) ** 2 + (angle / _USUAL_ARC) ** 2
    weight = np.exp(0.5 * (cost.min() - cost))
    weight /= weight.sum()
    spread = np.linalg.cholesky(known)
    heading = way - turned
    return Weighed(weight, share, angle, heading, moved, spread, line[0], float(length), grid)
