"""Where a round metal body ends on a film whose response is not known.

A round body's silhouette fades towards its rim: the path of the rays through a
ball or rod of radius R at distance q from its axis is 2 sqrt(R² - q²), so the
steepest grey-level step lies inside the rim (derived). How far depends on the
response of the receptor, between linear and logarithmic in the transmitted
beam. The whole chain is modelled and fitted to the observed profile:

    transmission  T = exp(-k sqrt(1 - (q/R)²))            Beer-Lambert
    blur          T' = T * gaussian(blur)                  focal spot, receptor
    response      g = (1 - T'**p) / p, p -> 0: -log T'     Box & Cox 1964
    display       grey = a + b g**gamma                    gamma near 1

with k the optical depth of the middle. Box & Cox, J R Stat Soc B
1964;26:211-252 (memory) give the family that joins linear (p = 1) and
logarithmic (p = 0). Clipped values are left out by the caller. What the
profile cannot tell (blur against response, mainly) is held by priors that are
wide on purpose, and comes out as the uncertainty of the edge.
"""

from dataclasses import dataclass

import numpy as np

# What a metal reference and an intra-oral receptor usually show: optical depth of steel
# per mm and blur in mm (common practice, no source); priors only, wide.
STEEL_PER_MM, BLUR_MM = 2.5, 0.045
_STEP = 0.05  # in units of the edge width: grid on which the profile is blurred
_REACH = 14.0  # edge widths around the rim within which blur matters
_MISFIT = 0.01  # of the step: how well any response is described by the family
# From logarithmic to linear; which of them a receptor has, a rim often cannot tell.
_POWERS = (0.0, 1 / 3, 2 / 3, 1.0)


@dataclass(frozen=True)
class EdgeFit:
    """The true edge on an observed profile.

    Attributes
    ----------
    edge_px : float
        Position of the body's rim on the profile's own axis, px.
    u_px : float
        Standard uncertainty of ``edge_px`` from noise and unknown response.
    blur_px : float
        Standard deviation of the blur, px.
    depth : float
        Optical depth through the middle of the body.
    power : float
        Response: 0 logarithmic to 1 linear.
    floor : float
        Scattered radiation as a fraction of the open beam.
    gamma : float
        Power applied to the grey levels for display.
    rms : float
        Residual relative to the height of the step.
    """

    edge_px: float
    u_px: float
    blur_px: float
    depth: float
    power: float
    floor: float
    gamma: float
    rms: float


def response(transmission, power):
    """Grey level (0 for an open beam) of a transmitted fraction; Box & Cox family."""
    t = np.maximum(transmission, 1e-6)
    return -np.log(t) if power < 1e-3 else (1.0 - t**power) / power


def _gaussian(sigma_cells):
    reach = max(1, int(np.ceil(3.7 * sigma_cells)))
    kernel = np.exp(-0.5 * (np.arange(-reach, reach + 1) / max(sigma_cells, 0.3)) ** 2)
    return kernel / kernel.sum()


def _chord(t):
    """Path through a round body relative to its diameter; ``t`` from the rim in radii."""
    q = np.clip(1.0 + t, 0.0, 1.0)
    return np.sqrt(1.0 - q * q)


def rim_beam(t, radius, blur, depth):
    """Blurred transmission across the rim of a round body.

    Parameters
    ----------
    t : ndarray
        Distance outward from the true rim; any one unit of length of order of the blur.
    radius, blur : float
        In the same unit.
    depth : float
        Optical depth of the middle of the body.

    Returns
    -------
    ndarray
        1 for the open beam.
    """
    reach = min(_REACH, radius)
    cells = np.arange(-reach, _REACH, _STEP) + 0.5 * _STEP
    beam = np.exp(-depth * _chord(cells / radius))
    # the root falls off infinitely steeply: average the cells next to the rim
    near = np.abs(cells) < 10 * _STEP
    sub = cells[near][:, None] + (np.arange(8) - 3.5) / 8 * _STEP
    beam[near] = np.exp(-depth * _chord(sub / radius)).mean(1)
    kernel = _gaussian(blur / _STEP)
    half = len(kernel) // 2
    beam = np.convolve(np.pad(beam, half, mode="edge"), kernel, mode="valid")
    seen = np.interp(t, cells, beam)
    deep = t < -reach + 4 * blur
    seen[deep] = np.exp(-depth * _chord(t[deep] / radius))
    return seen


def grey_of(beam, power, floor, gamma, deepest):
    """Grey level, up to offset and gain, of a transmission; ``deepest`` is shown as about 1."""
    shape = response((beam + floor) / (1.0 + floor), power)
    top = response((deepest + floor) / (1.0 + floor), power)
    return (shape / max(float(top), 1e-6) + 0.01) ** gamma


def depth(held, bend):
    """Optical depth, up to scale, of what is held back or shown, 0 to 1: -log(1 - b x) / b.

    From x itself (``bend`` 0: a response linear in the depth) towards the logarithm (1).
    """
    return held if bend < 1e-4 else -np.log(1.0 - bend * np.minimum(held, 1.0)) / bend


def flat_end_level(fit, lanes):
    """Fraction of the step at which a square-cut rod ends.

    Parameters
    ----------
    fit : EdgeFit
        From the rod's own flank.
    lanes : ndarray
        Offsets from the axis over which the end is averaged, in radii.

    Returns
    -------
    float
        (grey at the end - ground) / (rod - ground); 0.5 for a faint rod or a linear response.
    """
    inside = np.exp(-fit.depth * np.sqrt(1.0 - np.asarray(lanes) ** 2))
    level = [
        np.mean(
            grey_of(
                1.0 - part * (1.0 - inside), fit.power, fit.floor, fit.gamma, np.exp(-fit.depth)
            )
        )
        for part in (0.0, 0.5, 1.0)
    ]
    return float((level[1] - level[0]) / (level[2] - level[0]))


def fit_rim(t_px, grey, error, radius_px, width_px, expected_depth, expected_blur_px, lean=0.0):
    """Fit the rim model to the mean profile across the edge of a round body.

    Parameters
    ----------
    t_px : ndarray, shape (N,)
        Ascending positions, outward positive, 0 at about the half level, px.
        Clipped samples left out.
    grey, error : ndarray, shape (N,)
        Mean grey level and its standard error.
    radius_px : float
        Distance of the body's axis from t = 0.
    width_px : float
        Rough distance from the half level to where the edge has died away.
    expected_depth, expected_blur_px : float
        Rough optical depth and blur, known to a factor of two.
    lean : float
        Log of how much likelier a linear response is held to be than a logarithmic one.

    Returns
    -------
    EdgeFit or None
        None when the profile shows no such edge.
    """
    from scipy.optimize import least_squares

    unit = max(width_px / 3.0, 0.4)
    t, radius = t_px / unit, radius_px / unit
    if len(t) < 10 or t[-1] < 3:
        return None
    height = grey.max() - np.median(grey[t > t[-1] - 2])
    if height <= 0:
        return None
    sigma = np.hypot(error, _MISFIT * height)
    log_depth, log_blur = np.log(expected_depth), np.log(expected_blur_px / unit)
    prior_mean = np.array([0.5, log_blur, log_depth, 0.04, 1.0])
    prior_sd = np.array([3.0, 0.6, 0.6, 0.04, 0.12])
    low = [-6, np.log(0.1), np.log(0.3), 0, 0.5]
    high = [6, np.log(3.5), np.log(300), 0.3, 1.6]

    def model(p, power):
        beam = rim_beam(t - p[0], radius + p[0], np.exp(p[1]), np.exp(p[2]))
        shape = grey_of(beam, power, p[3], p[4], beam.min())
        basis = np.c_[np.ones_like(t), shape]
        coef = np.linalg.lstsq(basis / sigma[:, None], grey / sigma, rcond=None)[0]
        return basis @ coef

    def residual(p, power):
        return np.r_[(grey - model(p, power)) / sigma, (p - prior_mean) / prior_sd]

    starts = [
        np.array([edge, np.log(blur), log_depth, 0.03, 1.0])
        for blur in (0.5, 0.8, 1.2)
        for edge in (0.2, 0.8)
    ]
    fits = [
        least_squares(
            residual,
            min(starts, key=lambda p: float(np.sum(residual(p, power) ** 2))),
            bounds=(low, high),
            x_scale=[0.1, 0.1, 0.3, 0.02, 0.05],
            diff_step=1e-4,
            max_nfev=40,
            args=(power,),
        )
        for power in _POWERS
    ]
    # a response that fits almost as well is as likely: weigh all
    cost = np.array([fit.cost - lean * power for fit, power in zip(fits, _POWERS)])
    best = int(np.argmin(cost))
    weight = np.exp(cost[best] - cost)
    weight /= weight.sum()
    edges = np.array([fit.x[0] for fit in fits])
    edge = float(weight @ edges)
    var = [np.linalg.pinv(fit.jac.T @ fit.jac)[0, 0] for fit in fits]
    u = float(np.sqrt(weight @ (np.array(var) + (edges - edge) ** 2)))
    p, power = fits[best].x, _POWERS[best]
    rms = float(np.sqrt(np.mean((grey - model(p, power)) ** 2)) / height)
    return EdgeFit(
        edge_px=edge * unit,
        u_px=u * unit,
        blur_px=float(np.exp(p[1]) * unit),
        depth=float(np.exp(p[2])),
        power=power,
        floor=float(p[3]),
        gamma=float(p[4]),
        rms=rms,
    )
