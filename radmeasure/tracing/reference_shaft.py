"""The shaft of a file: its line from the open end into the canal, and where its tip is.

The straight part in the open is a rod; from there the line is followed step by
step into the bend. Its tip lies where the bright core stops standing out from
both its sides, fitted as a blurred end of a thin tapering rod.
"""

from dataclasses import dataclass

import numpy as np

from radmeasure.tracing import fading_tip
from radmeasure.tracing.fading_tip import COLUMNS, FINE, ROW
from radmeasure.tracing.rays import unit
from radmeasure.tracing.reference_edge import BLUR_MM
from radmeasure.tracing.reference_plate import sample

# A hand file is 0.06 to 0.8 mm thick at its tip and 0.32 mm thicker 16 mm further up
# (ISO 3630-1, memory).
_TAPER = 0.02
_STEP_MM = 0.2
_LEAST_MM = 5.0  # of a shaft
_OPEN_MM = 1.2  # least length of shaft beside open ground
_HANDLE_MM = 8.0  # of an end in which to look for it: a handle may hide the rest
_INSIDE_MM = 0.3  # start: off the very edge of the film
_BEYOND_MM = (0.8, 3.0)  # an end of a rod: where it is looked what it leads into
_LOST_MM = 2.0  # followed this far without seeing it
# The tip is a cone: half its length is too thin to be seen (assumption, no source).
_POINT_MM, _U_POINT_MM = 0.13, 0.07
_MOST_UNSEEN_MM = 0.35  # of that mean (own films of size 8 files, seeds 720000 to 750029)
_U_MOST_MM = 0.65  # of the tip: beyond this it would be guessed
_CLEAR = 5.0  # times the bone's pattern: a shaft that stands out so much is not lost in it
_SOFT_MM = 0.05  # as the film is evened out for the fit of the taper
_U_BREAK_MM = 0.5  # of the break, for that fit
_ALIKE_MM = 0.2  # over which the bone's pattern looks the same
# Beyond a loss of contrast the shaft goes on where over _ON_MM its core keeps this share of its
# contrast, stands this many deviations above the pattern beside it and this many times above the
# strongest line there (own films, seeds 720000 to 820060). Bone between two roots can look like
# what nearly does so: then it is not told, and of what is fainter still the tip is less sure.
_ON_MM, _BESIDE_MM = (0.6, 1.8), (0.3, 1.0)
# What ends again this soon beyond a loss may be a line of the bone's own beyond the tip (seed
# 860037: 1.4 mm too long) as well as the file (seed 783005: else 2.6 mm too short).
_SURE_MM = 2.0
_GOES_ON, _MAY_GO_ON, _LESS_SURE = (0.33, 5.0, 3.0), (0.33, 3.5, 1.4), (0.25, 2.5, 1.2)


@dataclass(frozen=True, eq=False)
class Shaft:
    """Line of a file from its open end to beyond where it can be seen.

    Attributes
    ----------
    points : ndarray, shape (N, 2)
        Evenly spaced film px, from the handle towards the tip.
    step_px : float
        Distance between two points.
    width_px : float
        Thickness at the first point.
    contrast : ndarray, shape (N,)
        Grey level of the core above the denser of its sides.
    """

    points: np.ndarray
    step_px: float
    width_px: float
    contrast: np.ndarray


def follow(plate, rod):
    """The line of the file whose straight part is ``rod``, or the reason (str) it is none."""
    mm = plate.mm_px
    if not 0.1 * mm < rod.width_px < 1.1 * mm or rod.length_px < _LEAST_MM * mm:
        return "the bright line here has not the proportions of a file"
    if rod.contrast < max(0.12 * plate.span, 4 * plate.noise):
        return "the bright line here is too faint for a file"
    head = _open_end(plate, rod)
    if head is None:
        return "the bright line here does not come out of the tooth, as a file does"
    start, heading, width = head
    step = _STEP_MM * mm
    points, seen = [start], [np.nan]
    lost = 0
    while lost < _LOST_MM / _STEP_MM and len(points) < 300:
        heading = _heading(points, heading)
        half = max(0.5 * (width - _TAPER * step * len(points)), 0.05 * mm, 0.8)
        found = _next(plate, points[-1] + step * heading, heading, half)
        if found is None:
            break
        offset, strength = found
        weak = strength < max(0.03 * plate.span, 1.5 * plate.noise)
        lost = lost + 1 if weak else 0
        normal = np.array([-heading[1], heading[0]])
        points.append(points[-1] + step * heading + (0.0 if weak else offset) * normal)
        seen.append(strength)
    if len(points) * step < _LEAST_MM * mm:  # beside the film's edge it is soon lost
        return "the bright line here has not the proportions of a file"
    return Shaft(np.array(points), step, width, np.array(seen))


def _open_end(plate, rod):
    """(start, direction into the tooth, width there) when just one end lies in the open."""
    mm = plate.mm_px
    dark = float(np.quantile(plate.coarse, 0.02)) + 0.3 * plate.span
    open_ = rod.stations[:, 4:6].max(axis=1) < dark
    gap = float(np.median(np.diff(rod.stations[:, 0])))
    few = max(int(mm / gap), 1)
    reach = min(int(_HANDLE_MM * mm / gap), len(open_) // 2)
    first, last = (part.sum() * gap for part in (open_[:reach], open_[-reach:]))
    if max(first, last) < _OPEN_MM * mm:
        return None
    other = open_[-few:] if first > last else open_[:few]
    if other.mean() > 0.5:  # what goes on into the tooth may be too faint to be one rod with it
        into = [_into_tooth(plate, rod, end, dark) for end in (0, 1)]
        if into[0] == into[1]:
            return None
        first, last = (0.0, 1.0) if into[0] else (1.0, 0.0)
    inwards = _INSIDE_MM * mm
    if first > last:
        width = rod.width_px - 0.5 * rod.taper * rod.length_px
        return rod.start + inwards * rod.direction, rod.direction, width
    width = rod.width_px + 0.5 * rod.taper * rod.length_px
    return rod.end - inwards * rod.direction, -rod.direction, width


def _into_tooth(plate, rod, end, dark):
    """True when what lies beyond one end of a rod (0 start, 1 end) is no open ground."""
    mm, way = plate.mm_px, rod.direction if end else -rod.direction
    normal = np.array([-way[1], way[0]])
    s = np.arange(*_BEYOND_MM, 0.2)[:, None, None] * mm
    o = np.array([-0.8, -0.5, 0.5, 0.8])[None, :, None] * mm
    at = (rod.end if end else rod.start) + s * way + o * normal
    grey = sample(plate.grey, at[..., 0], at[..., 1])
    grey = grey[np.isfinite(grey).all(axis=1)]
    return len(grey) >= 5 and bool((grey.min(axis=1) > dark).mean() > 0.7)


def _heading(points, before):
    """Direction of the last 1.6 mm, bent on as it bends."""
    if len(points) < 9:
        return before
    part = np.array(points[-9:])
    k = np.arange(9.0)
    bent = np.array([np.polyval(np.polyder(np.polyfit(k, c, 2)), 8.5) for c in part.T])
    return unit(unit(bent) + unit(part[-1] - part[-5]))


def _next(plate, at, heading, half):
    """Lateral offset of the core near ``at`` and its contrast; None off the film."""
    mm = plate.mm_px
    o = np.arange(-1.0 * mm, 1.0 * mm + 0.01, 0.5)
    normal = np.array([-heading[1], heading[0]])
    lanes = np.linspace(-0.2, 0.2, 5) * mm
    p = at + lanes[:, None, None] * heading + o[None, :, None] * normal
    row = sample(plate.grey, p[..., 0], p[..., 1]).mean(0)
    if not np.isfinite(row).all():
        return None
    strength = ridge(row, o, half, mm)
    best = strength - 0.1 * plate.span * (o / (0.35 * mm)) ** 2
    best[np.abs(o) > 0.35 * mm] = -np.inf
    i = int(np.argmax(best))
    return float(o[i]), float(strength[i])


def ridge(row, o, half, mm_px, wide=0.2, sides=np.maximum):
    """Core of ``half`` width above its sides, along the last axis of ``row``.

    ``sides`` joins the two sides, ``wide`` mm each: the denser one, or their mean.
    """
    gap = o[1] - o[0]
    total = np.concatenate([np.zeros((*row.shape[:-1], 1)), np.cumsum(row, axis=-1)], axis=-1)

    def mean(low, high):
        a = np.clip(np.arange(len(o)) + round(low / gap), 0, len(o))
        b = np.clip(np.arange(len(o)) + round(high / gap) + 1, a + 1, len(o))
        a = np.minimum(a, b - 1)
        return (total[..., b] - total[..., a]) / (b - a)

    inner = half + 2.0 * BLUR_MM * mm_px
    outer = inner + wide * mm_px
    return mean(-half, half) - sides(mean(-outer, -inner), mean(inner, outer))


def find_tip(plate, shaft):
    """Where the shaft ends, or the reason (str) that cannot be told.

    Returns
    -------
    line : ndarray, shape (N, 2)
        Axis from the handle to the tip, px.
    u_px : float
        Standard uncertainty of the tip along the line.
    """
    mm = plate.mm_px
    line, contrast, level, beside = _core(plate, shaft)
    gap = _gap(line)
    near, far, more = (max(int(d * mm / gap), 2) for d in (0.2, 2.0, 1.0))
    least = max(0.045 * plate.span, 2 * plate.noise)
    lost, passed, doubted = None, 0, None
    for at in _losses(contrast, near, far, more, least):
        before = np.median(contrast[at - far : at - near])
        on = slice(*(at + round(d * mm / gap) for d in _ON_MM))
        if _goes_on(contrast[on], beside[on], before, *_GOES_ON):
            passed, doubted = at, None
        elif _goes_on(contrast[on], beside[on], before, *_MAY_GO_ON):
            doubted = doubted or at
        else:
            lost = at
            break
    if lost is None:
        return "the tip of the file cannot be seen"
    if passed and lost - passed < _SURE_MM * mm / gap:
        return "the file's tip cannot be told from the bone around it"
    # what is as white as the film can show hides the file, it does not end it
    if np.mean(level[lost : lost + more]) + 0.5 * before > 1.0:
        return "the film is too white along the file to show its tip"
    # what it went on beyond, as the edge of a crown, is no end to be fitted
    start = max(lost - far, min(passed + near, lost - more))
    window = contrast[start : lost + 2 * more]
    middle = lost - start
    options = np.arange(max(middle - more, near), min(middle + more, len(window) - near))
    at, spread = _break(window, options, alike=max(_ALIKE_MM * mm / gap, 1.0))
    unseen, u_unseen = _unseen(window, round(at), 2 * more, _MOST_UNSEEN_MM * mm / gap)
    end = start + at - 0.5 + unseen + _POINT_MM * mm / gap
    tip = np.array([np.interp(end, np.arange(len(line)), c) for c in line.T])
    fitted = _fitted(plate, line, end)
    if fitted is None:
        return "the tip of the file cannot be seen"
    apart, deviation = np.minimum(np.abs(fitted), mm)
    doubts = spread * gap, u_unseen * gap, 0.5 * apart, 0.5 * deviation, _U_POINT_MM * mm
    u = np.linalg.norm(doubts)
    if passed or _goes_on(contrast[on], beside[on], before, *_LESS_SURE):
        u = np.hypot(u, _MOST_UNSEEN_MM * mm)
    if doubted:  # it ends anywhere from there to here
        u = np.hypot(u, (lost - doubted) * gap / np.sqrt(12))
    if u > _U_MOST_MM * mm:
        return "the file's tip cannot be told from the bone around it"
    return np.vstack([line[: int(end) + 1], tip]), float(u)


def _break(window, options, alike):
    """Mean and standard deviation of where a straight line breaks off to a level.

    Every place is as likely as the squares it leaves tell; ``alike`` samples, over which
    grain and bone look the same, count as one.
    """
    cost = np.array([_break_cost(window, j) for j in options])
    weight = np.exp(-0.5 * (cost / max(cost.min(), 1e-12) - 1) * len(window) / alike)
    weight /= weight.sum()
    at = float(weight @ options)
    return at, float(np.sqrt(weight @ (options - at) ** 2))


def _unseen(window, at, most, most_mean):
    """How far a shaft goes on beyond the break, too thin to be told from the bone.

    The less it stands out from the bone's pattern there, the likelier it goes on, and then
    may end anywhere up to where its contrast would be nothing. Mostly it ends before the half of
    that, so the mean goes no further than ``most_mean``; the deviation holds all of it.

    Returns
    -------
    mean, deviation : float
        Samples.
    """
    slope, level = np.polyfit(np.arange(-at, 0), window[:at], 1)
    if slope >= 0 or level <= 0:
        return 0.0, 0.0
    stands_out = level / max(np.std(window[at + 3 :]), 1e-9)
    likely = np.clip((_CLEAR - stands_out) / (_CLEAR - 2), 0, 1)
    reach = min(-level / slope, most)
    mean = min(0.5 * likely * reach, most_mean)
    return float(mean), float(np.sqrt(likely * reach * (reach / 3 - mean) + mean**2))


def _gap(line):
    return float(np.median(np.hypot(*np.diff(line, axis=0).T)))


def _fitted(plate, line, end):
    """How far beyond index ``end`` a fit of the whole taper ends the file, and its deviation; px.

    None where it finds no rod. The break is the better place, the fit knows better how sure
    it is: it looks at what lies beside the file.
    """
    from scipy.ndimage import gaussian_filter

    mm = plate.mm_px
    gap = _gap(line)
    last = line[-1] - line[max(len(line) - round(2.0 * mm / gap), 0)]
    more = unit(last) * mm * np.arange(1, round(3.0 / ROW))[:, None] * ROW
    start = max(int(end) - round(9.0 * mm / gap), 0)
    rows = np.arange(start, len(line), ROW * mm / gap)
    along = np.stack([np.interp(rows, np.arange(len(line)), c) for c in line.T], axis=1)
    along = np.vstack([along, line[-1] + more])
    way = unit(np.gradient(along, axis=0))
    across = np.c_[-way[:, 1], way[:, 0]]
    p = along[:, None] + COLUMNS[None, :, None] * mm * across[:, None]
    strip = sample(plate.grey, p[..., 0], p[..., 1]) / plate.span
    on_film = np.isfinite(strip).all(axis=1)
    strip = strip[: int(np.argmin(on_film)) if not on_film.all() else len(strip)]
    if len(strip) < 40:
        return None
    strip = gaussian_filter(strip, _SOFT_MM / np.array([ROW, fading_tip.CELL]))
    ending = fading_tip.find_end(strip, (end - start) * gap / mm / ROW, _U_BREAK_MM, FINE)
    if ending is None:
        return None
    at = ending.row + fading_tip.POINT_MM / ROW - (end - start) * gap / mm / ROW
    return at * ROW * mm, ending.deviation * mm


def _core(plate, shaft):
    """Evened line in steps of about 1 px; the core's contrast and grey level along it.

    Last, what the same filter shows beside the core on either hand, a row per step.
    """
    mm = plate.mm_px
    fine = max(round(shaft.step_px), 1)
    k = np.arange(1, len(shaft.points) - 1, 1 / fine)
    knots = smooth_line(shaft.points)
    line = np.stack([np.interp(k, np.arange(len(knots)), c) for c in knots.T], axis=1)
    way = unit(np.gradient(smooth_line(line, fine), axis=0))
    o = np.arange(-1.2 * mm, 1.2 * mm + 0.01, 0.5)
    p = line[:, None] + o[None, :, None] * np.c_[-way[:, 1], way[:, 0]][:, None]
    rows = sample(plate.grey, p[..., 0], p[..., 1])
    strength = ridge(rows, o, 0.06 * mm, mm, 0.1, lambda a, b: 0.5 * (a + b))
    middle = np.abs(o) <= 0.1 * mm
    near_by = (np.abs(o) > _BESIDE_MM[0] * mm) & (np.abs(o) < _BESIDE_MM[1] * mm)
    core, level = strength[:, middle].max(axis=1), rows[:, middle].mean(axis=1)
    return line, core, level, strength[:, near_by]


def _goes_on(core, beside, before, share, deviations, times):
    """True where a shaft of contrast ``before`` still stands out from the pattern beside it."""
    lines = np.nanmean(beside, axis=0) if len(beside) else np.array([])
    lines = lines[np.isfinite(lines)]
    if len(core) < 4 or len(lines) < 4:
        return False
    pattern = 1.48 * np.median(np.abs(lines))
    return core.mean() > max(share * before, deviations * pattern, times * lines.max())


def _losses(contrast, near, far, more, least):
    """Indices after which the contrast is lost for ``more`` samples.

    Lost: next to nothing is left, or half of it goes at once and what is left is faint.
    """
    for j in range(far, len(contrast) - more):
        before = np.median(contrast[j - far : j - near])
        after = np.mean(contrast[j + near : j + more])
        at_once = np.mean(contrast[j + near : j + 2 * near]) < 0.55 * contrast[j - near : j].mean()
        if after < min(0.4 * before, least) or (at_once and after < min(0.55 * before, 2 * least)):
            yield j


def _break_cost(window, j):
    """Squares left by a line up to ``j`` and a level beyond it."""
    k = np.arange(j)
    rest = window[:j] - np.polyval(np.polyfit(k, window[:j], 1), k)
    return float(rest @ rest + np.sum((window[j:] - window[j:].mean()) ** 2))


def smooth_line(points, spread=2.0):
    """Points of a line evened out, ends kept."""
    from scipy.ndimage import gaussian_filter1d

    return gaussian_filter1d(points, spread, axis=0, mode="nearest")
