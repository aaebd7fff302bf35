"""The stop of a file: a small disc of silicone on its shaft, faintly visible.

Beside the shaft the disc draws two edges along it, sharp however the disc is
tilted against the beam; they find it. Its faces are fitted: a ray meets a disc
of radius R and thickness T, tilted by t, at distance o from its axis over a
length that rises and falls along the shaft like a box of width T cos t blurred
by one of width 2 sqrt(R² - o²) sin t (derived). The half level of either flank
lies level with the face on the axis, so the tilt does not bias it.

A crown that covers part of the disc only adds brightness: too bright a pixel
counts little, too dark a one in full.
"""

from dataclasses import dataclass, replace

import numpy as np

from radmeasure.tracing.reference_edge import BLUR_MM
from radmeasure.tracing.reference_plate import sample

_REACH_MM = 3.4  # lateral reach of the strip
# Thickness and radius of stops, and how thick one usually is (common practice, no source).
_THICK_MM, _RADIUS_MM = (0.5, 3.5), (0.7, 3.0)
_USUAL_MM, _U_USUAL_MM = 1.5, 0.6
# A disc thicker than that, or nearer than that to where the film ends, may be a handle.
_STOP_MM, _AWAY_MM = 2.2, 0.5
_BRIGHT = 1.5  # standard deviations after which a brighter pixel counts no more
_U_RADIUS_MM = 0.12  # of the radius as the side edges show it
_MISFIT = 0.04  # of the disc's height: how well the model describes a disc
_U_LEAST_MM = 0.04
_U_COVERED_MM = 0.15  # when the crown covers the whole face, which is then only inferred
# A face fitted so far under the crown is none; a stop rests on the crown (common practice), so
# it is taken to end a little below where the crown begins beside it, mm.
_UNDER_MM, _RESTS_MM, _U_RESTS_MM = 0.25, 0.1, 0.33
_U_MEETS_MM = 0.2
_SHOWN_MM = (0.7, 2.1)  # thickness of a stop of which only the part above the crown is seen
_U_MOST_MM = 0.45  # beyond this the face is hidden

_MOST = 0.6  # of the span: a stop lets most of the beam pass

NONE_SEEN = "no stop can be seen on the file"


@dataclass(frozen=True)
class Stop:
    """A disc on the shaft; distances along it in px.

    Attributes
    ----------
    far, near : float
        Face towards the handle and towards the tooth.
    u_px : float
        Standard uncertainty of ``near``.
    radius_px : float
    height : float
        Grey level of the disc's middle above the ground.
    rms : float
        Misfit beyond the noise, relative to ``height``.
    rests : bool
        The crown hides the face ``near``, which is taken to rest on it.
    """

    far: float
    near: float
    u_px: float
    radius_px: float
    height: float
    rms: float
    rests: bool = False


@dataclass(frozen=True, eq=False)
class Strip:
    """Film along the shaft: ``grey[i, j]`` at ``s[i]`` along and ``o[j]`` across, px."""

    s: np.ndarray
    o: np.ndarray
    grey: np.ndarray
    inner: float  # half width hidden by the shaft and its blur, px


def strip_along(plate, origin, direction, low, high, width_px):
    """The strip from ``low`` to ``high`` px along the axis; NaN off the film."""
    mm = plate.mm_px
    step = max(0.5, mm / 16)
    s = np.arange(low, high, step)
    o = np.arange(-_REACH_MM * mm, _REACH_MM * mm + 0.01, step)
    n = np.array([-direction[1], direction[0]])
    p = origin + s[:, None, None] * direction + o[None, :, None] * n
    inner = 0.5 * width_px + 2.5 * BLUR_MM * mm + 1.0
    return Strip(s, o, sample(plate.grey, p[..., 0], p[..., 1]), inner)


def find_stop(plate, strip):
    """The stop, or the reason (str) there is none.

    ``strip`` runs from the handle towards the tooth.
    """
    reason, stops = NONE_SEEN, []
    for place, radius in _side_edges(plate, strip):
        if any(abs(place - 0.5 * (s.far + s.near)) < 0.5 * (s.near - s.far) for s in stops):
            continue
        stop = _fit(plate, strip, place, radius)
        if isinstance(stop, Stop):
            stops.append(stop)
        elif stop:
            reason = stop
    if not stops:
        return reason
    first = strip.s[np.argmax(np.isfinite(strip.grey).any(axis=1))]
    # one seen in full first; between a handle, which may look like a stop, and the tooth lies it
    handles = [_like_handle(stop, first, plate.mm_px) for stop in stops]
    sure = [not stop.rests and not handle for stop, handle in zip(stops, handles)]
    best = max(range(len(stops)), key=lambda i: (sure[i], stops[i].near))
    thick = stops[best].near - stops[best].far > _STOP_MM * plate.mm_px
    return NONE_SEEN if thick and not stops[best].rests else stops[best]


def _like_handle(stop, first, mm_px):
    """True for a disc thicker than stops are, or so near where the film ends that it may go on."""
    return stop.near - stop.far > _STOP_MM * mm_px or stop.far - first < _AWAY_MM * mm_px


def _side_edges(plate, strip, most=8):
    """Places along the shaft with a bright patch between two dark sides, and its half width."""
    mm, step = plate.mm_px, strip.s[1] - strip.s[0]
    ground = float(np.quantile(plate.coarse, 0.02))
    dark = ground + 0.12 * plate.span
    gap, wide, long_ = (max(round(d * mm / step), 1) for d in (0.1, 0.3, 0.6))
    smooth = _running_mean(np.where(np.isfinite(strip.grey), strip.grey, ground), long_)
    middle = len(strip.o) // 2
    inner = int(np.ceil(strip.inner / step))
    low, high = (int(r * mm / step) for r in _RADIUS_MM)
    score = np.full((len(strip.s), high), -np.inf)
    for h in range(max(low, inner + gap + 2), min(high, middle - gap - wide)):
        steps = []
        for sign in (-1, 1):
            inside = _lane(smooth, middle + sign * (h - gap), -sign * min(wide, h - gap - inner))
            outside = _lane(smooth, middle + sign * (h + gap), sign * wide)
            steps.append(np.where(outside < dark, inside - outside, -np.inf))
        small, large = np.minimum(*steps), np.maximum(*steps)
        even = (small > 0.5 * large) & (large < _MOST * plate.span)
        score[:, h] = np.where(even, small, -np.inf)
    score = np.where(np.isfinite(score), score, -np.inf)
    least = max(0.02 * plate.span, 3 * plate.noise / long_)
    for _ in range(most):
        i, h = np.unravel_index(np.argmax(score), score.shape)
        if not score[i, h] > least:
            return
        yield float(strip.s[i]), float(h * step)
        score[max(i - long_, 0) : i + long_] = -np.inf


def _running_mean(grey, n):
    from scipy.ndimage import uniform_filter1d

    return uniform_filter1d(grey, n, axis=0, mode="nearest")


def _lane(grey, start, count):
    """Mean of ``count`` columns from ``start`` on (to the left when negative)."""
    a, b = (start, start + count) if count > 0 else (start + count + 1, start + 1)
    return grey[:, a:b].mean(axis=1) if b > a else np.full(len(grey), np.nan)


def path_through(s, o, near, thick, radius, sine, blur=0.0):
    """Length of a ray through a tilted disc over its diameter.

    Parameters
    ----------
    s, o : ndarray
        Along and across the axis of the disc.
    near, thick : float
        Face at the larger ``s`` on the axis, distance of the faces as projected.
    radius, sine : float
        Radius of the disc, sine of its tilt against the beam's normal.
    blur : float
        Standard deviation of the film's blur, taken as a box of that standard deviation.
    """
    chord = 2 * np.sqrt(np.maximum(radius**2 - o**2, 0.0))
    ramp = np.maximum(np.hypot(chord * sine, np.sqrt(12) * blur), 1e-6)
    flank = 0.5 * (thick + ramp) - np.abs(s - (near - 0.5 * thick))
    return np.clip(flank / ramp, 0, np.minimum(1.0, thick / ramp)) * chord / (2 * radius)


@dataclass(frozen=True, eq=False)
class _Patch:
    """Part of a strip around a place: mm along and across, grey levels in spans."""

    s: np.ndarray  # shape (N, 1)
    o: np.ndarray  # shape (1, M)
    grey: np.ndarray
    seen: np.ndarray  # on the film and beside the shaft
    radius: float  # as its side edges show it, mm
    ground: float
    noise: float
    alike: float  # samples over which noise and misfit are the same

    def model(self, p):
        """Grey levels of a disc of parameters near, thick, radius, sine, off, height, base."""
        near, thick, radius, sine, off, height, base = p
        path = path_through(self.s, self.o - off, near, thick, radius, sine, BLUR_MM)
        return base + height * path

    def sigma(self, height):
        """Standard deviation of a pixel about the model."""
        return float(np.hypot(self.noise, _MISFIT * max(height, 0.02)))

    def residual(self, p):
        r = (self.grey[self.seen] - self.model(p)[self.seen]) / self.sigma(p[5])
        r = np.where(r > 0, _BRIGHT * (1 - np.exp(-np.maximum(r, 0) / _BRIGHT)), r)
        prior = (
            (p[1] - _USUAL_MM) / _U_USUAL_MM,
            (p[2] - self.radius) / _U_RADIUS_MM,
            p[4] / 0.15,
            (p[6] - self.ground) / 0.03,
        )
        return np.r_[r / self.alike, prior]


def _patch(plate, strip, place, radius):
    mm, step = plate.mm_px, strip.s[1] - strip.s[0]
    rows = np.abs(strip.s - place) < 3.0 * mm
    lanes = np.abs(strip.o) < min(radius + 0.7 * mm, _REACH_MM * mm)
    s, o = strip.s[rows][:, None] / mm, strip.o[lanes][None, :] / mm
    grey = strip.grey[rows][:, lanes] / plate.span
    seen = np.isfinite(grey) & (np.abs(o) * mm > strip.inner)
    ground = float(np.quantile(plate.coarse, 0.02)) / plate.span
    alike = max(2.0, 2 * BLUR_MM * mm / step)
    return _Patch(s, o, grey, seen, radius / mm, ground, plate.noise / plate.span, alike)


def _fit(plate, strip, place, radius):
    """The disc around ``place``; the reason when its face is hidden; '' when it is none."""
    from scipy.optimize import least_squares

    patch = _patch(plate, strip, place, radius)
    half, here = radius / plate.mm_px, place / plate.mm_px
    far, near, level = _rough_faces(patch, half, here)
    if near - far > _THICK_MM[1] or not 0.02 < level < _MOST:
        return ""
    thick = float(np.clip(near - far, *_THICK_MM))
    level = min(1.2 * level, 0.9 * _MOST)
    low = [here - 3, _THICK_MM[0] - 0.1, _RADIUS_MM[0] - 0.1, 0.0, -0.4, 0.005, -0.1]
    high = [here + 4, _THICK_MM[1] + 0.3, _RADIUS_MM[1] + 0.1, 0.7, 0.4, _MOST, 0.6]
    fits = [
        least_squares(
            patch.residual,
            (far + thick, thick, half, sine, 0.0, level, patch.ground),
            bounds=(low, high),
            max_nfev=25,
        )
        for sine in (0.03, 0.3)
    ]
    judged = _judged(plate, patch, min(fits, key=lambda fit: fit.cost))
    return judged or _resting(plate, patch, half, far, level)


def _resting(plate, patch, half, far, level):
    """A disc of which the crown hides much: the part in the open is fitted; '' when it is none."""
    from scipy.optimize import least_squares

    open_to = _open_to(patch, far, half, 0.0, level)
    thick = open_to + _RESTS_MM - far
    if not _SHOWN_MM[0] < thick < _SHOWN_MM[1]:
        return ""
    shown = replace(patch, seen=patch.seen & (patch.s < open_to - 0.1))
    fit = least_squares(
        shown.residual,
        (far + thick, thick, half, 0.1, 0.0, level, patch.ground),
        bounds=(
            [far + thick - 0.2, thick - 0.4, half - 0.3, 0.0, -0.3, 0.005, -0.1],
            [far + thick + 0.2, thick + 0.4, half + 0.3, 0.5, 0.3, _MOST, 0.6],
        ),
        max_nfev=25,
    )
    near, thick, radius, _, off, height, _ = fit.x
    rest = np.where(shown.seen, patch.grey - shown.model(fit.x), np.nan)
    beside = np.abs(np.abs(patch.o - off) / radius - 0.75) < 0.15
    disc = shown.seen & beside & (patch.s > near - thick + 0.2)
    if disc.sum() < 20 or height > 0.98 * _MOST or height < 0.02:
        return ""
    rms = float(np.sqrt(max(np.mean(rest[disc] ** 2) - patch.noise**2, 0.0)) / height)
    ground = shown.seen & (np.abs(np.abs(patch.o - off) / radius - 1.3) < 0.12)
    if rms > 0.1 or np.median(rest[ground]) > 0.2 * height:
        return ""
    mm = plate.mm_px
    far, near = near - thick, open_to + _RESTS_MM
    return Stop(
        far * mm,
        near * mm,
        _U_RESTS_MM * mm,
        radius * mm,
        height * plate.span,
        max(rms, 0.05),
        True,
    )


def _rough_faces(patch, half, here):
    """Where the mean profile leaves the level it has at ``here``: far, near, level."""
    inside = patch.seen & (np.abs(patch.o) < 0.8 * half)
    profile = np.sum(patch.grey, axis=1, where=inside) / np.maximum(inside.sum(axis=1), 1)
    s = patch.s[:, 0]
    i = int(np.argmin(np.abs(s - here)))
    level = profile[i] - patch.ground
    away = np.abs(profile - profile[i]) > 0.5 * level
    before, after = np.nonzero(away[:i])[0], np.nonzero(away[i:])[0]
    far = s[before[-1]] if len(before) else s[0]
    return far, s[i + after[0]] if len(after) else far + _USUAL_MM, level


def _judged(plate, patch, fit):
    """The stop a fit gives, or why it is none."""
    near, thick, radius, sine, off, height, _ = fit.x
    rest = np.where(patch.seen, patch.grey - patch.model(fit.x), np.nan)
    path = path_through(patch.s, patch.o - off, near, thick, radius, sine)
    disc = patch.seen & (path > 0.25)
    free = disc & (rest < _BRIGHT * patch.sigma(height))
    if disc.sum() < 20 or free.sum() < 0.35 * disc.sum():
        return ""
    excess = np.mean(rest[free] ** 2) - patch.noise**2
    rms = float(np.sqrt(max(excess, 0.0)) / height)
    on_film = patch.s[np.isfinite(patch.grey).any(axis=1)]
    if thick < _THICK_MM[0] or not _RADIUS_MM[0] < radius < _RADIUS_MM[1]:
        return ""
    if near - thick < on_film[0, 0] + 0.2 or rms > 0.1 or not 0.02 < height < 0.98 * _MOST:
        return ""
    if _goes_on(patch, rest, near, radius, off, height):
        return ""
    u = np.sqrt(np.linalg.pinv(fit.jac.T @ fit.jac)[0, 0])
    u = float(np.hypot(u, _U_COVERED_MM * _covered(patch, rest, near, radius, off, height)))
    open_to = _open_to(patch, near - thick, radius, off, height)
    if near > open_to - _U_MEETS_MM:  # the crown begins just there and may hide the face
        u = float(np.hypot(u, _U_MEETS_MM))
    rests = near > open_to + _UNDER_MM
    if rests:  # a stop is set on the crown: it ends about where that begins
        thick, near, u = thick - (near - open_to - _RESTS_MM), open_to + _RESTS_MM, _U_RESTS_MM
    if u > _U_MOST_MM or thick > _THICK_MM[1]:
        return "the stop's face towards the tooth is hidden"
    u = np.hypot(u, _U_LEAST_MM)
    mm = plate.mm_px
    sizes = (near - thick) * mm, near * mm, u * mm, radius * mm
    return Stop(*sizes, height * plate.span, rms, rests)


def _goes_on(patch, rest, near, radius, off, height):
    """True when the patch goes on beyond the face, as wide and bright: a handle, no stop."""
    lateral = np.abs(patch.o - off) / radius
    for ahead in (0.4, 0.9, 1.4):
        beyond = patch.seen & (np.abs(patch.s - near - ahead) < 0.2)
        rim = rest[beyond & (lateral > 0.75) & (lateral < 0.92)]
        outside = rest[beyond & (lateral > 1.1) & (lateral < 1.35)]
        if len(rim) < 4 or len(outside) < 4 or np.median(outside) > 0.2 * height:
            return False
        if not 0.4 * height < np.median(rim) < 1.3 * height:
            return False
    return True


def _open_to(patch, far, radius, off, height):
    """How far towards the tooth the ground is seen right beside the disc, on either side; mm."""
    near_by, further = 1.12, 1.36  # radii; what slopes away begins later there
    ends = []
    for side in (-1, 1):
        a, b = (_dark_to(patch, far, side, radius, off, height, r) for r in (near_by, further))
        slope = (b - a) / (further - near_by) if np.isfinite(b) else 0.0
        ends.append(a - max(slope, 0.0) * (near_by - 1.0))
    return max(ends)


def _dark_to(patch, far, side, radius, off, height, radii):
    """Where the ground ends beside the disc, ``radii`` from its axis; inf where it never does."""
    ground = np.quantile(patch.grey[patch.seen], 0.05) + 0.5 * height
    across = side * (patch.o - off) / radius
    lane = patch.seen & (np.abs(across - radii) < 0.08)
    count = lane.sum(axis=1)
    mean = np.sum(patch.grey, axis=1, where=lane) / np.maximum(count, 1)
    ended = (patch.s[:, 0] > far) & ((mean >= ground) | (count == 0))
    return float(patch.s[np.argmax(ended), 0]) if ended.any() else np.inf


def _covered(patch, rest, near, radius, off, height):
    """Share of the face towards the tooth that something brighter covers."""
    beyond = patch.seen & (np.abs(patch.o - off) < 0.8 * radius)
    beyond &= np.abs(patch.s - near - 0.2) < 0.1
    return float(np.mean(rest[beyond] > 0.5 * height)) if beyond.any() else 1.0
