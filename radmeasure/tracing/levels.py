"""Levels along a wall or a canal: CEJ, bone crest, orifice, stop of a file.

The line is straightened; a trained scorer judges a patch around every level of it, and
the scores, with the usual place of the level, become a distribution along the line.
"""

from dataclasses import dataclass

import numpy as np

from radmeasure.tracing.network import trained
from radmeasure.tracing.rays import Rays, normals, resample, unit

ROW = 0.1  # nominal mm between levels
CELL = 0.1  # nominal mm between samples of a ray
ALONG = np.arange(-18, 19, 3)  # rows of a patch: -1.8 .. 1.8 mm
ACROSS = np.arange(-15, 14, 2)  # samples of a patch: -1.5 .. 1.3 mm
LEVEL_FEATURES = len(ALONG) * len(ACROSS) + len(ALONG) + 1


@dataclass(frozen=True, eq=False)
class LevelFrame:
    """A straightened wall or canal.

    Attributes
    ----------
    rays : Rays
        Square to the smoothed line, outward positive, coronal to apical.
    offset : ndarray, shape (N,)
        Where the traced line lies on each ray, nominal mm.
    """

    rays: Rays
    offset: np.ndarray

    def at(self, row, beside=0.0):
        """Film position at a fractional row, ``beside`` mm outside the traced line."""
        low = int(np.clip(np.floor(row), 0, len(self.offset) - 2))
        part = row - low
        a = self.rays.at(low, self.offset[low] + beside)
        b = self.rays.at(low + 1, self.offset[low + 1] + beside)
        return (1 - part) * a + part * b


def level_frame(line, outward, unit_px):
    """Frame of a line (film px, coronal to apical); ``outward`` is +1 or -1 times the normal."""
    from scipy.ndimage import gaussian_filter1d

    curve = resample(line, 0.5 * ROW * unit_px)
    line = resample(line, ROW * unit_px)
    base = gaussian_filter1d(line, 20.0, axis=0, mode="nearest")
    inner = slice(10, len(line) - 10)
    _, normal = normals(base)
    base, normal, line = base[inner], outward * normal[inner], line[inner]
    radius = CELL * np.arange(-30, 26)
    rays = Rays(base, normal, radius, unit_px)
    offset = rays.crossings(curve)
    near = np.einsum("ij,ij->i", line - base, normal) / unit_px
    return LevelFrame(rays, np.where(np.isfinite(offset), offset, near))


def extended(line, unit_px, more=1.5):
    """Line continued straight by ``more`` nominal mm at both ends."""
    line = resample(line, ROW * unit_px)
    span = min(len(line) - 1, 15)
    step = ROW * unit_px * np.arange(1, round(more / ROW) + 1)[:, None]
    head, tail = unit(line[0] - line[span]), unit(line[-1] - line[-1 - span])
    return np.vstack([line[0] + head * step[::-1], line, line[-1] + tail * step])


def level_features(frame, film):
    """Features of every level of the wall, shape (N, LEVEL_FEATURES), float32."""
    from scipy.ndimage import gaussian_filter

    values = gaussian_filter(frame.rays.sample(film), (1.0, 0.8), mode="nearest")
    rows = len(values)
    zero = round(-frame.rays.radius[0] / CELL)
    pad = -ALONG[0]
    values = np.pad(values, ((pad, pad), (0, 0)), mode="edge")
    offset = np.pad(frame.offset, pad, mode="edge")
    index = np.arange(rows)[:, None] + pad + ALONG
    patch = values[index][:, :, zero + ACROSS]
    mean = patch.mean(axis=(1, 2), keepdims=True)
    deviation = patch.std(axis=(1, 2), keepdims=True)
    flat = ((patch - mean) / (deviation + 0.02)).reshape(rows, -1)
    bend = offset[index] - frame.offset[:, None]
    extra = np.log(deviation[:, 0] + 0.01)
    return np.concatenate([flat, 2.0 * bend, extra], axis=1, dtype=np.float32)


@dataclass(frozen=True, eq=False)
class Level:
    """A level on a line.

    Attributes
    ----------
    row : float
        Fractional row of the frame.
    deviation : float
        Standard deviation of the probability near it, nominal mm.
    share : float
        Share of the probability that lies near it.
    score : float
        Of the scorer at that level, comparable between films.
    """

    row: float
    deviation: float
    share: float
    score: float


def find_level(name, frame, film, expected, window_mm=0.6):
    """Most probable level of kind ``name``.

    Parameters
    ----------
    expected : list of (row, sd_rows)
        Where the level usually lies; each is a Gaussian factor.
    """
    raw = trained(name)(level_features(frame, film)).astype(float)
    rows = np.arange(len(raw))
    score = raw.copy()
    for row, sd in expected:
        score -= 0.5 * ((rows - row) / sd) ** 2
    weight = np.exp(score - score.max())
    weight /= weight.sum()
    best = int(weight.argmax())
    near = np.where(np.abs(rows - best) * ROW <= window_mm, weight, 0.0)
    share = near.sum()
    row = (near @ rows) / share
    spread = np.sqrt((near @ (rows - row) ** 2) / share) * ROW
    return Level(float(row), float(spread), float(share), float(raw[best]))
