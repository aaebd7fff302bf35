"""A straight wire of constant width: its two ends.

The ends are square cuts: along the axis the grey level is a blurred step, and
the true end lies where half the beam is intercepted, which is half the step
only for a linear response. The level is taken from the response fitted to the
wire's own flank (:mod:`radmeasure.tracing.reference_edge`).
"""

import numpy as np

from radmeasure.tracing.reference_edge import BLUR_MM, STEEL_PER_MM, fit_rim, flat_end_level
from radmeasure.tracing.reference_found import Found, NotFound
from radmeasure.tracing.reference_plate import binned, sample

_LANES = np.linspace(-0.6, 0.6, 9)  # of the half width
# Seen this much off the square (usual, common practice, no source), a wire shows one of its end
# faces, and its outline is longer than its axis by up to the width times the sine.
_OFF_SQUARE_DEG = 5.0


def examine(plate, rod):
    """Decide whether a rod is a wire and measure it.

    Parameters
    ----------
    plate : Plate
    rod : Rod

    Returns
    -------
    Found or NotFound
    """
    refused = _not_a_wire(plate, rod)
    if refused:
        return NotFound(refused, "wire")
    fit = _flank(plate, rod)
    level, u_level = (0.5, 0.1) if fit is None else (flat_end_level(fit, _LANES), None)
    if u_level is None:
        u_level = 0.03 + 0.35 * abs(level - 0.5)
    ends = []
    for point, outward in ((rod.start, -rod.direction), (rod.end, rod.direction)):
        end = _end(plate, rod, point, outward, level, u_level)
        if isinstance(end, str):
            return NotFound(end, "wire")
        ends.append(end)
    points = tuple(tuple(map(float, p)) for p, _, _ in ends)
    size = float(np.hypot(*(ends[1][0] - ends[0][0])))
    # level errors are common to both ends, noise is not
    u = float(np.hypot(ends[0][1] + ends[1][1], np.hypot(ends[0][2], ends[1][2])))
    u = float(np.hypot(u, rod.width_px * np.sin(np.radians(_OFF_SQUARE_DEG))))
    confidence = _confidence(rod)
    return Found("wire", points, size, u, confidence, "straight, even width, two square ends")


def _not_a_wire(plate, rod):
    """Reason why a rod is no wire; '' when it may be one."""
    mm = plate.mm_px
    length, width = rod.length_px, rod.width_px
    if not 0.12 * mm < width < 2.2 * mm or length < 4.0 * width or length < 2.5 * mm:
        return "the bright line here has not the proportions of a wire"
    if abs(rod.taper) * length > 0.12 * width or rod.spread > 0.06:
        return "the bright line here is not of even width"
    if rod.bend_px > 0.3 + 0.002 * length:
        return "the bright line here is not straight"
    if rod.contrast < max(0.2 * plate.span, 6 * plate.noise):
        return "the bright line here is too faint for a metal wire"
    if _open_share(plate, rod) < 0.4 or _over_denser_side(rod) < 0.12 * plate.span:
        return "the rod here lies in a tooth or in bone, like a post or a root filling"
    return ""


def _open_share(plate, rod):
    """Share of the rod's two flanks that is open ground (air)."""
    dark = float(np.quantile(plate.coarse, 0.02))
    return float(np.mean(rod.stations[:, 4:6] < dark + 0.25 * plate.span))


def _over_denser_side(rod):
    """Grey level above the denser of the two sides (median): small for an edge of enamel."""
    return float(np.median(rod.stations[:, 3] - rod.stations[:, 4:6].max(axis=1)))


def _confidence(rod):
    """From straightness and evenness: 0.99 for a machined rod, less as it departs from one."""
    uneven = rod.spread / 0.02 + abs(rod.taper) * rod.length_px / rod.width_px / 0.05
    bent = rod.bend_px / (0.2 + 0.0005 * rod.length_px)
    return float(np.clip(0.99 * np.exp(-0.06 * (uneven + bent)), 0, 0.99))


def _flank(plate, rod):
    """Rim model fitted to both flanks where their ground is dark and even."""
    u, length, half = rod.direction, rod.length_px, 0.5 * rod.width_px
    n = np.array([-u[1], u[0]])
    blur = BLUR_MM * plate.mm_px
    foot = max(3.0 * blur, 2.0)
    far = foot + 4.0
    corners = np.array([rod.start, rod.end])
    x0, y0 = np.maximum(np.floor(corners.min(0) - half - far), 0).astype(int)
    x1, y1 = np.ceil(corners.max(0) + half + far).astype(int) + 1
    part = plate.grey[y0:y1, x0:x1]
    yy, xx = np.mgrid[y0 : y0 + part.shape[0], x0 : x0 + part.shape[1]]
    s = (xx - rod.start[0]) * u[0] + (yy - rod.start[1]) * u[1]
    o = (xx - rod.start[0]) * n[0] + (yy - rod.start[1]) * n[1]
    t = np.abs(o) - half
    st = rod.stations
    nearest = np.clip(np.searchsorted(st[:, 0], s), 0, len(st) - 1)
    ground = np.where(o < 0, st[nearest, 4], st[nearest, 5])
    dark = np.quantile(st[:, 4:6], 0.25)
    keep = (
        (s > rod.width_px)
        & (s < length - rod.width_px)
        & (t < far)
        & (np.abs(ground - dark) < max(0.04 * plate.span, plate.noise))
    )
    edges = np.r_[np.arange(-half, -2.5 * foot, 1.0), np.arange(max(-half, -2.5 * foot), far, 0.25)]
    profile = binned(t[keep], part[keep], edges, plate.clip)
    depth = STEEL_PER_MM * rod.width_px / plate.mm_px
    return fit_rim(*profile, half, foot, depth, blur)


def _end(plate, rod, point, outward, level, u_level):
    """Position of one end; (point, u from the level, u from noise) or the reason."""
    n = np.array([-outward[1], outward[0]])
    gap = max(3.5 * BLUR_MM * plate.mm_px, 2.5)
    slack = 0.5 * rod.width_px + 2.0 * plate.factor
    s = np.arange(-slack - gap - 5, slack + gap + 5.01, 0.5)
    p = point + s[:, None, None] * outward + (_LANES * 0.5 * rod.width_px)[None, :, None] * n
    lanes = sample(plate.grey, p[..., 0], p[..., 1])
    on_film = np.isfinite(lanes).all(1)
    profile = lanes[on_film].mean(1)
    s = s[on_film]
    if len(profile) < 13:
        return "the wire runs off the film"
    means = np.convolve(profile, np.ones(6) / 6, "valid")
    step = means[:-6] - means[6:]
    k = int(np.argmax(step)) + 6
    g = int(2 * gap)
    inside, outside = profile[max(k - g - 8, 0) : max(k - g, 0)], profile[k + g : k + g + 8]
    if len(outside) < 3 and not on_film[-1]:
        return "the wire runs off the film or ends at its edge"
    if len(inside) < 4 or len(outside) < 3:
        return "the wire has no clear end here"
    high, low = np.median(inside), np.median(outside)
    if high - low < max(0.15 * plate.span, 0.3 * rod.contrast):
        return "the wire has no clear end here"
    wanted = low + level * (high - low)
    crossing = np.nonzero((profile[:-1] >= wanted) & (profile[1:] < wanted))[0]
    crossing = crossing[np.abs(crossing - k) <= g]
    if len(crossing) == 0:
        return "the wire has no clear end here"
    j = int(crossing[np.argmin(np.abs(crossing - k))])
    at = s[j] + 0.5 * (profile[j] - wanted) / (profile[j] - profile[j + 1])
    slope = max((profile[max(j - 1, 0)] - profile[j + 2]) / 1.5, 1e-6)
    u_noise = np.hypot(plate.noise / np.sqrt(rod.width_px * 0.6) / slope, 0.04)
    return point + at * outward, float(u_level * (high - low) / slope), float(u_noise)
