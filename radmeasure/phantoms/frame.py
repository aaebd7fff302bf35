"""Rigid frames of teeth and roots, the rays seen in them, and the bend of a root."""

import math
from dataclasses import dataclass, field

import numpy as np


@dataclass(frozen=True, eq=False)
class Rays:
    """Straight rays: ``point + t * direction``, ``t`` in mm.

    Attributes
    ----------
    point, direction : tuple of three ndarrays, shape (n,), float32
        Directions have unit length, so ``t`` means the same in every frame.
    memo : dict
        What solids already know of these rays.
    """

    point: tuple
    direction: tuple
    memo: dict = field(default_factory=dict, repr=False, compare=False)

    def some(self, which):
        """Those rays for which the mask ``which`` is true."""
        return Rays(tuple(p[which] for p in self.point), tuple(v[which] for v in self.direction))

    def at(self, t):
        return tuple(p + t * v for p, v in zip(self.point, self.direction))


@dataclass(frozen=True, eq=False)
class Frame:
    """A rigid frame: ``local = axes @ (scene - origin)``.

    Attributes
    ----------
    origin : ndarray, shape (3,)
        Origin in scene coordinates, mm.
    axes : ndarray, shape (3, 3)
        Unit vectors of m, li and s in scene coordinates, one a row.
    """

    origin: np.ndarray
    axes: np.ndarray

    def to_scene(self, points):
        """Scene coordinates of local ``points``, shape (n, 3)."""
        return np.asarray(points, float) @ self.axes + self.origin

    def to_local(self, points):
        return (np.asarray(points, float) - self.origin) @ self.axes.T

    def rays(self, rays):
        """The same rays in this frame."""
        axes = self.axes.astype(np.float32)
        shift = (self.axes @ self.origin).astype(np.float32)
        px, py, pd = rays.point
        vx, vy, vd = rays.direction
        point = tuple(a[0] * px + a[1] * py + a[2] * pd - o for a, o in zip(axes, shift))
        direction = tuple(a[0] * vx + a[1] * vy + a[2] * vd for a in axes)
        return Rays(point, direction)

    def moved(self, at, lean_m_deg=0.0, lean_l_deg=0.0):
        """A frame at local ``at`` whose s axis leans mesially and lingually, degrees."""
        a, b = np.radians(lean_m_deg), np.radians(lean_l_deg)
        turn_m = np.array([[np.cos(a), 0, -np.sin(a)], [0, 1, 0], [np.sin(a), 0, np.cos(a)]])
        turn_l = np.array([[1, 0, 0], [0, np.cos(b), -np.sin(b)], [0, np.sin(b), np.cos(b)]])
        origin = self.to_scene(np.asarray(at, float)[None])[0]
        return Frame(origin, turn_m @ turn_l @ self.axes)


def _angle(x, y, length):
    """Angle of (x, y) from the x axis, rad, for angles up to a right angle.

    Halved twice, then a series (error below 2e-7). Only basic arithmetic, so
    that every processor gives the same bits.
    """
    half = y / np.maximum(length + x, np.float32(1e-6))
    t = half / (1 + np.sqrt(1 + half * half))
    t2 = t * t
    series = 1 - t2 * (1 / 3 - t2 * (1 / 5 - t2 * (1 / 7 - t2 * (1 / 9 - t2 / 11))))
    return 4 * t * series


@dataclass(frozen=True)
class Bend:
    """A straight axis that goes over into one circular arc and leaves it straight.

    ``straighten`` maps a point beside the bent axis to coordinates in which the
    axis is straight (s is the length along it), ``place`` maps back. Exact for
    points nearer to the axis than the radius.

    Attributes
    ----------
    start_mm : float
        Where the arc begins, along s.
    radius_mm : float
    angle_deg : float
        Angle of the whole arc (Pruett's angle; Pruett et al., J Endod 1997;23:77-85).
    azimuth_deg : float
        Direction of the bend: 0 mesial, 90 lingual, 180 distal.
    """

    start_mm: float
    radius_mm: float
    angle_deg: float
    azimuth_deg: float = 180.0
    _turn: tuple = field(init=False, repr=False)

    def __post_init__(self):
        # Plain floats: a numpy one would widen the rays' single precision.
        for name in ("start_mm", "radius_mm", "angle_deg"):
            object.__setattr__(self, name, float(getattr(self, name)))
        a = math.radians(self.azimuth_deg)
        object.__setattr__(self, "_turn", (math.cos(a), math.sin(a)))

    @property
    def arc_mm(self):
        return self.radius_mm * np.radians(self.angle_deg)

    def straighten(self, m, li, d):
        """(m, li, d) beside the bent axis -> (m, li, s) beside the straight one."""
        bent = d > self.start_mm
        if not np.any(bent):
            return m, li, d
        c, k = self._turn
        along, beside = (m, li) if k == 0 and c == 1 else (m * c + li * k, li * c - m * k)
        r, end = self.radius_mm, math.radians(self.angle_deg)
        dx, dd = r - along, d - self.start_mm
        out = np.sqrt(dx * dx + dd * dd)
        # Beyond the arc's end the axis runs straight on.
        ce, se = math.cos(end), math.sin(end)
        past = dd * ce - dx * se
        beyond = past > 0
        new = r - np.where(beyond, dx * ce + dd * se, out)
        turned = np.where(beyond, end, _angle(dx, dd, out))
        s = self.start_mm + r * turned + np.where(beyond, past, 0)
        new, s = np.where(bent, new, along), np.where(bent, s, d)
        new, s = new.astype(m.dtype), s.astype(m.dtype)
        return new * c - beside * k, new * k + beside * c, s

    def place(self, m, li, s):
        """(m, li, s) beside the straight axis -> (m, li, d) beside the bent one."""
        m, li, s = (np.asarray(x, float) for x in (m, li, s))
        c, k = self._turn
        along, beside = m * c + li * k, li * c - m * k
        r, end = self.radius_mm, math.radians(self.angle_deg)
        angle = np.clip((s - self.start_mm) / r, 0.0, end)
        beyond = np.maximum(s - self.start_mm - r * end, 0.0)
        bent = s > self.start_mm
        out = r - along
        new = np.where(bent, r - out * np.cos(angle) + beyond * np.sin(angle), along)
        d = np.where(bent, self.start_mm + out * np.sin(angle) + beyond * np.cos(angle), s)
        return new * c - beside * k, new * k + beside * c, d


class Straight:
    """A root without a bend."""

    start_mm, radius_mm, angle_deg, azimuth_deg, arc_mm = np.inf, np.inf, 0.0, 180.0, 0.0

    def straighten(self, m, li, d):
        return m, li, d

    def place(self, m, li, s):
        return np.asarray(m, float), np.asarray(li, float), np.asarray(s, float)


STRAIGHT = Straight()
