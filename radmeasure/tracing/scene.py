"""The film as the tracers see it: one polarity, one range of values, a nominal scale."""

from dataclasses import dataclass

import numpy as np

from radmeasure.tracing.proportions import usual
from radmeasure.tracing.rays import unit

# Long side of the image field, mm: films by ISO 3665 (40 x 30 and 40 x 24 mm and the like),
# common sensors a little smaller (common practice, no source).
LONG_SIDE_MM = 38.0


@dataclass(frozen=True, eq=False)
class Scene:
    """A prepared film.

    Attributes
    ----------
    film : ndarray, shape (H, W), float32
        Air near 0, the dense part of teeth and bone near 1; dense is large.
    unit_px : float
        Px per nominal mm. It steers widths of search and is good to about 10 %.
    inverted : bool
        The film came dark for dense and was turned.
    """

    film: np.ndarray
    unit_px: float
    inverted: bool


def nominal_unit_px(shape, tooth, length_px, pixel_mm=None, whole=True):
    """Px per mm, from the pixel size if known, else from the tooth and the image field.

    A crown that is lost makes the tooth short, a cropped film makes the field small:
    both make the scale too small, so the larger of the two estimates is used, unless
    the field is far too large to be one intra-oral film.
    """
    if pixel_mm:
        return 1.0 / pixel_mm
    usual_size = usual(tooth)
    by_tooth = length_px / (usual_size.length if whole else usual_size.root)
    by_field = max(shape) / LONG_SIDE_MM
    if by_field > 2.8 * by_tooth:
        return by_tooth
    return max(by_tooth, 0.5 * (by_tooth + by_field) if by_field < 1.3 * by_tooth else by_field)


def prepared(pixels, coronal, apices, unit_px):
    """Scene of a film around one tooth.

    Parameters
    ----------
    pixels : ndarray, shape (H, W)
        Any real type.
    coronal, apices : array_like, shape (2,) and (R, 2)
        Rough clicks, px.
    """
    from scipy.ndimage import gaussian_filter

    film = np.asarray(pixels, np.float32)
    inverted = looks_inverted(film, coronal, apices, unit_px)
    if inverted:
        film = film.max() - film
    sigma = max(0.05 * unit_px, 0.6)
    corners = np.vstack([np.atleast_2d(coronal), np.atleast_2d(apices)])
    margin = 8.0 * unit_px
    left, top = np.maximum(np.floor(corners.min(axis=0) - margin), 0).astype(int)
    right, bottom = np.ceil(corners.max(axis=0) + margin).astype(int) + 1
    film = film.copy() if not inverted else film
    near = (slice(top, bottom), slice(left, right))
    film[near] = gaussian_filter(film[near], sigma)
    low, high = np.percentile(film[near][::4, ::4], (0.5, 80.0))
    return Scene((film - low) / max(high - low, 1e-6), unit_px, inverted)


def looks_inverted(film, coronal, apices, unit_px):
    """True when the room beyond the crown is clearly brighter than the tooth.

    Beyond the occlusal end of the clicked line lies air; the tooth itself lies along it.
    """
    from scipy.ndimage import map_coordinates

    coronal = np.asarray(coronal, float)
    tip = np.mean(np.atleast_2d(apices), axis=0)
    along = unit(tip - coronal)
    across = np.array([-along[1], along[0]])

    def look(start, end, wide, share):
        depth = np.linspace(start, end, 12) * unit_px
        beside = np.linspace(-wide, wide, 15) * unit_px
        xy = coronal + depth[:, None, None] * along + beside[None, :, None] * across
        inside = (xy >= 0).all(axis=-1) & (xy < np.array(film.shape)[::-1]).all(axis=-1)
        if inside.sum() < 20:
            return None
        values = map_coordinates(film, (xy[..., 1], xy[..., 0]), order=0, mode="nearest")
        return float(np.quantile(values[inside], share))

    # A sphere or wire may hide some of the air, never a quarter of so wide a field.
    air, tooth = look(-5.0, -2.0, 7.0, 0.2), look(4.0, 16.0, 1.5, 0.5)
    if air is None or tooth is None:
        return False
    spread = float(np.percentile(film[::8, ::8], 98) - np.percentile(film[::8, ::8], 2))
    return air - tooth > 0.25 * spread
