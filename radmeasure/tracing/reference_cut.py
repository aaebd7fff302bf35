"""Where a square-cut round rod ends, though it is seen from a little off the square.

A ray at distance q from the axis runs over a length c = sqrt(1 - (q/R)²) of the rod's
width inside it. Seen at an angle o off the square, the rod shows one of its end faces:
along the axis the length falls evenly from full to nothing over 2 R c tan o, half of it
just where the axis ends (derived). Metal holds back most of the beam long before half of
its thickness is reached, so the shadow looks too long, and more so in the middle than
beside it. That bulge and the width of the step tell o:

    transmission  T = exp(-k c clip(1/2 - (s - e) / (2 R c tan o), 0, 1))      Beer-Lambert
    blur          T' = T * gaussian(blur), along the axis
    grey          a + g log(1 - b (1 - T')) / log(1 - b)        b = 0 linear, 1 logarithmic

Both ends are fitted together. Angles are tried one by one, each weighed by what it leaves
and by how usual it is; what they disagree on is the ends' common uncertainty.
"""

from dataclasses import dataclass

import numpy as np

from radmeasure.tracing.reference_edge import depth

# Tried, and their usual deviation: beams are rarely aimed better (common practice, no source).
_ANGLES_DEG = (0.0, 2.0, 4.0, 6.0, 8.0, 10.5, 13.0, 16.0)
_USUAL_DEG = 5.0
_MISFIT = 0.01  # of the step: how well a lane is described
_AS_GOOD = 0.2  # of the square of that misfit: no lane is described better
_ALIKE = 8  # samples that count as one: half a px apart in lanes one or two px apart
_SLOPE = 0.1  # of the step: how far the ground usually slopes beside an end
_CELL = 0.2  # of the blur: grid on which the step is blurred
_LEAST_BLUR = 0.4  # px: the pixels' own, read between them
_MOST_BENT = 5.0  # -log(1 - b)
_LN_BLUR, _LN_DEPTH = 0.6, 0.6  # both known to a factor of two


@dataclass(frozen=True, eq=False)
class Cut:
    """What one end of a rod shows along its axis.

    Attributes
    ----------
    s : ndarray, shape (N,)
        Ascending evenly spaced positions outward, px.
    grey : ndarray, shape (N, M)
        Grey level in lanes along the rod, the inside brighter.
    lanes : ndarray, shape (M,)
        How far from the axis each runs, radii, 0 to below 1.
    """

    s: np.ndarray
    grey: np.ndarray
    lanes: np.ndarray


@dataclass(frozen=True, eq=False)
class Ends:
    """Both ends of a rod.

    Attributes
    ----------
    at : ndarray, shape (2,)
        Positions, px.
    u_each : ndarray, shape (2,)
        Standard uncertainty of each alone.
    u_both : float
        What both share: response, blur, thickness, angle.
    angle_deg, u_angle_deg : float
        How far off the square the rod is seen: mean and deviation.
    """

    at: np.ndarray
    u_each: np.ndarray
    u_both: float
    angle_deg: float
    u_angle_deg: float


def fit_ends(cuts, radius_px, blur_px, optical_depth, level, u_level, clip=np.inf):
    """Fit both ends of a square-cut rod.

    Parameters
    ----------
    cuts : sequence of two Cut
    radius_px : float
    blur_px, optical_depth : float
        Rough, known to a factor of two; the depth of the rod's middle.
    level, u_level : float
        Share of the step at which a square end is thought to lie, from the rod's flank.
    clip : float
        Grey level the film cannot show more than.

    Returns
    -------
    Ends
    """
    from scipy.optimize import least_squares

    first = [_steepest(cut) for cut in cuts]
    height = np.mean([cut.grey.max() - np.median(cut.grey[-4:]) for cut in cuts])
    blur_px = max(blur_px, _LEAST_BLUR)
    start = np.array([*first, np.log(blur_px), np.log(optical_depth), 1.2])
    reach = max(6.0, 4.0 * blur_px)
    span = np.array([reach, reach, 2.5, 2.0])
    low, high = np.r_[start[:4] - span, 0.0], np.r_[start[:4] + span, _MOST_BENT]
    low[2] = np.log(_LEAST_BLUR) - 0.01
    fits = []
    for angle in np.radians(_ANGLES_DEG):

        def residual(p, angle=angle):
            each = [
                _rest(cut, at, p[2:], radius_px * np.tan(angle), clip) / (_MISFIT * height)
                for cut, at in zip(cuts, p)
            ]
            held = 1.0 - np.exp(-np.exp(p[3]) * np.sqrt(1.0 - cuts[0].lanes ** 2))
            bend = 1.0 - np.exp(-p[4])
            half = np.mean(depth(0.5 * held, bend)) / np.mean(depth(held, bend))
            prior = (
                (p[2] - start[2]) / _LN_BLUR,
                (p[3] - start[3]) / _LN_DEPTH,
                (half - level) / u_level,
            )
            # a crown that begins beside an end leaves much: it counts less than its square
            each = np.concatenate(each)
            each = np.sign(each) * np.sqrt(2 * np.sqrt(1 + each**2) - 2)
            return np.concatenate([each, prior])

        begin = start if not fits else fits[-1].x
        begin = np.clip(begin, low + 1e-6, high - 1e-6)
        fits.append(
            least_squares(
                residual,
                begin,
                bounds=(low, high),
                x_scale=[blur_px, blur_px, 0.2, 0.3, 0.5],
                diff_step=1e-4,
                max_nfev=25,
            )
        )
    return _joined(fits)


def _joined(fits):
    """Mean over all angles, by how well each explains the ends and how usual it is."""
    angles = np.array(_ANGLES_DEG)
    cost = np.array([fit.cost for fit in fits])
    # what no angle explains, all leave; grain and grid are alike over some samples
    lanes_agree = _ALIKE * max(2 * cost.min() / len(fits[0].fun), _AS_GOOD)
    log = -cost / lanes_agree - 0.5 * (angles / _USUAL_DEG) ** 2
    weight = np.exp(log - log.max()) * np.gradient(angles)
    weight[0] *= 0.5
    weight /= weight.sum()
    at = np.array([fit.x[:2] for fit in fits])
    mean = weight @ at
    best = fits[int(np.argmax(weight))]
    normal = best.jac.T @ best.jac / lanes_agree
    var = np.diag(np.linalg.pinv(normal))[:2]
    alone = np.diag(np.linalg.pinv(normal[:2, :2]))
    length = at.sum(axis=1)
    spread = weight @ (0.5 * (length - weight @ length)) ** 2
    angle = weight @ angles
    return Ends(
        mean,
        np.sqrt(alone),
        float(np.sqrt(max(np.mean(var - alone), 0.0) + spread)),
        float(angle),
        float(np.sqrt(weight @ (angles - angle) ** 2)),
    )


def _steepest(cut):
    mean = cut.grey.mean(axis=1)
    return float(cut.s[int(np.argmin(np.gradient(mean)))])


def _rest(cut, at, shape, half_face, clip):
    """What the model leaves of one end: ``shape`` holds log blur, log depth, -log(1 - b)."""
    held = held_back(cut, at, np.exp(shape[0]), np.exp(shape[1]), half_face)
    step = depth(held, 1.0 - np.exp(-shape[2]))
    count = len(cut.lanes)
    # the ground may slope or differ from lane to lane, and so may the rod over a crown
    slopes = [np.tile(f(cut.s - at, 0.0)[:, None], count) for f in (np.minimum, np.maximum)]
    columns = [step, *slopes]
    basis = np.c_[
        np.stack([c.ravel() for c in columns], axis=1), np.tile(np.eye(count), (len(cut.s), 1))
    ]
    grey, seen = cut.grey.ravel(), cut.grey.ravel() < clip
    steady = np.zeros((2, basis.shape[1]))
    steady[0, 1] = steady[1, 2] = np.sqrt(seen.sum()) / _SLOPE * _MISFIT * (cut.s[-1] - cut.s[0])
    coef = np.linalg.lstsq(
        np.vstack([basis[seen], steady]), np.r_[grey[seen], 0.0, 0.0], rcond=None
    )[0]
    rest = grey - basis @ coef
    # of what is clipped only this is known: it is at least as bright
    return np.where(seen, rest, np.maximum(rest, 0.0))


def held_back(cut, at, blur, optical_depth, half_face):
    """Share of the beam held back along each lane, blurred, shape (N, M).

    Parameters
    ----------
    cut : Cut
    at : float
        End of the axis, px.
    blur : float
        px.
    optical_depth : float
        Of the middle.
    half_face : float
        Half of what the end face shows along the axis, px.
    """
    c = np.sqrt(1.0 - cut.lanes**2)
    cell = _CELL * blur
    reach = 4 * blur
    first, last = (round(d / cell) for d in (cut.s[0] - at - reach, cut.s[-1] - at + reach))
    t = cell * np.arange(first - 1, last + 2)
    # mean over each cell: the step may be narrower
    sub = t[:, None, None] + cell * ((np.arange(8) - 3.5) / 8)[None, :, None]
    share = np.clip(0.5 - sub / np.maximum(2 * half_face * c, cell / 8), 0.0, 1.0)
    held = 1.0 - np.exp(-optical_depth * c * share).mean(axis=1)
    k = np.arange(-round(reach / cell), round(reach / cell) + 1) * cell
    kernel = np.exp(-0.5 * (k / blur) ** 2)
    kernel /= kernel.sum()
    blurred = np.stack([np.convolve(lane, kernel, "same") for lane in held.T], axis=1)
    return np.stack([np.interp(cut.s - at, t, lane) for lane in blurred.T], axis=1)
