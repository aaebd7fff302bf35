"""A metal ball on a film: coarse search by gradient voting, then its rim to a fraction of a px.

Voting: every edge pixel votes for the centres its gradient points at
(Duda & Hart, Commun ACM 1972;15:11-15; gradient form Kimme, Ballard &
Sklansky, Commun ACM 1975;18:120-122; both memory). Fit: an ellipse by
robust least squares on the radius as a function of direction; its mean
diameter is the least-squares circle's. A receptor tilted by t against the
beam draws a ball as an ellipse, 1 / cos t longer than wide (derived). The edge itself is
placed by :mod:`radmeasure.tracing.reference_edge`.
"""

from dataclasses import dataclass

import numpy as np

from radmeasure.tracing.reference_edge import BLUR_MM, STEEL_PER_MM, fit_rim
from radmeasure.tracing.reference_found import Found, NotFound
from radmeasure.tracing.reference_plate import binned, sample

_RAYS = 180
_METAL = 1.02  # of the span from dark ground to dense tissue
# Grey of the film's middle tissue over a ball's: both responses are as likely there, and how fast
# the odds change (own films, 40 to 75 um; no source).
_EVEN_ODDS, _PER_STEP, _MOST_LEAN = 0.5, 0.04, 3.0
# A rim that fits is off by 0.01 of its step, beside dense tissue by 0.05 (own films). Half the
# path through a ball lies at 0.866 of its radius, so no rim is further out than that (derived).
_WORST_MISFIT, _FURTHEST, _SHORT_FOOT = 0.1, 0.16, 3.0
_LEAST_U_PX = 0.06  # of a radius: pixel grid and fit, however clear the film


@dataclass(frozen=True, eq=False)
class Rim:
    """Edge found along rays from a centre; angles where none fits are not ``good``."""

    centre: np.ndarray  # (x, y) px
    theta: np.ndarray
    radius: np.ndarray  # half-level radius of the fitted curve at theta, px
    good: np.ndarray
    on_film: np.ndarray
    mean_radius: float
    stretch: float  # long / short axis of the ellipse
    residual_px: float
    u_px: float  # of mean_radius, from scatter only


def search(plate, least=0.38, most=12):
    """Centres and radii (full-resolution px) where many edges point at one centre."""
    from scipy.ndimage import gaussian_filter, maximum_filter, uniform_filter

    coarse = plate.coarse
    smooth = gaussian_filter(coarse, 0.8)
    gy, gx = np.gradient(smooth)
    size = np.hypot(gx, gy)
    ys, xs = np.nonzero(size > max(0.025 * plate.span, 4 * plate.noise / plate.factor))
    if len(xs) < 20:
        return []
    ux, uy = gx[ys, xs] / size[ys, xs], gy[ys, xs] / size[ys, xs]
    weight = np.minimum(size[ys, xs] / (0.1 * plate.span), 1.0)
    radii = np.geomspace(0.012, 0.15, 56) * max(coarse.shape)
    cell = 2.0
    h, w = (int(np.ceil(n / cell)) for n in coarse.shape)
    score = np.zeros((len(radii), h, w), np.float32)
    for i, r in enumerate(radii):
        cx, cy = ((xs + r * ux) / cell).astype(int), ((ys + r * uy) / cell).astype(int)
        keep = (cx >= 0) & (cy >= 0) & (cx < w) & (cy < h)
        votes = np.bincount(cy[keep] * w + cx[keep], weight[keep], h * w).reshape(h, w)
        # an edge of a blurred step is about two coarse px wide
        score[i] = uniform_filter(votes.astype(np.float32), 3) * 9 / (2 * np.pi * r * 2.0)
    peak = (score == maximum_filter(score, (7, 7, 7))) & (score > least)
    found = sorted(zip(score[peak], *np.nonzero(peak)), reverse=True)
    result = []
    for s, i, cy, cx in found:
        centre = plate.fine_xy(((cx + 0.5) * cell - 0.5, (cy + 0.5) * cell - 0.5))
        radius = radii[i] * plate.factor
        near = any(np.hypot(*(centre - c)) < 0.5 * max(r, radius) for _, c, r in result)
        if not near:
            result.append((float(s), centre, float(radius)))
        if len(result) == most:
            break
    return result


def trace_rim(plate, centre, radius):
    """Half-level rim around a rough centre; None when too few rays agree."""
    theta = np.arange(_RAYS) * 2 * np.pi / _RAYS
    centre = np.asarray(centre, float)
    shape = np.full(_RAYS, float(radius))
    rim = None
    for reach in (max(0.18 * radius, 5.0), max(0.07 * radius, 4.0), max(0.03 * radius, 3.0)):
        t = np.arange(-reach, reach + 0.26, 0.5)
        edge, on_film = _edges(plate, centre, theta, shape, t)
        rim = _fit_curve(centre, theta, shape + edge, on_film, radius, max(reach * 0.25, 1.0))
        if rim is None:
            return None
        centre = rim.centre
        shape, radius = rim.radius, rim.mean_radius
    return rim


def _edges(plate, centre, theta, shape, t):
    """Offset of the half-level crossing from ``shape`` along each ray; NaN where none."""
    reach = t[-1]
    pad = np.arange(-reach - 4, reach + 4.26, 0.5)
    r = shape[:, None] + pad
    grey = sample(
        plate.grey,
        centre[0] + r * np.cos(theta)[:, None],
        centre[1] + r * np.sin(theta)[:, None],
    )
    on_film = np.isfinite(grey).all(1)
    grey = np.where(on_film[:, None], grey, 0.0)
    # 4 px (8 samples) inside against 4 px outside: the steepest step down
    total = np.cumsum(np.pad(grey, ((0, 0), (1, 0))), axis=1)
    n = 6
    step = (total[:, n:-n] * 2 - total[:, : -2 * n] - total[:, 2 * n :]) / n
    # step[:, j] is centred on the boundary before sample j + n
    j = np.argmax(step, axis=1)
    rows = np.arange(len(theta))
    high = (total[rows, j + n] - total[rows, j]) / n
    low = (total[rows, j + 2 * n] - total[rows, j + n]) / n
    level = 0.5 * (high + low)
    k = np.clip(j[:, None] + np.arange(1, 2 * n - 1), 0, grey.shape[1] - 1)
    window = grey[rows[:, None], k]
    above = (window[:, :-1] >= level[:, None]) & (window[:, 1:] < level[:, None])
    has = above.any(1)
    first = np.argmax(above, axis=1)
    a, b = window[rows, first], window[rows, first + 1]
    at = k[rows, first] + (a - level) / np.where(a > b, a - b, 1.0)
    strong = (high - low) > max(0.06 * plate.span, 3 * plate.noise)
    edge = np.where(has & strong & on_film, pad[0] + 0.5 * at, np.nan)
    return np.where(np.abs(edge) <= reach + 1, edge, np.nan), on_film


def _fit_curve(centre, theta, radius, on_film, nominal, tolerance):
    """Robust ellipse through edge points seen from near its centre."""
    base = np.c_[
        np.ones_like(theta),
        np.cos(theta),
        np.sin(theta),
        np.cos(2 * theta),
        np.sin(2 * theta),
    ]
    good = np.isfinite(radius)
    if good.sum() < 0.3 * len(theta):
        return None
    # weak prior: a ball's shadow is nearly round; it steadies partial rims
    prior = np.diag([0, 0, 0, 1.0, 1.0]) / (0.05 * nominal) ** 2
    middle = np.nanmedian(radius)
    seen = np.where(good, radius, middle)
    fit = np.array([middle, 0, 0, 0, 0])
    limit = max(8 * tolerance, 0.25 * nominal)
    for shrink in (1.0, 0.5, 0.25, 0.12, 0.06, 0.03):
        rest = _ellipse(fit, theta) - fit[0] - base[:, 3:] @ fit[3:]
        residual = seen - rest - base @ fit
        use = good & (np.abs(residual) < max(limit * shrink, tolerance * 0.5))
        if use.sum() < 0.3 * len(theta):
            return None
        scale = max(1.4826 * np.median(np.abs(residual[use])), 0.05)
        weight = use / (scale**2 * (1 + (residual / (2.5 * scale)) ** 2))
        normal = base.T @ (base * weight[:, None]) + prior
        fit = np.linalg.solve(normal, base.T @ (weight * (seen - rest)))
    curve = _ellipse(fit, theta)
    residual = seen - curve - base[:, 1:3] @ fit[1:3]
    scale = max(1.4826 * np.median(np.abs(residual[use])), 0.03)
    use = good & (np.abs(residual) < max(3.5 * scale, 0.3))
    rms = float(np.sqrt(np.mean(residual[use] ** 2)))
    # neighbouring rays share pixels, so the scatter does not average over all of them
    share = max(1.0, len(theta) / (np.pi * nominal))
    cov = np.linalg.inv(base[use].T @ base[use] / max(rms, 0.03) ** 2 + prior)
    flat = _flatness(fit)
    return Rim(
        centre=centre + fit[1:3],
        theta=theta,
        radius=curve,
        good=use,
        on_film=on_film,
        mean_radius=float(fit[0]),
        stretch=float((1 + flat) / (1 - flat)),
        residual_px=rms,
        u_px=float(np.sqrt(cov[0, 0] * share)),
    )


def _flatness(fit):
    """(long - short) / (long + short) axis."""
    return min(float(np.hypot(fit[3], fit[4]) / fit[0]), 0.3)


def _ellipse(fit, theta):
    """Radius, from its centre, of the ellipse whose mean radius and cos 2θ term are fitted."""
    flat = _flatness(fit)
    turn = theta - 0.5 * np.arctan2(fit[4], fit[3])
    a, b = 1.0 + flat, 1.0 - flat
    return fit[0] * a * b / np.sqrt((b * np.cos(turn)) ** 2 + (a * np.sin(turn)) ** 2)


def radial_profile(plate, rim, foot):
    """Mean grey by distance from the half-level rim, from pixels in clean directions.

    Parameters
    ----------
    foot : float
        How far outside the rim the blurred edge has died away, px.

    Returns
    -------
    t, mean, error : ndarray
        Distance outward (px), mean grey level, its standard error.
    """
    clean = _clean_directions(plate, rim, foot)
    far = foot + 6.0
    reach = rim.mean_radius * rim.stretch + far + 1
    x0, y0 = np.maximum(np.floor(rim.centre - reach), 0).astype(int)
    x1, y1 = np.ceil(rim.centre + reach).astype(int) + 1
    part = plate.grey[y0:y1, x0:x1]
    yy, xx = np.mgrid[y0 : y0 + part.shape[0], x0 : x0 + part.shape[1]]
    dx, dy = xx - rim.centre[0], yy - rim.centre[1]
    ray = np.round(np.arctan2(dy, dx) / (2 * np.pi) * _RAYS).astype(int) % _RAYS
    t = np.hypot(dx, dy) - rim.radius[ray]
    keep = clean[ray] & (t < far)
    step = foot / 10
    edges = np.r_[
        np.arange(-0.9 * rim.mean_radius, -2.5 * foot, max(0.04 * rim.mean_radius, 1.0)),
        np.arange(-2.5 * foot, far + 0.01, step),
    ]
    return binned(t[keep], part[keep], edges, plate.clip)


def _foot(plate, rim):
    """Distance outside the half-level rim at which the blurred edge has died away, px."""
    t = np.arange(0.0, min(0.5 * rim.mean_radius, 25.0), 0.5)
    r = rim.radius[rim.good, None] + t
    theta = rim.theta[rim.good, None]
    grey = sample(plate.grey, rim.centre[0] + r * np.cos(theta), rim.centre[1] + r * np.sin(theta))
    middle = np.nanquantile(grey, 0.35, axis=0)
    low = np.nanmin(middle)
    return float(np.clip(t[np.argmax(middle <= low + 0.04 * (middle[0] - low))], 2.0, 14.0))


def _clean_directions(plate, rim, foot):
    """Directions whose ground outside the rim is level and as dark as most of the rest."""
    near = _ground(plate, rim, (foot, foot + 3))
    far = _ground(plate, rim, (foot + 3, foot + 6))
    usable = rim.good & np.isfinite(near) & np.isfinite(far)
    if usable.sum() < 8:
        return usable
    dark = np.quantile(near[usable], 0.25)
    tolerance = max(0.04 * plate.span, plate.noise)
    return usable & (np.abs(near - dark) < tolerance) & (np.abs(far - near) < tolerance)


def _ground(plate, rim, between):
    """Mean grey outside the rim by direction, over seven neighbouring rays; NaN off the film."""
    r = rim.radius[:, None] + np.arange(between[0], between[1] + 0.1)
    grey = sample(
        plate.grey,
        rim.centre[0] + r * np.cos(rim.theta)[:, None],
        rim.centre[1] + r * np.sin(rim.theta)[:, None],
    ).mean(1)
    return np.mean([np.roll(grey, k) for k in range(-3, 4)], axis=0)


def _lean(plate, rim):
    """How much likelier the receptor is linear than logarithmic, as a logarithm.

    A ball lets nothing pass. Where grey follows the logarithm of the beam, tissue lies far below
    such a white, and mostly the white is clipped; where it follows the beam, tissue, which holds
    back most of it, comes near (Beer-Lambert).
    """
    y, x = np.round(rim.centre[1]).astype(int), np.round(rim.centre[0]).astype(int)
    r = max(int(0.5 * rim.mean_radius), 1)
    core = plate.grey[max(y - r, 0) : y + r + 1, max(x - r, 0) : x + r + 1]
    if not core.size or np.mean(core > plate.clip - 1e-3) > 0.5:
        return 0.0
    ground, tissue = np.quantile(plate.coarse, (0.01, 0.5))
    share = (tissue - ground) / max(float(np.median(core)) - ground, 1e-6)
    return float(np.clip((share - _EVEN_ODDS) / _PER_STEP, 0.0, _MOST_LEAN))


def examine(plate, centre, radius):
    """Decide whether there is a ball at a rough place and measure it.

    Parameters
    ----------
    plate : Plate
    centre : (x, y)
        Rough centre, px.
    radius : float
        Rough radius, px.

    Returns
    -------
    Found or NotFound
    """
    rim = trace_rim(plate, centre, radius)
    refused = "there is no round bright edge here" if rim is None else _not_a_ball(plate, rim)
    if refused:
        return NotFound(refused, "sphere")
    fit = _fit_edge(plate, rim, _foot(plate, rim))
    if not _fits(fit, rim):
        # Beside tissue that itself grows darker outward the edge seems to go on and on.
        fit = _fit_edge(plate, rim, _SHORT_FOOT)
    if not _fits(fit, rim):
        return NotFound("the rim here is not clear enough to measure", "sphere")
    if fit.depth < 1.5:
        return NotFound("the round object here is not dense enough for a metal ball", "sphere")
    edge = max(fit.edge_px, -0.5)
    half = np.array([2.0, 2.0 * rim.stretch]) / (1.0 + rim.stretch) * rim.mean_radius
    every = _RAYS // 24
    seen = np.nonzero(rim.good)[0][:: max(1, int(every * rim.good.mean()))]
    r = rim.radius[seen] + edge
    points = rim.centre + np.c_[r * np.cos(rim.theta[seen]), r * np.sin(rim.theta[seen])]
    return Found(
        "sphere",
        tuple((float(x), float(y)) for x, y in points),
        2 * (rim.mean_radius + edge),
        2 * float(np.hypot(fit.u_px, np.hypot(rim.u_px, _LEAST_U_PX))),
        _confidence(plate, rim),
        f"{_oval(rim)} to {100 * rim.residual_px / rim.mean_radius:.1f} % over "
        f"{100 * rim.good.mean():.0f} % of the rim",
        tuple(float(v) for v in 2 * (half + edge)),
    )


def _fit_edge(plate, rim, foot):
    """EdgeFit of the rim whose edge dies away within ``foot`` px, or None."""
    depth = STEEL_PER_MM * 2 * rim.mean_radius / plate.mm_px
    profile = radial_profile(plate, rim, foot)
    blur = BLUR_MM * plate.mm_px
    return fit_rim(*profile, rim.mean_radius, foot, depth, blur, _lean(plate, rim))


def _fits(fit, rim):
    if fit is None:
        return False
    return fit.rms < _WORST_MISFIT and fit.edge_px < _FURTHEST * rim.mean_radius


def _oval(rim):
    if rim.stretch < 1.02:
        return "round"
    return f"oval by {100 * (rim.stretch - 1):.0f} % (receptor tilted to the beam), smooth"


def _not_a_ball(plate, rim):
    """Reason why a rim is no metal ball's; '' when it may be one."""
    size_mm = 2 * rim.mean_radius / plate.mm_px
    if not 1.2 < size_mm < 16:
        return "the round edge here is too small or too large for a reference ball"
    if rim.on_film.mean() < 0.65:
        return "the ball is cut by the edge of the film"
    if rim.residual_px > 0.006 * rim.mean_radius + 0.15 or rim.stretch > 1.25:
        return "the bright edge here is not round"
    if rim.good.mean() < 0.45 or _largest_gap_deg(rim) > 150:
        return "too little of the rim can be seen"
    if rim.good.mean() < 0.7 and rim.stretch > 1.13:
        return "the bright edge here is not round"
    inside, outside = _levels(plate, rim)
    # solid metal is denser than any tissue, or as dense as the film can show
    metal = min(float(plate.coarse.min()) + _METAL * plate.span, 0.97)
    if inside < metal or inside - outside < max(0.3 * plate.span, 4 * plate.noise):
        return "the round object here is not dense enough for a metal ball"
    if not _solid(plate, rim, 0.5 * (inside + outside)):
        return "the round outline here is not filled"
    if not (_in_the_open(plate, rim) or _flawless(rim)):
        return "the round dense object here lies within a tooth, like a filling"
    return ""


def _largest_gap_deg(rim):
    """Largest angle without a visible rim."""
    good = np.nonzero(np.r_[rim.good, rim.good])[0]
    return float(np.diff(good).max() - 1) * 360 / _RAYS if len(good) > 1 else 360.0


def _levels(plate, rim):
    """Median grey just inside and just outside the visible rim."""
    off = max(4.0, 0.08 * rim.mean_radius)
    theta, radius = rim.theta[rim.good], rim.radius[rim.good]
    return tuple(
        float(
            np.nanmedian(
                sample(
                    plate.grey,
                    rim.centre[0] + (radius + d) * np.cos(theta),
                    rim.centre[1] + (radius + d) * np.sin(theta),
                )
            )
        )
        for d in (-off, off)
    )


def _solid(plate, rim, level):
    """True when the disc is brighter than ``level`` all over (medians of 24 patches)."""
    theta = np.linspace(0, 2 * np.pi, 96, endpoint=False)
    for ring in (0.2, 0.5, 0.75):
        r = ring * rim.mean_radius + np.linspace(-0.08, 0.08, 5)[:, None] * rim.mean_radius
        grey = sample(
            plate.grey, rim.centre[0] + r * np.cos(theta), rim.centre[1] + r * np.sin(theta)
        )
        patches = np.nanmedian(grey.reshape(5, 8, 12).transpose(1, 0, 2).reshape(8, -1), axis=1)
        if np.nanmin(patches) < level:
            return False
    return True


def _flawless(rim):
    """Rounder than restorations are (common practice, no source), and seen all round."""
    return rim.stretch < 1.03 and rim.good.mean() > 0.9


def _confidence(plate, rim):
    """From roundness, the share of rim seen, and open ground beside it.

    Without any, it is never offered unasked: a restoration lies within a tooth too.
    """
    rough = max(rim.residual_px - 0.15, 0) / rim.mean_radius / 0.006
    unseen = (1 - rim.good.mean()) / 0.5
    flat = max(rim.stretch - 1.08, 0) / 0.08
    sure = 0.99 * np.exp(-0.15 * (rough**2 + unseen**2 + flat**2))
    return float(sure if _in_the_open(plate, rim) else 0.55 * sure)


def _in_the_open(plate, rim):
    """False when nothing but tooth lies around: a restoration can be round and dense too."""
    ground = _ground(plate, rim, (4.0, 8.0))
    dark = float(np.quantile(plate.coarse, 0.02)) + 0.3 * plate.span
    share = np.nanmean(np.where(np.isfinite(ground), ground < dark, np.nan))
    return share > (0.15 if rim.stretch < 1.1 else 0.4)
