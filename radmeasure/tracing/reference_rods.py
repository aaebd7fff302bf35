"""Straight bright rods on a film: ridges by curvature, lines by voting, runs along the lines.

Ridges: the second derivative across a bright line is negative and large, along
it small (eigenvalues of the Hessian at the line's scale; Steger, IEEE Trans
Pattern Anal Mach Intell 1998;20:113-125, memory). Lines: each ridge pixel
votes for the one line its own direction gives (Duda & Hart, Commun ACM
1972;15:11-15, memory).
"""

from dataclasses import dataclass

import numpy as np

from radmeasure.tracing.reference_plate import sample


@dataclass(frozen=True, eq=False)
class Rod:
    """A straight stretch of rod measured at full resolution.

    Attributes
    ----------
    start, end : ndarray, shape (2,)
        Ends of the axis as the ridge shows them, px.
    width_px : float
        Width between half levels at the middle of the stretch.
    taper : float
        Change of width per px along start -> end.
    contrast : float
        Grey level of the rod above its ground (median).
    bend_px : float
        Robust deviation of the centre from the straight line.
    spread : float
        Robust relative scatter of the width about the taper.
    stations : ndarray, shape (N, 6)
        s, centre offset, width, level, ground left, ground right.
    """

    start: np.ndarray
    end: np.ndarray
    width_px: float
    taper: float
    contrast: float
    bend_px: float
    spread: float
    stations: np.ndarray

    @property
    def length_px(self):
        return float(np.hypot(*(self.end - self.start)))

    @property
    def direction(self):
        return (self.end - self.start) / self.length_px


def ridges(coarse):
    """Ridge strength (grey levels) and direction of the line (rad) of a coarse film."""
    strength = np.zeros(coarse.shape, np.float32)
    angle = np.zeros(coarse.shape, np.float32)
    half = _halved(coarse)
    for image, sigma, by in ((coarse, 1.3, 1), (coarse, 2.4, 1), (half, 2.0, 2), (half, 3.2, 2)):
        s, a = _ridge_at(image, sigma)
        if by == 2:
            s, a = (_doubled(v, coarse.shape) for v in (s, a))
        better = s > strength
        strength[better], angle[better] = s[better], a[better]
    return strength, angle


def _halved(image):
    h, w = (n // 2 * 2 for n in image.shape)
    return image[:h, :w].reshape(h // 2, 2, w // 2, 2).mean((1, 3))


def _doubled(image, shape):
    big = np.repeat(np.repeat(image, 2, 0), 2, 1)
    return np.pad(big, [(0, n - m) for n, m in zip(shape, big.shape)], mode="edge")


def _ridge_at(image, sigma):
    from scipy.ndimage import gaussian_filter

    smooth = gaussian_filter(image, sigma, truncate=3.0)
    gy, gx = np.gradient(smooth)
    yy, yx = np.gradient(gy)
    xx = np.gradient(gx, axis=1)
    root = np.sqrt(0.25 * (xx - yy) ** 2 + yx**2)
    mean = 0.5 * (xx + yy)
    across, along = mean - root, mean + root
    # a line: strong curvature across, little along; sigma**1.5 makes scales comparable
    strength = np.maximum(-across - 2 * np.abs(along), 0) * sigma**1.5
    normal = 0.5 * np.arctan2(2 * yx, xx - yy) + np.pi / 2
    return strength.astype(np.float32), (normal + np.pi / 2).astype(np.float32)


def lines(plate, least_length=20.0, most=12):
    """Rough straight segments of ridges, the most prominent first.

    Parameters
    ----------
    plate : Plate
    least_length : float
        Shortest segment, coarse px.
    most : int

    Returns
    -------
    list of (start, end), each ndarray (2,), full-resolution px
    """
    strength, angle = ridges(plate.coarse)
    threshold = max(0.03 * plate.span, 4 * plate.noise / plate.factor)
    found = []
    for normal, rho in _voted_lines(strength, angle, threshold, least_length, 3 * most):
        found += _runs(strength, angle, normal, rho, threshold, least_length)
    found.sort(key=lambda run: -run[0])
    kept = []
    for _, a, b in found:
        if not any(_same(a, b, c, d, 6.0) for c, d in kept):
            kept.append((a, b))
        if len(kept) == most:
            break
    return [(plate.fine_xy(a), plate.fine_xy(b)) for a, b in kept]


def _voted_lines(strength, angle, threshold, least, most):
    """(direction of the normal, distance from the origin) of lines many ridge pixels agree on."""
    from scipy.ndimage import gaussian_filter, maximum_filter

    ys, xs = np.nonzero(strength > threshold)
    weight = np.minimum(strength[ys, xs] / threshold, 8.0)
    diagonal = float(np.hypot(*strength.shape))
    n_theta, cell = 120, 2.0
    n_rho = int(2 * diagonal / cell) + 3
    theta = np.mod(angle[ys, xs] + np.pi / 2, np.pi)
    t = np.round(theta / np.pi * n_theta).astype(int) % n_theta
    rho = xs * np.cos(t * np.pi / n_theta) + ys * np.sin(t * np.pi / n_theta)
    r = np.round((rho + diagonal) / cell).astype(int)
    votes = np.bincount(t * n_rho + r, weight, n_theta * n_rho).reshape(n_theta, n_rho)
    # the normals of 0° and 180° are one, with the distance reversed
    wrapped = np.vstack([votes[-4:, ::-1], votes, votes[:4, ::-1]])
    score = gaussian_filter(wrapped, (1.3, 0.8))[4:-4] * 6.5
    peak = (score == maximum_filter(score, (7, 5))) & (score > least)
    at = np.argwhere(peak)[np.argsort(score[peak])[::-1][:most]]
    return [(i * np.pi / n_theta, j * cell - diagonal) for i, j in at]


def _runs(strength, angle, normal, rho, threshold, least):
    """Stretches (score, start, end) of one line along which the ridge goes on, coarse px."""
    h, w = strength.shape
    n = np.array([np.cos(normal), np.sin(normal)])
    u = np.array([-n[1], n[0]])
    s = np.arange(-np.hypot(h, w), np.hypot(h, w))
    side = np.arange(-5, 6)
    q = np.round((n * rho + s[:, None] * u)[:, None, :] + side[:, None] * n).astype(int)
    inside = (q >= 0).all(-1) & (q[..., 0] < w) & (q[..., 1] < h)
    x, y = np.where(inside, q[..., 0], 0), np.where(inside, q[..., 1], 0)
    turn = np.mod(angle[y, x] - np.arctan2(u[1], u[0]) + np.pi / 2, np.pi) - np.pi / 2
    value = np.where(inside & (np.abs(turn) < 0.25), strength[y, x], 0.0)
    best = np.argmax(value, axis=1)
    top = value[np.arange(len(s)), best]
    at = np.nonzero(top > threshold)[0]
    runs = []
    for part in np.split(at, np.nonzero(np.diff(at) > 6)[0] + 1):
        if len(part) < least:
            continue
        offset = side[best[part]].astype(float)
        fit, _ = robust_line(s[part], offset)
        keep = np.abs(offset - np.polyval(fit, s[part])) < 1.6
        if keep.sum() < 0.7 * least:
            continue
        ends = s[part][keep][[0, -1]]
        points = [n * (rho + np.polyval(fit, e)) + e * u for e in ends]
        runs.append((float(top[part][keep].sum()), *points))
    return runs


def _same(a, b, c, d, tolerance):
    """True when the shorter of segments a-b, c-d runs along the longer for most of its length."""
    if np.hypot(*(b - a)) > np.hypot(*(d - c)):
        a, b, c, d = c, d, a, b
    length = np.hypot(*(d - c))
    u = (d - c) / length
    s = np.array([(a - c) @ u, (b - c) @ u])
    off = max(abs((a - c) @ [-u[1], u[0]]), abs((b - c) @ [-u[1], u[0]]))
    overlap = min(s.max(), length) - max(s.min(), 0.0)
    return off < tolerance and overlap > 0.5 * np.ptp(s)


def measured(plate, most=12):
    """All rods of the film, measured; each once."""
    rods = []
    for a, b in lines(plate, most=most):
        rod = measure(plate, a, b)
        if rod is not None and not any(
            _same(rod.start, rod.end, r.start, r.end, max(0.5 * r.width_px, 3.0)) for r in rods
        ):
            rods.append(rod)
    return rods


def measure(plate, start, end):
    """Measure a rod along a rough segment; None when there is no bright rod.

    Parameters
    ----------
    plate : Plate
    start, end : ndarray, shape (2,)
        Rough axis, px, good to a few coarse px.

    Returns
    -------
    Rod or None
    """
    start, end = np.asarray(start, float), np.asarray(end, float)
    for _ in range(2):
        stations = cross_sections(plate, start, end)
        if stations is None or len(stations) < 6:
            return None
        s, offset = stations[:, 0], stations[:, 1]
        fit, bend = robust_line(s, offset)
        if fit is None:
            return None
        u = (end - start) / np.hypot(*(end - start))
        n = np.array([-u[1], u[0]])
        ends = np.array([0.0, np.hypot(*(end - start))])
        start, end = (start + e * u + np.polyval(fit, e) * n for e in ends)
    width_fit, width_scatter = robust_line(s, stations[:, 2])
    if width_fit is None:
        return None
    middle = float(np.polyval(width_fit, ends.mean()))
    contrast = stations[:, 3] - 0.5 * (stations[:, 4] + stations[:, 5])
    return Rod(
        start,
        end,
        middle,
        float(width_fit[0]),
        float(np.median(contrast)),
        float(bend),
        float(width_scatter / max(middle, 1e-6)),
        stations,
    )


def robust_line(x, y):
    """Straight line by reweighted least squares, and the robust scatter about it."""
    weight = np.ones_like(y)
    if len(y) < 5:
        return None, np.inf
    for _ in range(6):
        fit = np.polyfit(x, y, 1, w=weight)
        residual = y - np.polyval(fit, x)
        scale = max(1.4826 * np.median(np.abs(residual)), 1e-3)
        weight = 1.0 / (1.0 + (residual / (2.5 * scale)) ** 2)
    return fit, scale


def cross_sections(plate, start, end, step=None, reach=None):
    """Centre, width and levels across a rod at stations along it.

    Returns
    -------
    ndarray, shape (N, 6) or None
        s, centre offset (towards the left of start -> end turned by 90°),
        width between half levels, level of the rod, ground at either side.
    """
    length = np.hypot(*(end - start))
    u = (end - start) / length
    n = np.array([-u[1], u[0]])
    reach = reach or min(0.95 * plate.mm_px, max(_room(plate, p, n) for p in (start, end)))
    step = step or max(3.0, 2.0 * plate.factor, length / 60)
    s = np.arange(0.5 * step, length, step)
    if reach < 3.0:  # along the very edge of the film
        return None
    o = np.arange(-reach, reach + 0.01, 0.5)
    # mean of a few lines along the rod lowers the noise without widening the section
    along = np.linspace(-0.4, 0.4, 5) * step
    strip = np.zeros((len(s), len(o)))
    for a in along:
        p = start + (s + a)[:, None, None] * u + o[None, :, None] * n
        strip += sample(plate.grey, p[..., 0], p[..., 1]) / len(along)
    keep = np.isfinite(strip).all(1)
    if keep.sum() < 5:
        return None
    return _sections(s[keep], o, strip[keep])


def _room(plate, point, normal):
    """Way from a point along the normal, to either side, that stays on the film, px."""
    sizes = np.array(plate.grey.shape[::-1]) - 1.0
    way = np.maximum(np.abs(normal), 1e-9)
    return float(np.min([point / way, (sizes - point) / way])) - 1.5


def _sections(s, o, strip):
    """Half-level centre and width of the bar nearest the middle of each row."""
    m = len(o) // 2
    near = np.abs(o) <= 0.45 * o[-1]
    smooth = np.apply_along_axis(lambda v: np.convolve(v, np.ones(3) / 3, "same"), 1, strip)
    top = np.argmax(np.where(near, smooth, -np.inf), axis=1)
    rows = np.arange(len(s))
    # ground: lowest level on either side of the top, within reach
    left = np.where(np.arange(len(o)) < top[:, None], smooth, np.inf)
    right = np.where(np.arange(len(o)) > top[:, None], smooth, np.inf)
    left[:, :2] = right[:, -2:] = np.inf
    il, ir = np.argmin(left, 1), np.argmin(right, 1)
    gl, gr = left[rows, il], right[rows, ir]
    level = np.sort(np.where(np.abs(np.arange(len(o)) - top[:, None]) <= 2, strip, -np.inf), 1)
    level = level[:, -3:].mean(1)
    result = []
    for i in rows:
        el = _crossing(o, strip[i], top[i], il[i], 0.5 * (level[i] + gl[i]))
        er = _crossing(o, strip[i], top[i], ir[i], 0.5 * (level[i] + gr[i]))
        if el is not None and er is not None:
            result.append((s[i], 0.5 * (el + er), er - el, level[i], gl[i], gr[i]))
    del m
    return np.array(result) if result else None


def _crossing(o, row, top, stop, level):
    """Where the profile falls through ``level`` going from ``top`` to ``stop``."""
    step = 1 if stop > top else -1
    k = np.arange(top, stop + step, step)
    if len(k) < 2:
        return None
    below = row[k] < level
    j = int(np.argmax(below))
    if j == 0:
        return None
    a, b = row[k[j - 1]], row[k[j]]
    return o[k[j - 1]] + (o[k[j]] - o[k[j - 1]]) * (a - level) / (a - b)
