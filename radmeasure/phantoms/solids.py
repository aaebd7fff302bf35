"""Solids of the model: each tells where a ray enters and leaves it.

A solid answers ``interval(rays)`` with two arrays (t_in, t_out), mm along the
ray; a ray that misses has t_in >= t_out. Solids are chosen so that a ray
crosses each at most once; teeth are built from several.
"""

from dataclasses import dataclass

import numpy as np

from radmeasure.phantoms.frame import STRAIGHT, Frame

_FAR = np.float32(1e4)
_THIN_MM = np.float32(0.03)


def _quadratic(a, b, c):
    """Interval on which ``a t² + b t + c < 0`` with ``a > 0``."""
    disc = b * b - 4 * a * c
    hit = disc > 0
    root = np.sqrt(np.where(hit, disc, 0))
    half = 0.5 / a
    return (
        np.where(hit, (-b - root) * half, _FAR),
        np.where(hit, (-b + root) * half, -_FAR),
    )


def _below(slope, value):
    """Interval on which ``slope t + value < 0``."""
    flat = np.abs(slope) < 1e-7
    t = -value / np.where(flat, np.float32(1), slope)
    t = np.clip(t, -_FAR, _FAR)
    inside = value < 0
    low = np.where(flat, np.where(inside, -_FAR, _FAR), np.where(slope > 0, -_FAR, t))
    high = np.where(flat, np.where(inside, _FAR, -_FAR), np.where(slope > 0, t, _FAR))
    return low, high


def _crossing(f, centre, half, bow, rounds=3):
    """Interval on which ``f(t) < 0``, for f near a parabola that opens upward.

    A parabola is laid through f at three points, its roots give the next three
    points; the last roots are the interval. Grazing rays keep a small spread,
    so the outline itself is found to a fraction of a micrometre. ``bow`` is the
    least curvature f can have; it keeps kinks of f from throwing the search off.
    """
    for _ in range(rounds):
        low, mid, high = f(centre - half), f(centre), f(centre + half)
        a = np.maximum((low + high - 2 * mid) / (2 * half * half), bow)
        b = (high - low) / (2 * half)
        disc = b * b - 4 * a * mid
        reach = np.sqrt(np.maximum(disc, 0)) / (2 * a)
        centre = centre + np.clip(-b / (2 * a), -3 * half, 3 * half)
        half = np.clip(reach, _THIN_MM, 2 * half + _THIN_MM)
    hit = (disc > 0) & (f(centre) < 0)
    return np.where(hit, centre - reach, _FAR), np.where(hit, centre + reach, -_FAR)


class Solid:
    """Base: subclasses give ``interval`` and ``outline_points`` (a box in scene mm)."""

    def interval(self, rays):
        raise NotImplementedError

    def crossed(self, rays):
        """``interval``, computed once per bundle of rays."""
        if id(self) not in rays.memo:
            rays.memo[id(self)] = self.interval(rays)
        return rays.memo[id(self)]

    def outline_points(self):
        """Scene points whose projections enclose the solid, or None when it has no bounds."""
        return None


@dataclass(frozen=True, eq=False)
class Tube(Solid):
    """A body around a (bent) axis with oval sections.

    Attributes
    ----------
    frame : Frame
    half_md, ratio : Profile
        Square of the half width mesiodistally, and half width buccolingually divided by it.
    centre_m, centre_l : Profile or None
        Centre of the section beside the axis.
    low, high : float
        Range of s that is used for the bounding box.
    bend : Bend or Straight
    square : float
        0 for ellipses, towards 1 for rounded rectangles.
    """

    frame: Frame
    half_md: object
    ratio: object
    low: float
    high: float
    centre_m: object = None
    centre_l: object = None
    bend: object = STRAIGHT
    square: float = 0.0

    def size2(self, m, li, s):
        """Square of the half width; falls below zero beyond the ends."""
        return self.half_md(s)

    def norm2(self, m, li, s):
        n = m if self.centre_m is None else m - self.centre_m(s)
        w = li if self.centre_l is None else li - self.centre_l(s)
        w = w / self.ratio(s)
        n2, w2 = n * n, w * w
        if not self.square:
            return n2 + w2
        k = np.float32(self.square)
        return (1 - k) * (n2 + w2) + k * np.sqrt(n2 * n2 + w2 * w2)

    def value(self, m, li, d):
        """Negative inside; local coordinates, mm."""
        m, li, s = self.bend.straighten(m, li, d)
        return self.norm2(m, li, s) - self.size2(m, li, s)

    def scene_value(self, points):
        m, li, d = self.frame.to_local(points).T
        return self.value(m, li, d)

    def interval(self, rays):
        local = self.frame.rays(rays)
        t0 = -local.point[1] / local.direction[1]
        s = np.linspace(self.low, self.high, 40, dtype=np.float32)
        deep, ratio = float(self._deep(s).max()), float(self.ratio(s).max())
        start = np.full_like(t0, max(0.05, 0.6 * deep))
        bow = np.float32(0.2 / ratio**2)
        return _crossing(lambda t: self.value(*local.at(t)), t0, start, bow)

    def _deep(self, s):
        return np.sqrt(np.maximum(self.half_md(s), 0)) * self.ratio(s)

    def outline_points(self):
        s = np.linspace(self.low, self.high, 60)
        s32 = s.astype(np.float32)
        a = np.sqrt(np.maximum(self.half_md(s32), 0)) + 0.05
        b = a * self.ratio(s32)
        cm = 0 if self.centre_m is None else self.centre_m(s32)
        cl = 0 if self.centre_l is None else self.centre_l(s32)
        found = []
        for im in (-1, 1):
            for il in (-1, 1):
                placed = self.bend.place(cm + im * a, cl + il * b, s)
                found.append(np.stack(placed, axis=1))
        return self.frame.to_scene(np.concatenate(found))


@dataclass(frozen=True, eq=False)
class EnamelCap(Tube):
    """The crown's outside: the dentine core and enamel that thins out at the CEJ.

    ``enamel`` gives its thickness by the distance coronal to the CEJ surface
    ``cej(m, li)``; ``half_md`` here is the dentine's half width, not squared.
    """

    enamel: object = None
    cej: object = None
    reach_extra: float = 1.6

    def size2(self, m, li, s):
        half = self.half_md(s) + self.enamel(self.cej(m, li) - s)
        return half * np.abs(half)

    def _deep(self, s):
        return self.half_md(s) * self.ratio(s)

    def outline_points(self):
        s = np.linspace(self.low, self.high, 20)
        s32 = s.astype(np.float32)
        a = self.half_md(s32) + self.reach_extra
        b = a * self.ratio(s32) + self.reach_extra
        c = 0 if self.centre_m is None else self.centre_m(s32)
        corners = [np.stack((c + i * a, j * b, s), axis=1) for i in (-1, 1) for j in (-1, 1)]
        return self.frame.to_scene(np.concatenate(corners))


@dataclass(frozen=True, eq=False)
class Ellipsoid(Solid):
    """An ellipsoid with half axes ``half`` = (m, li, s), mm, about local ``centre``."""

    frame: Frame
    centre: tuple
    half: tuple

    def interval(self, rays):
        local = self.frame.rays(rays)
        a = b = c = np.float32(0)
        for p, v, o, h in zip(local.point, local.direction, self.centre, self.half):
            q, w = (p - np.float32(o)) / np.float32(h), v / np.float32(h)
            a, b, c = a + w * w, b + 2 * q * w, c + q * q
        return _quadratic(a, b, c - 1)

    def outline_points(self):
        signs = np.array([[i, j, k] for i in (-1, 1) for j in (-1, 1) for k in (-1, 1)])
        return self.frame.to_scene(np.asarray(self.centre) + signs * np.asarray(self.half))


@dataclass(frozen=True, eq=False)
class Cylinder(Solid):
    """A round bar along s from ``low`` to ``high``; its half width may taper.

    ``radius`` at ``low``, ``radius_high`` at ``high``, mm.
    """

    frame: Frame
    radius: float
    low: float
    high: float
    radius_high: float | None = None

    def interval(self, rays):
        local = self.frame.rays(rays)
        (pm, pl, ps), (vm, vl, vs) = local.point, local.direction
        last = self.radius if self.radius_high is None else self.radius_high
        taper = np.float32((last - self.radius) / (self.high - self.low))
        r0 = np.float32(self.radius) + taper * (ps - np.float32(self.low))
        a = vm * vm + vl * vl - (taper * vs) ** 2
        b = 2 * (pm * vm + pl * vl - r0 * taper * vs)
        side = _quadratic(a, b, pm * pm + pl * pl - r0 * r0)
        top = _below(-vs, np.float32(self.low) - ps)
        end = _below(vs, ps - np.float32(self.high))
        return _meet(_meet(side, top), end)

    def outline_points(self):
        r = max(self.radius, self.radius_high or 0)
        corners = [
            [i * r, j * r, s] for i in (-1, 1) for j in (-1, 1) for s in (self.low, self.high)
        ]
        return self.frame.to_scene(corners)


@dataclass(frozen=True, eq=False)
class Cusp(Solid):
    """A paraboloid that opens apically: s > top + ((m - m0)/a)² + ((li - l0)/b)²."""

    frame: Frame
    at: tuple
    top: float
    width: tuple

    def interval(self, rays):
        local = self.frame.rays(rays)
        (pm, pl, ps), (vm, vl, vs) = local.point, local.direction
        qm, wm = (
            (pm - np.float32(self.at[0])) / np.float32(self.width[0]),
            vm / np.float32(self.width[0]),
        )
        ql, wl = (
            (pl - np.float32(self.at[1])) / np.float32(self.width[1]),
            vl / np.float32(self.width[1]),
        )
        a = np.maximum(wm * wm + wl * wl, np.float32(1e-6))
        b = 2 * (qm * wm + ql * wl) - vs
        return _quadratic(a, b, qm * qm + ql * ql + np.float32(self.top) - ps)


@dataclass(frozen=True, eq=False)
class Ledge(Solid):
    """All that lies apical to a surface: s > height(m) + curve l² + lean li.

    The surface of a bone crest, a broken crown, an incisal edge. With
    ``coronal`` the other side.
    """

    frame: Frame
    height: object
    curve: float = 0.0
    lean: float = 0.0
    coronal: bool = False

    def surface(self, m, li):
        return self.height(m) + np.float32(self.curve) * li * li + np.float32(self.lean) * li

    def interval(self, rays):
        local = self.frame.rays(rays)
        if self.curve:
            t0 = -local.point[1] / local.direction[1]
            half = np.full_like(t0, 3.0)
            bow = np.float32(0.3 * self.curve)
            return _crossing(lambda t: self._value(*local.at(t)), t0, half, bow, rounds=2)
        t = -local.point[1] / local.direction[1]
        for _ in range(2):
            here = self._value(*local.at(t))
            slope = self._value(*local.at(t + 1)) - self._value(*local.at(t - 1))
            slope *= np.float32(0.5)
            low, high = _below(slope, here)
            edge = np.where(np.abs(low) < _FAR, low, high)
            found = (
                np.where(np.abs(low) < _FAR, low + t, low),
                np.where(np.abs(high) < _FAR, high + t, high),
            )
            # Where the surface is level with the ray its edge lies far off: stay near the axis.
            t = t + np.where(np.abs(edge) < _FAR, np.clip(edge, -6, 6), 0)
        return found

    def _value(self, m, li, s):
        out = self.surface(m, li) - s
        return -out if self.coronal else out


@dataclass(frozen=True, eq=False)
class Slab(Solid):
    """All between two planes across ``li``: low < li < high."""

    frame: Frame
    low: float
    high: float

    def interval(self, rays):
        local = self.frame.rays(rays)
        near = (np.float32(self.low) - local.point[1]) / local.direction[1]
        far = (np.float32(self.high) - local.point[1]) / local.direction[1]
        return np.minimum(near, far), np.maximum(near, far)


def _meet(first, second):
    return np.maximum(first[0], second[0]), np.minimum(first[1], second[1])


@dataclass(frozen=True, eq=False)
class Both(Solid):
    """What all ``parts`` have in common; bounded by the first bounded part."""

    parts: tuple

    def interval(self, rays):
        found = self.parts[0].crossed(rays)
        for part in self.parts[1:]:
            found = _meet(found, part.crossed(rays))
        return found

    def outline_points(self):
        for part in self.parts:
            points = part.outline_points()
            if points is not None:
                return points
        return None
