"""A straight wire of constant width: its two ends.

The ends are square cuts, seen square or a little off it: along the axis the grey level
is a blurred step, fitted at both ends together (:mod:`radmeasure.tracing.reference_cut`).
What the wire's own flank shows of the receptor's response is what is known beforehand.
"""

from dataclasses import dataclass

import numpy as np

from radmeasure.tracing.reference_cut import Cut, fit_ends
from radmeasure.tracing.reference_edge import BLUR_MM, STEEL_PER_MM, fit_rim, flat_end_level
from radmeasure.tracing.reference_found import Found, NotFound
from radmeasure.tracing.reference_plate import binned, sample
from radmeasure.tracing.reference_response import even_plate
from radmeasure.tracing.reference_rods import measure

_SEEN = "straight, even width, two square ends"
_OVER = "straight, even width, over two teeth: a retainer bonded to them looks the same"
_LANES = np.linspace(-0.6, 0.6, 9)  # of the half width
_BESIDE_MM = 0.35  # of its flank: where the ground is read
_GAP_MM = 0.3  # of open ground between two crowns
_ON_MM = 3.0  # a ridge may stop so far short of the rod's end
_FEW_LANES = 3
_U_MODEL_PX = 0.3  # of the length: what the model of an end leaves out (own films, derived)
_CUT_DEG = 3.0  # how far a cut may be off the square, where only one half of it is on the film


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
    refused, over = _no_wires_shape(plate, rod), not _in_the_open(plate, rod)
    if not refused and over:
        # over crowns as bright as on open ground once the receptor's response is taken out
        even = even_plate(plate, rod)
        if even is not plate:
            plate, rod = even, measure(even, rod.start, rod.end) or rod
            refused = _no_wires_shape(plate, rod)
        if not refused and not _crosses_a_gap(plate, rod):
            refused = "the rod here lies in a tooth or in bone, like a post or a root filling"
    if refused:
        return NotFound(refused, "wire")
    ends = _ends(plate, rod)
    if isinstance(ends, str):
        return NotFound(ends, "wire")
    (first, last), u_both, u_each = ends
    points = tuple(map(float, first)), tuple(map(float, last))
    size = float(np.hypot(*(last - first)))
    # the response is common to both ends, noise is not
    u = float(np.linalg.norm([2 * u_both, *u_each, _U_MODEL_PX]))
    return Found("wire", points, size, u, _confidence(rod), _OVER if over else _SEEN)


def _no_wires_shape(plate, rod):
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
    return ""


def _crosses_a_gap(plate, rod):
    """True for a rod that runs from one tooth over open ground to another, as no post can."""
    dark = float(np.quantile(plate.coarse, 0.02)) + 0.25 * plate.span
    first, last = (
        _carried_on(plate, rod, *end)
        for end in ((rod.start, -rod.direction), (rod.end, rod.direction))
    )
    s = np.arange(0.0, np.hypot(*(last - first)), 0.1 * plate.mm_px)
    n = np.array([-rod.direction[1], rod.direction[0]])
    beside = 0.5 * rod.width_px + _BESIDE_MM * plate.mm_px
    p = first + s[:, None, None] * rod.direction + np.array([-beside, beside])[None, :, None] * n
    grey = sample(plate.grey, p[..., 0], p[..., 1])
    over = np.nan_to_num(grey, nan=-np.inf).max(axis=1) > dark
    if not over.any() or over.all():
        return False
    start, end = np.nonzero(over)[0][[0, -1]]
    return np.count_nonzero(~over[start:end]) * 0.1 > _GAP_MM


def _in_the_open(plate, rod):
    return _open_share(plate, rod) >= 0.4 and _over_denser_side(rod) >= 0.12 * plate.span


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


def _ends(plate, rod):
    """Both ends: (two points, u common to both, u of each), px, or the reason (str) there is none.

    Along the axis either end is a blurred step; how unlike its two halves are tells the response
    better than the flank alone does, which is kept as what is known beforehand.
    """
    fit = _flank(plate, rod)
    level, u_level = (0.5, 0.15) if fit is None else (flat_end_level(fit, _LANES), None)
    if u_level is None:
        u_level = 0.1 + 0.35 * abs(level - 0.5)
    steps = []
    for point, outward in ((rod.start, -rod.direction), (rod.end, rod.direction)):
        step = _end(plate, rod, _carried_on(plate, rod, point, outward), outward)
        if isinstance(step, str):
            return step
        steps.append(step)
    found = fit_ends(
        [step.cut for step in steps],
        0.5 * rod.width_px,
        BLUR_MM * plate.mm_px if fit is None else fit.blur_px,
        STEEL_PER_MM * rod.width_px / plate.mm_px,
        level,
        u_level,
        plate.clip - 1e-3,
    )
    points = [step.origin + a * step.outward for step, a in zip(steps, found.at)]
    u_each = np.hypot([max(u, step.u_px) for u, step in zip(found.u_each, steps)], 0.04)
    return points, found.u_both, u_each


@dataclass(frozen=True, eq=False)
class _Step:
    """Grey levels along the axis about one end; ``cut.s`` is 0 at ``origin``, px."""

    cut: Cut
    origin: np.ndarray
    outward: np.ndarray
    u_px: float  # of the end, if the cut is a little off the square


def _carried_on(plate, rod, point, outward):
    """The end of the ridge moved on as far as the rod stays as bright, which near the film's edge
    it does."""
    n = np.array([-outward[1], outward[0]])
    s = np.arange(0.0, _ON_MM * plate.mm_px, 0.5)
    o = np.linspace(-0.3, 0.3, 5) * 0.5 * rod.width_px
    p = point + s[:, None, None] * outward + o[None, :, None] * n
    core = sample(plate.grey, p[..., 0], p[..., 1])
    core = np.array(
        [row[np.isfinite(row)].mean() if np.isfinite(row).any() else -1 for row in core]
    )
    few = min(len(rod.stations), 5)
    near = rod.stations[:few] if outward @ rod.direction < 0 else rod.stations[-few:]
    least = np.median(near[:, 3]) - 0.4 * np.median(near[:, 3] - near[:, 4:6].max(axis=1))
    ended = core < least
    return point + (s[int(np.argmax(ended))] if ended.any() else 0.0) * outward


def _end(plate, rod, point, outward):
    """The step at one end, or the reason it is none."""
    n = np.array([-outward[1], outward[0]])
    gap = max(3.5 * BLUR_MM * plate.mm_px, 2.5)
    slack = 0.5 * rod.width_px + 2.0 * plate.factor
    s = np.arange(-slack - gap - 5, slack + gap + 5.01, 0.5)
    across = _LANES * 0.5 * rod.width_px
    p = point + s[:, None, None] * outward + across[None, :, None] * n
    lanes = sample(plate.grey, p[..., 0], p[..., 1])
    # beside the film's edge some lanes run off it before the end: those that stay tell
    needed = s <= gap + 3.0
    whole = np.isfinite(lanes[needed]).all(axis=0)
    if whole.sum() < _FEW_LANES:
        return "the wire runs off the film"
    lanes = lanes[:, whole]
    on_film = np.isfinite(lanes).all(1)
    profile, s = lanes[on_film].mean(1), s[on_film]
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
    part = slice(max(k - g - 8, 0), k + g + 8)
    middle = s[k]
    aside = abs(float(across[whole].mean())) * np.sin(np.radians(_CUT_DEG))
    cut = _joined(s[part] - middle, lanes[on_film][part], _LANES[whole])
    return _Step(cut, point + middle * outward, outward, aside)


def _joined(s, lanes, offsets):
    """Lanes as far from the axis to either hand made one."""
    away = np.round(np.abs(offsets), 6)
    apart = np.unique(away)
    return Cut(s, np.stack([lanes[:, away == a].mean(axis=1) for a in apart], axis=1), apart)
