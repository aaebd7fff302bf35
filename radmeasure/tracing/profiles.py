"""What a place on a ray looks like: the features the scorers judge.

A fine profile around the place, scaled to its own mean and spread (so exposure and
response of the film drop out), and a coarse one that tells tooth from bone and air.
"""

import numpy as np

STEP = 0.05  # nominal mm between samples of a ray
FINE = np.arange(-24, 19, 2)  # samples: -1.2 .. 0.9 mm
COARSE = np.arange(-80, 61, 10)  # samples: -4 .. 3 mm
BEFORE, AFTER = 4.0, 3.0
WALL_FEATURES = len(FINE) + 1 + len(COARSE) + 3


def _windows(values, offsets, start, count):
    return np.stack([values[:, start + o : start + o + count] for o in offsets], axis=-1)


def wall_features(rays, film, spread, slant, from_tip):
    """Features of every place of the frame, shape (N, M, WALL_FEATURES), float32.

    Parameters
    ----------
    film : ndarray
        Film values, air near 0, dense tooth near 1.
    spread : float
        Rows over which the profile is averaged (standard deviation).
    slant : ndarray, shape (N,)
        Sine of the angle between ray and the across direction (0 beside the root, 1 beyond).
    from_tip : ndarray, shape (N,)
        Distance of the ray's origin from the rough apex, nominal mm.
    """
    from scipy.ndimage import gaussian_filter1d

    values = rays.sample(film, BEFORE, AFTER)
    values = gaussian_filter1d(values, spread, axis=0, mode="nearest")
    soft = gaussian_filter1d(values, 5.0, axis=1, mode="nearest")
    count, start = len(rays.radius), round(BEFORE / STEP)
    fine = _windows(values, FINE, start, count)
    mean = fine.mean(axis=-1, keepdims=True)
    deviation = fine.std(axis=-1, keepdims=True)
    fine = (fine - mean) / (deviation + 0.01)
    coarse = _windows(soft, COARSE, start, count) - mean
    shape = (*mean.shape[:2], 1)
    extra = (
        np.log(deviation + 0.003),
        mean,
        np.broadcast_to(slant[:, None, None], shape),
        np.broadcast_to(np.minimum(from_tip, 12.0)[:, None, None] / 6.0, shape),
    )
    return np.concatenate([fine, coarse, *extra], axis=-1, dtype=np.float32)
