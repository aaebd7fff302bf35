"""Bright things in the canal: a file, a filling, a post, and where they end.

The canal is followed beyond both its ends, the brightness on it is compared with the
dentine (or air) beside it, and each end is placed where the difference passes half of
what it is just inside.
"""

from dataclasses import dataclass

import numpy as np

from radmeasure.tracing import chain
from radmeasure.tracing.rays import Rays, normals, resample, unit

ROW = 0.1  # nominal mm between levels
CELL = 0.1
BRIGHT = 0.11  # least contrast of something radiopaque, dentine = 1 (own films, derived)
GAP = 0.35  # nominal mm; a shorter break does not end a filling


@dataclass(frozen=True, eq=False)
class Track:
    """A line along the canal with its contrast and width, coronal to apical.

    ``contrast`` is the brightness above what lies beside it; ``beside`` that of the sides.
    """

    points: np.ndarray
    contrast: np.ndarray
    beside: np.ndarray
    width: np.ndarray
    unit_px: float

    def at(self, row):
        index = np.arange(len(self.points))
        return np.array([np.interp(row, index, self.points[:, i]) for i in (0, 1)])


def track(scene, canal_points, half_width_mm, above_mm, below_mm=2.0):
    """Follow the brightest path along the canal, ``above_mm`` beyond its coronal end."""
    from scipy.ndimage import gaussian_filter, gaussian_filter1d

    step = ROW * scene.unit_px
    line = resample(canal_points, step)
    head = unit(line[0] - line[min(len(line) - 1, 30)])
    tail = unit(line[-1] - line[max(0, len(line) - 15)])
    above = line[0] + head * step * np.arange(round(above_mm / ROW), 0, -1)[:, None]
    below = line[-1] + tail * step * np.arange(1, round(below_mm / ROW) + 1)[:, None]
    path = gaussian_filter1d(np.vstack([above, line, below]), 3.0, axis=0, mode="nearest")
    _, normal = normals(path)
    radius = CELL * np.arange(-26, 27)
    rays = Rays(path, normal, radius, scene.unit_px)
    values = rays.sample(scene.film)
    soft = gaussian_filter(values, (1.5, 0.8), mode="nearest")
    around = gaussian_filter(values, (4.0, 6.0), mode="nearest")
    reach = np.full(len(path), 0.4)
    reach[: len(above)] = np.linspace(1.4, 0.4, len(above))
    score = 12.0 * np.clip(soft - around, 0.0, 0.6)
    score = np.where(np.abs(radius)[None] > reach[:, None], -30.0, score)
    column = chain.best_path(score, chain.step_penalty(2, 0.6, heavy=1e-3))
    place = gaussian_filter1d(radius[column], 3.0, mode="nearest")
    return _profiled(rays, values, place, half_width_mm)


def _profiled(rays, values, place, half_width_mm):
    rows = np.arange(len(place))[:, None]
    index = (place[:, None] - rays.radius[0]) / CELL + np.arange(-16, 17)[None]
    index = np.clip(np.round(index).astype(int), 0, values.shape[1] - 1)
    across = values[rows, index]
    core = across[:, 15:18].mean(axis=1)
    sides = np.sort(np.stack([across[:, 4:8].mean(axis=1), across[:, 25:29].mean(axis=1)]), axis=0)
    beside = sides.mean(axis=0)
    half = beside + 0.5 * (core - beside)
    width = CELL * (across[:, 5:28] > half[:, None]).sum(axis=1)
    return Track(rays.curve(place), core - beside, beside, width, rays.unit_px)


def bright_parts(contrast, least=BRIGHT):
    """(first, last) rows of every stretch at least 0.8 mm long above ``least``."""
    bright = contrast > least
    edge = np.flatnonzero(np.diff(np.concatenate([[0], bright.astype(int), [0]])))
    parts = [[a, b - 1] for a, b in zip(edge[::2], edge[1::2])]
    joined = []
    for part in parts:
        if joined and (part[0] - joined[-1][1]) * ROW < GAP:
            joined[-1][1] = part[1]
        else:
            joined.append(part)
    return [tuple(p) for p in joined if (p[1] - p[0]) * ROW >= 0.8]


def end_row(contrast, row, inward):
    """Sub-row place of an end near ``row``: half of the contrast 0.3-1 mm inside.

    ``inward`` is +1 when the object lies at larger rows. Returns (row, deviation in rows).
    """
    inside = row + inward * np.arange(3, 11)
    outside = row - inward * np.arange(3, 9)
    n = len(contrast)
    inside, outside = inside[(inside >= 0) & (inside < n)], outside[(outside >= 0) & (outside < n)]
    if not len(inside) or not len(outside):
        return float(row), 5.0
    high, low = np.median(contrast[inside]), np.median(contrast[outside])
    middle = 0.5 * (high + low)
    rows = np.arange(max(0, row - 8), min(n, row + 9))
    if inward < 0:
        rows = rows[::-1]
    below = np.flatnonzero(contrast[rows] >= middle)
    if not len(below) or below[0] == 0:
        return float(row), 4.0
    i = below[0]
    a, b = contrast[rows[i - 1]], contrast[rows[i]]
    place = rows[i - 1] + (rows[i] - rows[i - 1]) * (middle - a) / max(b - a, 1e-9)
    noise = np.std(contrast[outside]) + 0.01
    return float(place), float(1.0 + 4.0 * noise / max(high - low, 0.02))


def split_level(line_track, part):
    """Row inside ``part`` where one radiopaque thing touches another, or None.

    A post set on a filling shows as a step in brightness or width, not as a gap.
    """
    first, last = part
    if (last - first) * ROW < 4.0:
        return None
    core = line_track.contrast + line_track.beside
    rows = np.arange(first + 12, last - 11)
    step = [abs(np.median(core[r - 10 : r - 2]) - np.median(core[r + 3 : r + 11])) for r in rows]
    best = int(np.argmax(step))
    return int(rows[best]) if step[best] > 0.25 else None
