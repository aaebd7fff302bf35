"""A film prepared for the search: grey levels in [0, 1], a coarse copy, noise and clipping."""

from dataclasses import dataclass

import numpy as np

_COARSE_LONG_SIDE = 512  # px; about 0.08 mm on a size 2 receptor (ISO 3665)
_ROWS_AT_ONCE = 64


@dataclass(frozen=True, eq=False)
class Plate:
    """Attributes
    ----------
    grey : ndarray, shape (H, W), float32
        Film in [0, 1], larger is denser.
    clip : float
        Grey level at which values stop rising; above 1 when nothing is clipped.
    coarse : ndarray
        Block means of ``grey``, about 512 px on the long side.
    factor : int
        Edge of a block, px.
    noise : float
        Standard deviation of the pixel noise, grey levels.
    span : float
        Grey levels between the dark ground and the dense tissue.
    """

    grey: np.ndarray
    clip: float
    coarse: np.ndarray
    factor: int
    noise: float
    span: float

    @property
    def mm_px(self):
        """Rough px per mm: the long side of an intra-oral receptor is near 40 mm (ISO 3665).

        Only for limits that need no precision; sizes are never derived from it.
        """
        return max(self.grey.shape) / 40.0

    def fine_xy(self, coarse_xy):
        """Full-resolution (x, y) of coarse (x, y); pixel centres are whole numbers in both."""
        return (np.asarray(coarse_xy, float) + 0.5) * self.factor - 0.5


def prepare(pixels):
    """Prepare a film.

    Parameters
    ----------
    pixels : ndarray, shape (H, W), any real dtype
        Larger is denser.

    Returns
    -------
    Plate
    """
    return _plate(_levels(np.asarray(pixels)))


def evened(plate, bend):
    """The plate as a receptor would show it whose grey level follows the depth -log(1 - b grey).

    Parameters
    ----------
    plate : Plate
    bend : float
        b, above 0 and below 1.

    Returns
    -------
    Plate
        Of the same film, grey levels again in [0, 1].
    """
    grey = np.empty_like(plate.grey)
    for rows in _strips(grey):
        np.log1p(-bend * plate.grey[rows], out=grey[rows])
        grey[rows] /= np.float32(np.log1p(-bend))
    return _plate(grey)


def _plate(grey):
    factor = max(1, round(max(grey.shape) / _COARSE_LONG_SIDE))
    h, w = (n // factor * factor for n in grey.shape)
    coarse = np.empty((h // factor, w // factor), np.float32)
    at_once = max(1, _ROWS_AT_ONCE // factor)
    for first in range(0, len(coarse), at_once):
        strip = coarse[first : first + at_once]
        part = grey[first * factor : (first + len(strip)) * factor, :w]
        blocks = part.reshape(len(strip), factor, w // factor, factor)
        blocks.mean((1, 3), out=strip)
    # A level held by many pixels exactly at the top is clipped, not measured.
    top = sum(np.count_nonzero(grey[rows] >= 1.0) for rows in _strips(grey)) / grey.size
    clip = 1.0 if top > 2e-4 else 1.01
    ground, tissue = np.quantile(coarse, [0.01, 0.9])
    return Plate(grey, clip, coarse, factor, _noise(grey), max(float(tissue - ground), 1e-6))


# Everything goes in strips that fit the processor's cache: whole copies of a large film would
# hold up what else uses the memory, the window for one.
def _strips(rows):
    for top in range(0, len(rows), _ROWS_AT_ONCE):
        yield slice(top, top + _ROWS_AT_ONCE)


def _levels(pixels):
    """Grey levels in [0, 1], float32, darkest 0 and brightest 1."""
    low, high = float(np.float32(pixels.min())), float(np.float32(pixels.max()))
    grey = np.empty(pixels.shape, np.float32)
    for rows in _strips(grey):
        part = grey[rows]
        part[:] = pixels[rows]
        part -= low
        part /= max(high - low, 1e-9)
    return grey


def _noise(grey):
    """Pixel noise from second differences, which cancel shading (median, robust to edges)."""
    part = grey[: grey.shape[0] // 2 * 2 : 2]
    second = np.empty((part.shape[0], part.shape[1] - 2), np.float32)
    for rows in _strips(second):
        strip = part[rows]
        second[rows] = np.abs(strip[:, 2:] - 2 * strip[:, 1:-1] + strip[:, :-2])
    return float(np.median(second, overwrite_input=True) / 0.6745 / np.sqrt(6.0))


def sample(grey, x, y):
    """Bilinear grey level at (x, y); NaN off the film.

    Parameters
    ----------
    grey : ndarray, shape (H, W)
    x, y : ndarray
        Positions in px.
    """
    h, w = grey.shape
    x, y = np.broadcast_arrays(np.asarray(x, float), np.asarray(y, float))
    inside = (x >= 0) & (y >= 0) & (x <= w - 1) & (y <= h - 1)
    xs, ys = np.where(inside, x, 0.0), np.where(inside, y, 0.0)
    x0 = np.minimum(xs.astype(np.intp), w - 2)
    y0 = np.minimum(ys.astype(np.intp), h - 2)
    fx, fy = xs - x0, ys - y0
    flat = grey.ravel()
    at = y0 * w + x0
    top = flat[at] * (1 - fx) + flat[at + 1] * fx
    low = flat[at + w] * (1 - fx) + flat[at + w + 1] * fx
    return np.where(inside, top * (1 - fy) + low * fy, np.nan)


def binned(t, grey, edges, clip):
    """Mean grey by distance from an edge, without clipped values.

    Parameters
    ----------
    t, grey : ndarray, shape (N,)
        Distance outward and grey level of single pixels.
    edges : ndarray
        Ascending bin edges.
    clip : float
        Level of clipped values; from the outermost bin that holds some inwards nothing counts.

    Returns
    -------
    t, mean, error : ndarray
        Mean position, mean grey level and its standard error of each bin kept.
    """
    at = np.digitize(t, edges) - 1
    inside = (at >= 0) & (at < len(edges) - 1)
    at, grey, t = at[inside], grey[inside], t[inside]
    n = np.bincount(at, minlength=len(edges) - 1)
    total = np.maximum(n, 1)
    mean = np.bincount(at, grey, len(n)) / total
    centre = np.bincount(at, t, len(n)) / total
    var = np.maximum(np.bincount(at, grey * grey, len(n)) / total - mean**2, 0)
    clipped = np.bincount(at, grey >= clip - 1e-4, len(n)) / total
    rings = np.nonzero((clipped > 0.02) & (n >= 4))[0]
    first = rings.max() + 1 if len(rings) else 0
    keep = (n >= 4) & (np.arange(len(n)) >= first)
    return centre[keep], mean[keep], np.sqrt(var / total)[keep]
