"""A fan of rays laid over the film, and what the film looks like along them.

All tracing happens in such frames: a curve on the film becomes one radius per ray.
Pixel convention as everywhere: x right, y down, (0, 0) the centre of the top-left pixel.
"""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True, eq=False)
class Rays:
    """Rays and the radii sampled along them.

    Attributes
    ----------
    origin : ndarray, shape (N, 2)
        Start of each ray, px.
    direction : ndarray, shape (N, 2)
        Unit vectors.
    radius : ndarray, shape (M,)
        Evenly spaced radii in nominal mm; may start below 0.
    unit_px : float
        Px per nominal mm.
    """

    origin: np.ndarray
    direction: np.ndarray
    radius: np.ndarray
    unit_px: float

    def at(self, index, radius):
        """Film position of ``radius`` (nominal mm) on ray ``index``; arrays broadcast."""
        step = np.asarray(radius)[..., None] * self.unit_px
        return self.origin[index] + step * self.direction[index]

    def curve(self, radii):
        """Film positions, shape (N, 2), of one radius per ray."""
        return self.at(np.arange(len(self.origin)), radii)

    def sample(self, film, before=0.0, after=0.0):
        """Film values along the rays, shape (N, M + padding), bilinear.

        ``before`` and ``after`` (nominal mm, multiples of the radius step) extend the radii.
        """
        from scipy.ndimage import map_coordinates

        step = self.radius[1] - self.radius[0]
        count = len(self.radius) + round((before + after) / step)
        radii = self.radius[0] - before + step * np.arange(count)
        reach = radii[None, :, None] * self.unit_px
        xy = self.origin[:, None] + reach * self.direction[:, None]
        coordinates = (xy[..., 1].astype(np.float32), xy[..., 0].astype(np.float32))
        return map_coordinates(film, coordinates, order=1, mode="nearest", prefilter=False)

    def crossings(self, line):
        """Radius at which each ray crosses the polyline ``line``; NaN where it does not.

        Of several crossings the one of the largest radius within the frame counts.
        """
        line = np.asarray(line, float)
        a, edge = line[:-1], np.diff(line, axis=0)
        d = self.direction[:, None]
        gap = a[None] - self.origin[:, None]
        cross = d[..., 0] * edge[None, :, 1] - d[..., 1] * edge[None, :, 0]
        with np.errstate(divide="ignore", invalid="ignore"):
            reach = (gap[..., 0] * edge[None, :, 1] - gap[..., 1] * edge[None, :, 0]) / cross
            part = (gap[..., 0] * d[..., 1] - gap[..., 1] * d[..., 0]) / cross
        reach /= self.unit_px
        good = (part >= -1e-9) & (part <= 1 + 1e-9)
        good &= (reach >= self.radius[0]) & (reach <= self.radius[-1])
        best = np.where(good, reach, -np.inf).max(axis=1)
        return np.where(np.isfinite(best), best, np.nan)


def unit(vector):
    """Vectors scaled to length 1."""
    vector = np.asarray(vector, float)
    return vector / np.maximum(np.linalg.norm(vector, axis=-1, keepdims=True), 1e-12)


def resample(line, step):
    """Polyline resampled evenly, about ``step`` apart, both ends kept."""
    line = np.asarray(line, float)
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))])
    where = np.linspace(0.0, along[-1], max(2, round(along[-1] / step) + 1))
    return np.stack([np.interp(where, along, line[:, i]) for i in (0, 1)], axis=1)


def normals(line):
    """Tangents and left-hand normals (-ty, tx) of a polyline."""
    tangent = unit(np.gradient(np.asarray(line, float), axis=0))
    return tangent, np.stack([-tangent[:, 1], tangent[:, 0]], axis=1)
