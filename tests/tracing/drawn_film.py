"""Films drawn from plain geometry, whose reference objects are known exactly.

Deliberately another route than radmeasure.phantoms: no rays, only thickness
maps in mm, attenuation, blur, noise and a response between linear and
logarithmic (Beer-Lambert; Box & Cox, J R Stat Soc B 1964;26:211-252). Every
length is drawn per film from ranges usual for intra-oral receptors.

Attenuation per mm is of the order of 35-45 keV effective energy (common
practice, no source); only ratios matter to what is tested.
"""

import itertools
from dataclasses import dataclass, field

import numpy as np
from scipy.ndimage import gaussian_filter, map_coordinates

MU = {
    "soft": 0.025,
    "bone": 0.075,
    "dentine": 0.17,
    "enamel": 0.30,
    "gutta": 1.0,
    "steel": 2.4,
    "silicone": 0.06,
    "amalgam": 8.0,
}


@dataclass
class Drawn:
    """A drawn film and its truth; sizes in px, points (x, y) px."""

    pixels: np.ndarray
    pitch_mm: float
    objects: list = field(default_factory=list)  # dicts: kind, points, size_px


def _rod(xx, yy, line, radius_at, pitch):
    """Thickness (mm) of a round rod along a polyline (px), its radius (mm) by length (mm).

    The rod is cut square at both ends.
    """
    best = np.full(xx.shape, np.inf)
    along = np.zeros(xx.shape)
    start = 0.0
    line = np.asarray(line, float)
    last = len(line) - 2
    for i, (a, b) in enumerate(itertools.pairwise(line)):
        step = np.hypot(*(b - a))
        u = (b - a) / step
        s = (xx - a[0]) * u[0] + (yy - a[1]) * u[1]
        low = -np.inf if i else 0.0
        high = np.inf if i < last else step
        inside = (s >= low) & (s <= high)
        clipped = np.clip(s, 0 if i else -np.inf, step if i < last else np.inf)
        d = np.hypot(xx - a[0] - clipped * u[0], yy - a[1] - clipped * u[1])
        take = inside & (d < best)
        best[take] = d[take]
        along[take] = start + clipped[take]
        start += step
    r = radius_at(along * pitch)
    return 2 * np.sqrt(np.maximum(r * r - (best * pitch) ** 2, 0.0))


def _fine(shape, points, margin_px, draw, over=4):
    """Pixel-averaged transmission of ``draw(xx, yy) -> optical depth`` near ``points``."""
    points = np.asarray(points)
    x0, y0 = np.maximum(np.floor(points.min(0) - margin_px), 0).astype(int)
    x1, y1 = np.ceil(points.max(0) + margin_px).astype(int) + 1
    x1, y1 = min(x1, shape[1]), min(y1, shape[0])
    if x1 <= x0 or y1 <= y0:
        return None
    sub = (np.arange(over) + 0.5) / over - 0.5
    xs = (np.arange(x0, x1)[:, None] + sub).ravel()
    ys = (np.arange(y0, y1)[:, None] + sub).ravel()
    depth = draw(*np.meshgrid(xs, ys))
    t = np.exp(-depth).reshape(y1 - y0, over, x1 - x0, over).mean((1, 3))
    return slice(y0, y1), slice(x0, x1), t


def _teeth(rng, shape, pitch):
    """Optical depth of jaw and teeth (crowns down), and each tooth's axis in px."""
    h, w = shape
    step = max(1, round(0.08 / pitch))
    yy, xx = np.mgrid[0:h:step, 0:w:step].astype(float) * pitch
    crest = h * pitch * rng.uniform(0.45, 0.6)
    bone = rng.uniform(5, 10) / (1 + np.exp((yy - crest) / 0.08))
    texture = gaussian_filter(rng.normal(size=yy.shape), 2.0) * 3
    bone *= 1 + 0.5 * texture
    soft = rng.uniform(4, 12) / (1 + np.exp((yy - crest - rng.uniform(1, 3)) / 0.3))
    depth = MU["bone"] * np.maximum(bone, 0) + MU["soft"] * soft
    teeth, x = [], rng.uniform(-2, 3)
    while x < w * pitch:
        width = rng.uniform(5.5, 10)
        axis = x + width / 2
        lean = rng.uniform(-0.08, 0.08)
        edge = crest + rng.uniform(8.5, 12)
        apex = crest - rng.uniform(10, 14)
        cej = crest + rng.uniform(1, 3)
        mid = axis + lean * (yy - cej)
        half = np.where(yy > cej, width / 2, width / 2 * 0.75)
        half = half * np.sqrt(np.clip(np.minimum((yy - apex) / (cej - apex), 1), 0, 1))
        half = half * np.sqrt(np.clip((edge - yy) / 2.0, 0, 1))
        body = np.sqrt(np.maximum(1 - ((xx - mid) / np.maximum(half, 1e-3)) ** 2, 0))
        thick = rng.uniform(5, 8) * body * (half > 0.05)
        thick = thick * np.clip((edge - yy) / 5.0, 0.25, 1)
        depth += MU["dentine"] * thick
        shell = (yy > cej) & (body > 0) & (body < 0.75)
        depth += (MU["enamel"] - MU["dentine"]) * gaussian_filter(1.0 * shell, 2.0) * 2.5
        canal = np.exp(-(((xx - mid) / 0.35) ** 2)) * (yy > apex + 1) * (yy < edge - 4)
        depth -= MU["dentine"] * canal * 0.8
        teeth.append((axis, lean, cej, apex, edge, width))
        x += width + rng.uniform(-0.1, 1.0)
    gy, gx = np.mgrid[0:h, 0:w] / step
    return map_coordinates(depth, [gy, gx], order=1, mode="nearest"), teeth


def draw(seed, objects=("sphere",), distractors=True, **fixed):
    """Draw one film.

    Parameters
    ----------
    seed : int
    objects : iterable of 'sphere', 'wire', 'file'
    distractors : bool
        Root fillings, posts and amalgams that are no reference.
    fixed : pitch_mm, response, scatter, noise, blur_mm, bits, exposure
        Values to fix instead of drawing them.

    Returns
    -------
    Drawn
    """
    rng = np.random.default_rng(seed)
    pitch = fixed.get("pitch_mm", rng.choice([0.02, 0.025, 0.03, 0.04, 0.05, 0.064]))
    size = [(22, 35), (24, 40), (31, 41), (41, 31)][rng.integers(4)]
    shape = (round(size[1] / pitch), round(size[0] / pitch))
    depth, teeth = _teeth(rng, shape, pitch)
    parts, truth = [], []
    for kind in objects:
        for _ in range(50):
            made = _MAKERS[kind](rng, shape, pitch, teeth, fixed)
            if made is not None:
                break
        else:
            raise ValueError(f"no place for a {kind} on film {seed}")
        parts += made[0]
        truth.append(made[1])
    if distractors:
        free = [t for t in teeth if not any(t is entry.get("tooth") for entry in truth)]
        parts += _distractors(rng, shape, pitch, free)
    beam = np.exp(-depth)
    for part in parts:
        if part is not None:
            rows, cols, t = part
            beam[rows, cols] *= t
    pixels = _expose(rng, beam, pitch, fixed)
    if rng.random() < 0.5:  # upper jaw as drawn, else lower
        pixels = pixels[::-1]
        for entry in truth:
            entry["points"] = entry["points"] * [1, -1] + [0, shape[0] - 1]
    return Drawn(np.ascontiguousarray(pixels), pitch, truth)


def _expose(rng, beam, pitch, fixed):
    """Blur, scatter, noise, response, window and depth."""
    beam = gaussian_filter(beam, fixed.get("blur_mm", rng.uniform(0.02, 0.08)) / pitch)
    scatter = fixed.get("scatter", rng.uniform(0.0, 0.08))
    beam = beam + scatter * gaussian_filter(beam, 3.0 / pitch)
    electrons = fixed.get("noise", 10 ** rng.uniform(2.8, 4.3))
    beam = beam + rng.normal(size=beam.shape) * np.sqrt(beam / electrons)
    beam = np.maximum(beam + rng.normal(size=beam.shape) * 0.002, 1e-4)
    power = fixed.get("response", rng.choice([0.0, 0.1, 0.25, 0.5, 1.0]))
    grey = -np.log(beam) if power == 0 else (1 - beam**power) / power
    low = np.quantile(grey, 0.01) - 0.03
    high = np.quantile(grey, 0.95)  # tissue fills the range; metal may clip
    high = low + (high - low) * fixed.get("window", rng.uniform(1.0, 1.8))
    unit = np.clip((grey - low) / (high - low), 0, 1) ** fixed.get("gamma", rng.uniform(0.85, 1.2))
    bits = fixed.get("bits", rng.choice([8, 12, 16]))
    return np.round(unit * (2**bits - 1)).astype(np.uint8 if bits == 8 else np.uint16)


def _sphere(rng, shape, pitch, teeth, fixed):
    d = rng.choice([3.0, 4.0, 5.0, 6.0]) * rng.uniform(1.0, 1.08)
    r = d / 2 / pitch
    edge = np.median([t[4] for t in teeth]) / pitch
    y = edge + r * rng.uniform(-0.1, 1.1)
    x = rng.uniform(r + 3, shape[1] - r - 3)
    if y + r + 3 > shape[0]:
        y = shape[0] - r - 3
    stretch = 1 + fixed.get("ellipse", rng.choice([0.0, 0.0, rng.uniform(0, 0.05)]))
    turn = rng.uniform(0, np.pi)
    c, s = np.cos(turn), np.sin(turn)

    def depth(xx, yy):
        u = ((xx - x) * c + (yy - y) * s) / stretch
        v = -(xx - x) * s + (yy - y) * c
        return MU["steel"] * 2 * np.sqrt(np.maximum((d / 2) ** 2 - (u**2 + v**2) * pitch**2, 0))

    theta = np.linspace(0, 2 * np.pi, 24, endpoint=False)
    cu, sv = r * stretch * np.cos(theta), r * np.sin(theta)
    rim = np.c_[x + cu * c - sv * s, y + cu * s + sv * c]
    part = _fine(shape, [[x, y]], r * stretch + 2, depth)
    return [part], {"kind": "sphere", "points": rim, "size_px": r * (1 + stretch)}


def _wire(rng, shape, pitch, teeth, fixed):
    length = rng.choice([8.0, 10.0, 12.0]) * rng.uniform(1.0, 1.08) / pitch
    radius = rng.uniform(0.25, 0.55)
    edge = np.median([t[4] for t in teeth]) / pitch
    angle = rng.uniform(-0.3, 0.3)
    u = np.array([np.cos(angle), np.sin(angle)])
    mid = np.array([rng.uniform(0.3, 0.7) * shape[1], edge + rng.uniform(-0.5, 4) / pitch])
    ends = np.array([mid - u * length / 2, mid + u * length / 2])
    if (ends < 25).any() or (ends > np.array(shape[::-1]) - 25).any():
        return None

    def depth(xx, yy):
        return MU["steel"] * _rod(xx, yy, ends, lambda s: np.full_like(s, radius), pitch)

    part = _fine(shape, ends, radius / pitch + 3, depth)
    return [part], {"kind": "wire", "points": ends, "size_px": length}


def _file(rng, shape, pitch, teeth, fixed):
    inner = [t for t in teeth if 0.25 < t[0] * 1 / (shape[1] * pitch) < 0.75]
    if not inner:
        return None
    tooth = inner[rng.integers(len(inner))]
    axis, lean, cej, apex, edge, _ = tooth
    y = np.linspace(apex + rng.uniform(1.0, 2.5), edge + 12, 80)[::-1]
    x = axis + lean * (y - cej)
    bend = rng.uniform(0, 0.012) * rng.choice([-1, 1])
    x = x + bend * np.clip(cej - rng.uniform(0, 4) - y, 0, None) ** 2
    line = np.c_[x, y] / pitch
    arc = np.r_[0, np.cumsum(np.hypot(*np.diff(line, axis=0).T))] * pitch
    stop_at = arc[np.argmin(np.abs(y - edge - rng.uniform(0.0, 0.3)))]
    d0 = rng.choice([0.10, 0.15, 0.20, 0.25]) / 2
    total = arc[-1]

    def radius(s):
        to_tip = total - s
        r = d0 + 0.01 * np.minimum(to_tip, 16)
        return r * np.clip(to_tip / (2 * d0), 0.1, 1)

    free = max(stop_at - rng.uniform(4, 12), 0)
    shown = [
        [np.interp(s, arc, line[:, 0]), np.interp(s, arc, line[:, 1])]
        for s in np.linspace(free, total, 60)
    ]

    def depth(xx, yy):
        return MU["steel"] * _rod(xx, yy, shown, lambda s: radius(s + free), pitch)

    thick, wide = rng.uniform(1.0, 2.0), rng.uniform(1.5, 2.5)
    p = np.array([np.interp(stop_at, arc, line[:, i]) for i in (0, 1)])
    q = np.array([np.interp(stop_at - thick, arc, line[:, i]) for i in (0, 1)])
    if p[1] + 30 > shape[0] or not 0.1 < p[0] / shape[1] < 0.9:
        return None

    def stop(xx, yy):
        flat = _rod(xx, yy, [p, q], lambda s: np.full_like(s, wide), pitch)
        return MU["silicone"] * flat

    parts = [
        _fine(shape, shown, 0.5 / pitch + 3, depth, 3),
        _fine(shape, [p, q], wide / pitch + 3, stop, 2),
    ]
    way = [
        [np.interp(s, arc, line[:, 0]), np.interp(s, arc, line[:, 1])]
        for s in np.linspace(stop_at, total, 25)
    ]
    size = (total - stop_at) / pitch
    return parts, {"kind": "file", "points": np.array(way), "size_px": size, "tooth": tooth}


def _distractors(rng, shape, pitch, teeth):
    """Root fillings, posts and amalgams in some teeth."""
    parts = []
    for axis, lean, cej, apex, edge, width in teeth:
        pick = rng.random()
        if pick < 0.2:  # root filling
            y = np.array([apex + 1, cej - rng.uniform(0, 4)])
            r0, mu = rng.uniform(0.1, 0.2), MU["gutta"]
            taper = rng.uniform(0.01, 0.03)
        elif pick < 0.35:  # metal post
            y = np.array([cej - rng.uniform(5, 9), cej + rng.uniform(0, 4)])
            r0, mu, taper = rng.uniform(0.35, 0.6), MU["steel"], 0.0
        elif pick < 0.45:  # roundish amalgam
            r = rng.uniform(1.0, 2.2)
            c = np.array([axis + rng.uniform(-0.2, 0.2) * width, edge - rng.uniform(2, 4)]) / pitch
            bump = rng.uniform(0.06, 0.2)
            parts.append(_fine(shape, [c], r * 1.3 / pitch, _blob(c, r, bump, rng, pitch), 2))
            continue
        else:
            continue
        line = np.c_[axis + lean * (y - cej), y] / pitch
        parts.append(_fine(shape, line, 1.2 / pitch, _plain_rod(line, mu, r0, taper, pitch), 2))
    return parts


def _plain_rod(line, mu, r0, taper, pitch):
    return lambda xx, yy: mu * _rod(xx, yy, line, lambda s: r0 + taper * s, pitch)


def _blob(c, r, bump, rng, pitch):
    k, phase = rng.integers(2, 6), rng.uniform(0, 6)

    def depth(xx, yy):
        angle = np.arctan2(yy - c[1], xx - c[0])
        rim = r / pitch * (1 + bump * np.cos(k * angle + phase))
        return MU["amalgam"] * 1.5 * (np.hypot(xx - c[0], yy - c[1]) < rim)

    return depth


_MAKERS = {"sphere": _sphere, "wire": _wire, "file": _file}
