"""Solids of the model: each tells where a ray enters and leaves it.

A solid answers ``interval(rays)`` with two arrays (t_in, t_out), mm along the
ray; a ray that misses has t_in >= t_out. Solids are chosen so that a ray
crosses each at most once; teeth are built from several.
"""

from abc import ABC, abstractmethod
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from radmeasure.phantoms.crossing import FAR, SEARCH_MM, below, crossing, quadratic
from radmeasure.phantoms.frame import STRAIGHT, Frame
from radmeasure.phantoms.profile import Profile

_PROBE = np.float32(0.25)
_ACROSS_MM = np.float32(10.0)  # more than half the width of any jaw drawn, gum included


class Solid(ABC):
    """Base: subclasses give ``interval`` and ``outline_points`` (a box in scene mm)."""

    @abstractmethod
    def interval(self, rays):
        """(t_in, t_out) of every ray, mm; t_in >= t_out where it misses."""

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
    square : float or Profile
        0 for ellipses, towards 1 for rounded rectangles; a profile gives it along s.
    """

    frame: Frame
    half_md: object
    ratio: object
    low: float
    high: float
    centre_m: object = None
    centre_l: object = None
    bend: object = STRAIGHT
    square: object = 0.0

    @cached_property
    def _table(self):
        """Half width (squared), one over the ratio, and centres, side by side."""
        grid = self.half_md.grid
        zero = np.zeros_like(grid)
        centres = [zero if c is None else c(grid) for c in (self.centre_m, self.centre_l)]
        rows = np.stack((self.half_md.values, 1 / self.ratio(grid), *centres))
        return Profile(self.half_md.start, rows, self.half_md.step)

    def section(self, s):
        """Half width (squared), one over the ratio, centre m and li at heights s."""
        return self._table(s)

    def size2(self, m, li, s, half):
        """Square of the half width; falls below zero beyond the ends."""
        return half

    def norm2(self, m, li, s, section):
        _, narrow, cm, cl = section
        n2, w2 = (m - cm) ** 2, ((li - cl) * narrow) ** 2
        if not self.square:
            return n2 + w2
        k = self.square(s) if callable(self.square) else np.float32(self.square)
        return (1 - k) * (n2 + w2) + k * np.sqrt(n2 * n2 + w2 * w2)

    def value(self, m, li, d):
        """Negative inside; local coordinates, mm."""
        m, li, s = self.bend.straighten(m, li, d)
        section = self.section(s)
        return self.norm2(m, li, s, section) - self.size2(m, li, s, section[0])

    def scene_value(self, points):
        m, li, d = self.frame.to_local(points).T
        return self.value(m, li, d)

    def interval(self, rays):
        local = self.frame.rays(rays)
        near = self._near(local)
        t_in = np.full(near.shape, FAR)
        t_out = -t_in
        if near.any():
            deep, ratio, _ = self._reach
            some = local if near.all() else local.some(near)
            start = max(0.05, 0.6 * deep)
            middle = self._middle(some, deep)
            found = crossing(self.value, some, start, 0.2 / ratio**2, middle=middle)
            t_in[near], t_out[near] = found
        return t_in, t_out

    def _middle(self, local, deep):
        """li of the axis where each ray passes; 0 for a body that never leaves its plane."""
        s = np.linspace(self.low, self.high, 60, dtype=np.float32)
        zero = np.zeros_like(s)
        _, li, d = self.bend.place(zero, zero, s)
        if np.abs(li).max() <= deep:
            return 0
        middle = np.zeros_like(local.point[1])
        for _ in range(3):
            t = (middle - local.point[1]) / local.direction[1]
            middle = np.interp(local.point[2] + t * local.direction[2], d, li).astype(np.float32)
        return middle

    @cached_property
    def _reach(self):
        """Greatest depth and ratio, and the box (low, high) of the body; local mm."""
        s = np.linspace(self.low, self.high, 40, dtype=np.float32)
        box = self.frame.to_local(self.outline_points())
        bounds = box.min(axis=0).astype(np.float32), box.max(axis=0).astype(np.float32)
        return float(self._deep(s).max()), float(self.ratio(s).max()), bounds

    def _near(self, local):
        """Rays that pass the body's box, its depth allowed for."""
        _, _, (low, high) = self._reach
        t = -local.point[1] / local.direction[1]
        deep = np.maximum(-low[1], high[1]) / np.abs(local.direction[1])
        near = np.ones(t.shape, bool)
        for axis in (0, 2):
            at = local.point[axis] + t * local.direction[axis]
            slack = deep * np.abs(local.direction[axis])
            near &= (at > low[axis] - slack) & (at < high[axis] + slack)
        return near

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

    def size2(self, m, li, s, half):
        half = half + self.enamel(self.cej(m, li) - s)
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
        return quadratic(a, b, c - 1)

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
        side = quadratic(a, b, pm * pm + pl * pl - r0 * r0)
        top = below(-vs, np.float32(self.low) - ps)
        end = below(vs, ps - np.float32(self.high))
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
        return quadratic(a, b, qm * qm + ql * ql + np.float32(self.top) - ps)


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
        middle = -local.point[1] / local.direction[1]
        if self.curve:
            return self._bowed(local, middle)
        here = self._value(*local.at(middle))
        slope = self._value(*local.at(middle + 2)) - self._value(*local.at(middle - 2))
        slope = slope * np.float32(0.25)
        # Where the surface is level with the ray its edge lies far off and does not matter.
        level = np.abs(here) > SEARCH_MM * np.abs(slope)
        step = -here / np.where(level, 1, slope)
        edge = middle + np.where(level, 0, step)
        for _ in range(2):
            near = self._value(*local.at(edge))
            steep = self._value(*local.at(edge + _PROBE)) - self._value(*local.at(edge - _PROBE))
            steep = steep / (2 * _PROBE)
            sound = ~level & (steep * slope > 0)
            edge = edge - np.where(sound, np.clip(near / np.where(sound, steep, 1), -1, 1), 0)
        inside = here < 0
        low = np.where(level, np.where(inside, -FAR, FAR), np.where(slope > 0, -FAR, edge))
        high = np.where(level, np.where(inside, FAR, -FAR), np.where(slope > 0, edge, FAR))
        return low, high

    def _bowed(self, local, middle):
        """A crest across the jaw; rays that are in bone at both faces are so in between."""
        near, far = (self._value(*local.at(middle + end)) for end in (-_ACROSS_MM, _ACROSS_MM))
        edge = (near > 0) | (far > 0)
        low, high = np.full(middle.shape, -FAR), np.full(middle.shape, FAR)
        if edge.any():
            some = local if edge.all() else local.some(edge)
            found = crossing(self._value, some, 3.0, 0.3 * self.curve, trust=0.25)
            low[edge], high[edge] = found
        return low, high

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
