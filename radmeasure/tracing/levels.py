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
# Wider look: how the line bends and how bright its inside is, -4.5 .. 3.5 mm along.
WIDE = np.array([-45, -35, -25, -18, -10, 10, 18, 25, 35])
INSIDE = (slice(25, 28), slice(16, 21))  # samples 0.5 .. 0.3 and 1.4 .. 1.0 mm inside
LEVEL_FEATURES = len(ALONG) * (len(ACROSS) + 1) + 1 + 3 * len(WIDE)
# Closer look, for the CEJ: enamel begins as a thin bright edge within the outline.
CLOSE = {"cej"}
CLOSE_ALONG = np.arange(-14, 15, 2)  # rows: -1.4 .. 1.4 mm
CLOSE_ACROSS = np.arange(-9, 5)  # samples: -0.9 .. 0.4 mm
CLOSE_FEATURES = len(CLOSE_ALONG) * len(CLOSE_ACROSS)


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


def level_features(name, frame, film):
    """Features of every level of the line for the scorer ``name``, shape (N, F), float32."""
    from scipy.ndimage import gaussian_filter

    sampled = frame.rays.sample(film)
    values = gaussian_filter(sampled, (1.0, 0.8), mode="nearest")
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
    wide = _wide_features(frame, values[pad:-pad], mean[:, 0], deviation[:, 0])
    close = [_close_features(sampled, zero)] if name in CLOSE else []
    return np.concatenate([flat, 2.0 * bend, extra, *wide, *close], axis=1, dtype=np.float32)


def _close_features(sampled, zero):
    """A finer patch around every level, scaled to its own mean and spread."""
    from scipy.ndimage import gaussian_filter

    values = gaussian_filter(sampled, (0.7, 0.5), mode="nearest")
    pad = -CLOSE_ALONG[0]
    index = np.arange(len(values))[:, None] + pad + CLOSE_ALONG
    values = np.pad(values, ((pad, pad), (0, 0)), mode="edge")
    patch = values[index][:, :, zero + CLOSE_ACROSS]
    mean = patch.mean(axis=(1, 2), keepdims=True)
    deviation = patch.std(axis=(1, 2), keepdims=True)
    return ((patch - mean) / (deviation + 0.02)).reshape(len(sampled), -1)


def _wide_features(frame, values, mean, deviation):
    """Bend of the line (mm from its tangent) and brightness beside it, each (N, len(WIDE))."""
    rows = np.clip(np.arange(len(values))[:, None] + WIDE, 0, len(values) - 1)
    line = frame.rays.curve(frame.offset)
    apart = np.einsum("ijk,ik->ij", line[rows] - line[:, None], frame.rays.direction)
    yield np.clip(apart / frame.rays.unit_px, -2.0, 2.0)
    for part in INSIDE:
        inside = values[:, part].mean(axis=1)
        yield np.clip((inside[rows] - mean) / (deviation + 0.02), -4.0, 4.0)


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
    """

    row: float
    deviation: float
    share: float


def level_scores(name, frame, film, expected):
    """Score of every level as one of kind ``name``, shape (N,).

    Parameters
    ----------
    expected : list of (row, sd_rows)
        Where the level usually lies; each is a Gaussian factor.
    """
    raw = trained(name)(level_features(name, frame, film)).astype(float)
    rows = np.arange(len(raw))
    return raw - sum(0.5 * ((rows - row) / sd) ** 2 for row, sd in expected)


def most_probable(score, window_mm=0.6):
    """The Level of the greatest score and the probability near it."""
    rows = np.arange(len(score))
    weight = np.exp(score - score.max())
    weight /= weight.sum()
    best = int(weight.argmax())
    near = np.where(np.abs(rows - best) * ROW <= window_mm, weight, 0.0)
    share = near.sum()
    row = (near @ rows) / share
    spread = np.sqrt((near @ (rows - row) ** 2) / share) * ROW
    return Level(float(row), float(spread), float(share))


def find_level(name, frame, film, expected, window_mm=0.6):
    """Most probable level of kind ``name`` around the ``expected`` rows."""
    return most_probable(level_scores(name, frame, film, expected), window_mm)


def tied(scores, depths, apart_mm):
    """Scores of two levels that lie about equally deep, each told what the other says.

    Parameters
    ----------
    scores : pair of ndarray
        Of the levels of either line.
    depths : pair of ndarray
        Depth of every level along the tooth, nominal mm.
    apart_mm : float
        Standard deviation of the usual difference.
    """
    for here, there in ((0, 1), (1, 0)):
        weight = np.exp(scores[there] - scores[there].max())
        gap = depths[here][:, None] - depths[there][None]
        like = np.exp(-0.5 * (gap / apart_mm) ** 2) @ (weight / weight.sum())
        yield scores[here] + np.log(like + 1e-3)
