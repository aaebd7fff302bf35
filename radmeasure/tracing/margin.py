"""The coronal end of a tooth: incisal edge or cusp, or the broken edge of a lost crown."""

import numpy as np

from radmeasure.tracing.rays import Rays, normals, resample, unit

ROW = 0.1
ABOVE = 3.0  # nominal mm looked at above the top of the traced wall


def find_margin(scene, wall, sign):
    """Coronal end of the dentine along one wall, its deviation (mm) and share; None when unseen.

    Parameters
    ----------
    wall : ndarray, shape (K, 2)
        Film px, coronal to apical, starting near the broken edge.
    sign : int
        +1 when the outside is the left-hand normal.
    """
    from scipy.ndimage import gaussian_filter1d

    line = resample(wall, ROW * scene.unit_px)
    root = line[15:55]
    if len(root) < 30:
        return None
    head = unit(root[0] - root[-1])
    count = round((ABOVE + 1.5) / ROW)
    lead = root[0] + head * ROW * scene.unit_px * np.arange(count, 0, -1)[:, None]
    line = np.vstack([lead, root])
    _, normal = normals(line)
    rays = Rays(line, -sign * normal, 0.1 * np.arange(2, 8), scene.unit_px)
    level = gaussian_filter1d(rays.sample(scene.film).mean(axis=1), 0.7, mode="nearest")
    dentine = np.median(level[count:])
    air = np.min(level[:count])
    if dentine - air < 0.25:
        return None
    dark = np.flatnonzero(level[: count + 10] < 0.5 * (dentine + air))
    if not len(dark):
        return None
    row = dark[-1]
    part = (0.5 * (dentine + air) - level[row]) / max(level[row + 1] - level[row], 1e-6)
    slope = max(level[row + 1] - level[row], 1e-6) / (dentine - air)
    point = line[row] + part * (line[row + 1] - line[row])
    return point, ROW * float(np.clip(0.5 / slope, 1.0, 10.0)), min(dentine - air, 1.0)


EDGE = 0.2  # brightness at which the thin edge of a crown ends, dentine = 1 (own films, derived)


def find_reference(scene, click, axis):
    """Incisal edge or cusp tip near a rough click: (point, deviation in mm, share) or None.

    The edge is read on lines along the tooth; among them the most coronal one counts,
    the farther from the click the less.
    """
    from scipy.ndimage import gaussian_filter1d, median_filter

    unit_px = scene.unit_px
    across = np.array([-axis[1], axis[0]])
    aside = 0.1 * np.arange(-15, 16)
    depth = 0.05 * np.arange(-60, 61)
    origin = click + aside[:, None] * unit_px * across
    rays = Rays(origin, np.broadcast_to(axis, origin.shape), depth, unit_px)
    dark = gaussian_filter1d(rays.sample(scene.film), 1.0, axis=1) < EDGE
    dark[:, depth > 2.2] = False
    seen = dark.any(axis=1)
    if seen.sum() < 20:
        return None
    last = dark.shape[1] - 1 - dark[:, ::-1].argmax(axis=1)
    edge = np.where(seen, depth[last], np.nan)
    edge = np.interp(aside, aside[seen], edge[seen])
    edge = gaussian_filter1d(median_filter(edge, 9), 1.5)
    best = int((edge + 0.25 * (aside / 0.9) ** 2).argmin())
    point = rays.at(best, edge[best])
    slope = float(np.ptp(edge[max(0, best - 4) : best + 5]))
    return point, 0.1 + 0.5 * slope, 0.9 if abs(edge[best]) < 2.0 else 0.4
