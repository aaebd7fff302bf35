"""Solids of the model: each tells where a ray enters and leaves it.

A solid answers ``interval(rays)`` with two arrays (t_in, t_out), mm along the
ray; a ray that misses has t_in >= t_out. Solids are chosen so that a ray
crosses each at most once; teeth are built from several.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from radmeasure.phantoms.frame import STRAIGHT, Frame
from radmeasure.phantoms.profile import Profile

_FAR = np.float32(1e4)
_THIN_MM = np.float32(0.03)
_NEAR_MM2 = np.float32(0.2)  # misses closer than this are looked at again
_SEARCH_MM, _SEARCH_POINTS = 9.0, 33
_PROBE = np.float32(0.25)
_ACROSS_MM = np.float32(10.0)  # more than half the width of any jaw drawn, gum included


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


def _crossing(value, rays, half, bow, trust=0.05):
    """Interval on which ``value`` is negative along rays, for bodies met once.

    A parabola through three values gives the entry and the exit, a Newton step
    brings them onto the surface: exact for oval sections crossed squarely. Rays
    on which it does not settle (slanting, grazing, a waist) get a second
    parabola, and what still does not settle is searched.

    Parameters
    ----------
    value : callable
        Of local (m, li, s), mm; negative inside.
    rays : Rays
        In the body's frame.
    half : float
        Half the depth expected, mm.
    bow : float
        Least curvature of the value along a ray.
    trust : float
        Longest Newton step that is believed, mm.
    """
    start = -rays.point[1] / rays.direction[1]
    spread = np.full_like(start, half)
    t_in, t_out, settled, centre, spread = _parabola(value, rays, start, spread, bow, trust)
    left = np.flatnonzero(~settled)
    if left.size:
        again = rays.some(left)
        found = _parabola(value, again, centre[left], spread[left], bow, trust)
        t_in[left], t_out[left] = found[:2]
        left = left[~found[2]]
    if left.size:
        t_in[left], t_out[left] = _searched(value, rays.some(left), start[left], half)
    return t_in, t_out


def _parabola(value, rays, centre, half, bow, trust):
    """One parabola and one Newton step; where they settle, and a better start for the next."""
    low, mid, high = (value(*rays.at(t)) for t in (centre - half, centre, centre + half))
    a = np.maximum((low + high - 2 * mid) / (2 * half * half), np.float32(bow))
    b = (high - low) / (2 * half)
    disc = b * b - 4 * a * mid
    hit = disc > 0
    steep = np.sqrt(np.where(hit, disc, 0))
    reach = steep / (2 * a)
    vertex = centre + np.clip(-b / (2 * a), -3 * half, 3 * half)
    spread = np.clip(reach, _THIN_MM, 2 * half + _THIN_MM)
    # Least value the parabola reaches: far above zero the ray misses for certain.
    settled = ~hit & (mid - b * b / (4 * a) > _NEAR_MM2) & (low > 0) & (high > 0)
    t_in, t_out = np.full_like(centre, _FAR), np.full_like(centre, -_FAR)
    met = np.flatnonzero(hit)
    if met.size:
        some, up = rays.some(met), np.maximum(steep[met], np.float32(1e-6))
        enter, leave = vertex[met] - reach[met], vertex[met] + reach[met]
        in_step = value(*some.at(enter)) / up
        out_step = value(*some.at(leave)) / up
        settled[met] = np.maximum(np.abs(in_step), np.abs(out_step)) < trust
        t_in[met], t_out[met] = enter + in_step, leave - out_step
    return t_in, t_out, settled, vertex, spread


def _searched(value, rays, start, half):
    """First entry and last exit of each ray, by sampling and halving."""
    reach = np.clip(4 * half, 1.5, _SEARCH_MM)
    t = start + np.linspace(-reach, reach, _SEARCH_POINTS, dtype=np.float32)[:, None]
    point = tuple(p + t * v for p, v in zip(rays.point, rays.direction))
    inside = value(*point) < 0
    t_in, t_out = np.full(start.shape, _FAR), np.full(start.shape, -_FAR)
    met = np.flatnonzero(inside.any(axis=0))
    if not met.size:
        return t_in, t_out
    rays, t, inside = rays.some(met), t[:, met], inside[:, met]
    first = np.argmax(inside, axis=0)
    last = len(t) - 1 - np.argmax(inside[::-1], axis=0)
    step = np.float32(2 * reach / (_SEARCH_POINTS - 1))
    for ends, index, sign in ((t_in, first, 1), (t_out, last, -1)):
        inner = np.take_along_axis(t, index[None], axis=0)[0]
        outer = inner - sign * step
        for _ in range(13):
            middle = np.float32(0.5) * (inner + outer)
            within = value(*rays.at(middle)) < 0
            inner, outer = np.where(within, middle, inner), np.where(within, outer, middle)
        ends[met] = inner
    return t_in, t_out


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
        t_in = np.full(near.shape, _FAR)
        t_out = -t_in
        if near.any():
            deep, ratio, _ = self._reach
            some = local if near.all() else local.some(near)
            start = max(0.05, 0.6 * deep)
            t_in[near], t_out[near] = _crossing(self.value, some, start, 0.2 / ratio**2)
        return t_in, t_out

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
        middle = -local.point[1] / local.direction[1]
        if self.curve:
            return self._bowed(local, middle)
        here = self._value(*local.at(middle))
        slope = self._value(*local.at(middle + 2)) - self._value(*local.at(middle - 2))
        slope = slope * np.float32(0.25)
        # Where the surface is level with the ray its edge lies far off and does not matter.
        level = np.abs(here) > _SEARCH_MM * np.abs(slope)
        step = -here / np.where(level, 1, slope)
        edge = middle + np.where(level, 0, step)
        for _ in range(2):
            near = self._value(*local.at(edge))
            steep = self._value(*local.at(edge + _PROBE)) - self._value(*local.at(edge - _PROBE))
            steep = steep / (2 * _PROBE)
            sound = ~level & (steep * slope > 0)
            edge = edge - np.where(sound, np.clip(near / np.where(sound, steep, 1), -1, 1), 0)
        inside = here < 0
        low = np.where(level, np.where(inside, -_FAR, _FAR), np.where(slope > 0, -_FAR, edge))
        high = np.where(level, np.where(inside, _FAR, -_FAR), np.where(slope > 0, edge, _FAR))
        return low, high

    def _bowed(self, local, middle):
        """A crest across the jaw; rays that are in bone at both faces are so in between."""
        near, far = (self._value(*local.at(middle + end)) for end in (-_ACROSS_MM, _ACROSS_MM))
        edge = (near > 0) | (far > 0)
        low, high = np.full(middle.shape, -_FAR), np.full(middle.shape, _FAR)
        if edge.any():
            some = local if edge.all() else local.some(edge)
            found = _crossing(self._value, some, 3.0, 0.3 * self.curve, trust=0.25)
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
