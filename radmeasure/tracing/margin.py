"""The broken edge of a tooth that lost its crown."""

import numpy as np

from radmeasure.tracing.rays import Rays, normals, resample, unit

ROW = 0.1
ABOVE = 3.0  # nominal mm looked at above the top of the traced wall


def find_margin(scene, wall, sign):
    """Coronal end of the dentine along one wall, and its deviation (px); None when unseen.

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
    return point, ROW * scene.unit_px * float(np.clip(0.5 / slope, 1.0, 10.0))
