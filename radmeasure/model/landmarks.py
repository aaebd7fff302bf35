"""Landmarks of one tooth on one film: the input of every reading.

Pixel convention: x right (column), y down (row), (0, 0) the centre of the
top-left pixel, floats at full film resolution.
"""

import math
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import ClassVar

from radmeasure.errors import InputError
from radmeasure.model.tooth import ROOT_NAMES, Tooth

TOOTH_POINTS = (
    "coronal_reference",
    "cej_mesial",
    "cej_distal",
    "crest_mesial",
    "crest_distal",
    "margin_mesial",
    "margin_distal",
)
ROOT_POINTS = (
    "apex",
    "foramen",
    "orifice",
    "file_stop",
    "file_tip",
    "filling_coronal",
    "filling_apical",
    "post_coronal",
    "post_apical",
)
ROOT_LINES = (
    "canal",
    "root_wall_mesial",
    "root_wall_distal",
    "canal_wall_mesial",
    "canal_wall_distal",
    "lesion",
)

# Values the clinician enters; (kind, lowest, highest) for numbers, a tuple of words otherwise.
GIVEN = MappingProxyType(
    {
        "file_length_mm": (float, 5.0, 60.0),
        "planned_crown_mm": (float, 1.0, 30.0),
        "stop_short_mm": (float, 0.0, 5.0),
        "technique": ("paralleling", "bisecting"),
        "cusps_lost": (int, 0, 5),
        "walls_left": (int, 0, 4),
        "age_years": (float, 1.0, 130.0),
        # found by sounding; otherwise the rulebook's
        "attachment_mm": (float, 0.5, 7.0),
    }
)


def _positive(value, entry):
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise InputError(f"{entry} is not a finite number: {value!r}", "give a number above 0")
    if value <= 0:
        raise InputError(f"{entry} is {value:g}", "give a number above 0")
    return float(value)


def point(value, entry):
    """Check one coordinate pair and return it as a tuple of floats.

    Raises
    ------
    InputError
        Not two finite numbers.
    """
    ok = (
        isinstance(value, list | tuple)
        and len(value) == 2
        and all(isinstance(c, int | float) and not isinstance(c, bool) for c in value)
        and all(math.isfinite(c) for c in value)
    )
    if not ok:
        raise InputError(f"{entry} is not two finite numbers: {value!r:.80}", "give [x, y] in px")
    return (float(value[0]), float(value[1]))


class _Checked(tuple):
    """Points that were checked before: an edit of one landmark need not check all lines again."""

    __slots__ = ()


def points(values, entry, at_least):
    """Check a list of coordinate pairs; at least ``at_least`` of them, not all coincident."""
    if type(values) is _Checked and len(values) >= at_least:
        return values
    if not isinstance(values, list | tuple):
        raise InputError(f"{entry} is not a list of points", "give [[x, y], ...] in px")
    found = _Checked(point(v, f"{entry}[{i}]") for i, v in enumerate(values))
    if len(found) < at_least:
        raise InputError(f"{entry} has {len(found)} point(s)", f"give at least {at_least}")
    if len(found) > 1 and all(math.dist(found[0], p) < 1e-6 for p in found[1:]):
        raise InputError(f"the points of {entry} coincide", "place them apart")
    return found


@dataclass(frozen=True)
class KnownLength:
    """An object of known length seen on the film: a file, a wire, a ruler.

    ``along`` is 'tooth' (lies in or along the canal), 'across' or 'free'.
    """

    length_mm: float
    u_mm: float
    points: tuple
    along: str = "free"

    def __post_init__(self):
        entry = "scale known_length"
        object.__setattr__(self, "length_mm", _positive(self.length_mm, f"{entry} length_mm"))
        object.__setattr__(self, "u_mm", _positive(self.u_mm, f"{entry} u_mm"))
        object.__setattr__(self, "points", points(self.points, f"{entry} points", 2))
        if self.along not in ("tooth", "across", "free"):
            raise InputError(f"{entry} along is {self.along!r}", "use 'tooth', 'across' or 'free'")


@dataclass(frozen=True)
class Sphere:
    """A ball of known diameter; ``points`` lie on its rim."""

    diameter_mm: float
    u_mm: float
    points: tuple

    def __post_init__(self):
        entry = "scale sphere"
        object.__setattr__(self, "diameter_mm", _positive(self.diameter_mm, f"{entry} diameter_mm"))
        object.__setattr__(self, "u_mm", _positive(self.u_mm, f"{entry} u_mm"))
        object.__setattr__(self, "points", points(self.points, f"{entry} points", 3))


@dataclass(frozen=True)
class Detector:
    """The receptor's own pitch divided by the magnification at the tooth."""

    mm_per_px: float
    magnification: float | None = None
    u_magnification: float | None = None

    def __post_init__(self):
        entry = "scale detector"
        object.__setattr__(self, "mm_per_px", _positive(self.mm_per_px, f"{entry} mm_per_px"))
        for key in ("magnification", "u_magnification"):
            value = getattr(self, key)
            if value is not None:
                object.__setattr__(self, key, _positive(value, f"{entry} {key}"))


ScaleEntry = KnownLength | Sphere | Detector


@dataclass(frozen=True)
class Root:
    """Points and lines of one root; lines run coronal -> apical."""

    points: MappingProxyType = field(default_factory=lambda: MappingProxyType({}))
    lines: MappingProxyType = field(default_factory=lambda: MappingProxyType({}))

    def __post_init__(self):
        object.__setattr__(self, "points", MappingProxyType(dict(self.points)))
        object.__setattr__(self, "lines", MappingProxyType(dict(self.lines)))


def _known(name, names, what):
    if name not in names:
        raise InputError(f"unknown {what} {name!r}", f"known: {', '.join(names)}")


@dataclass(frozen=True)
class Landmarks:
    """All that was placed and entered for one tooth on one film.

    Attributes
    ----------
    tooth : Tooth
    scale : tuple of KnownLength, Sphere or Detector
    points : mapping of name to (x, y) px
        Points of the tooth (:data:`TOOTH_POINTS`).
    roots : mapping of root name to Root
    u_px : mapping of landmark name to px
        Standard uncertainty of placement that overrides the rulebook; a key
        is a point or line name, or ``root.name`` for one root only.
    given : mapping
        Entered values (:data:`GIVEN`).
    confidence : mapping of landmark name to 0-1
        Written by suggest; not used by any reading.
    left_out : mapping of landmark name to reason
        Written by suggest: what it did not find and why.

    Raises
    ------
    InputError
        Names the entry that is wrong.
    """

    # A traced line needs two points; hints may hold a single rough one.
    line_at_least: ClassVar[int] = 2

    tooth: Tooth
    scale: tuple = ()
    points: MappingProxyType = field(default_factory=lambda: MappingProxyType({}))
    roots: MappingProxyType = field(default_factory=lambda: MappingProxyType({}))
    u_px: MappingProxyType = field(default_factory=lambda: MappingProxyType({}))
    given: MappingProxyType = field(default_factory=lambda: MappingProxyType({}))
    confidence: MappingProxyType = field(default_factory=lambda: MappingProxyType({}))
    left_out: MappingProxyType = field(default_factory=lambda: MappingProxyType({}))

    def __post_init__(self):
        put = object.__setattr__
        put(self, "scale", tuple(self.scale))
        placed = {}
        for name, value in self.points.items():
            _known(name, TOOTH_POINTS, "point")
            placed[name] = point(value, f"point {name}")
        put(self, "points", MappingProxyType(placed))
        roots = {}
        for root_name, root in self.roots.items():
            _known(root_name, ROOT_NAMES, "root")
            found = {}
            for name, value in root.points.items():
                _known(name, ROOT_POINTS, f"point of root {root_name}")
                found[name] = point(value, f"point {root_name}.{name}")
            lines = {}
            for name, value in root.lines.items():
                _known(name, ROOT_LINES, f"line of root {root_name}")
                least = 3 if name == "lesion" else self.line_at_least
                lines[name] = points(value, f"line {root_name}.{name}", least)
            roots[root_name] = Root(found, lines)
        put(self, "roots", MappingProxyType(roots))
        for name in self.u_px:
            _known(name.split(".")[-1], TOOTH_POINTS + ROOT_POINTS + ROOT_LINES, "u_px entry")
        put(
            self,
            "u_px",
            MappingProxyType({k: _positive(v, f"u_px {k}") for k, v in self.u_px.items()}),
        )
        put(self, "given", MappingProxyType({k: check_given(k, v) for k, v in self.given.items()}))
        put(self, "confidence", MappingProxyType(dict(self.confidence)))
        put(self, "left_out", MappingProxyType(dict(self.left_out)))

    # -- reading ---------------------------------------------------------
    def get(self, name, root=None):
        """Point or line ``name`` of the tooth or of ``root``; None when not placed."""
        if root is None:
            return self.points.get(name)
        found = self.roots.get(root)
        if found is None:
            return None
        return found.lines.get(name) if name in ROOT_LINES else found.points.get(name)

    def placed(self):
        """Yield (root or None, name, value) of every point and line."""
        for name, value in self.points.items():
            yield None, name, value
        for root_name, root in self.roots.items():
            for name, value in root.points.items():
                yield root_name, name, value
            for name, value in root.lines.items():
                yield root_name, name, value

    def stated_u_px(self, name, root=None):
        """Overriding placement uncertainty, or None for the rulebook's default."""
        return self.u_px.get(f"{root}.{name}", self.u_px.get(name))

    # -- editing: each returns new Landmarks ------------------------------
    def with_placed(self, name, value, root=None):
        """Place, move or (``value`` None) remove a point or line."""
        if root is None:
            return replace(self, points=_changed(self.points, name, value))
        old = self.roots.get(root, Root())
        if name in ROOT_LINES:
            new = Root(old.points, _changed(old.lines, name, value))
        else:
            new = Root(_changed(old.points, name, value), old.lines)
        return replace(self, roots=_changed(self.roots, root, new))

    def with_given(self, name, value):
        return replace(self, given=_changed(self.given, name, value))

    def with_scale(self, *entries):
        return replace(self, scale=entries)

    def with_u_px(self, name, value):
        return replace(self, u_px=_changed(self.u_px, name, value))

    def mapped(self, transform):
        """Every coordinate passed through ``transform((x, y)) -> (x, y)``."""
        roots = {
            name: Root(
                {k: transform(v) for k, v in root.points.items()},
                {k: tuple(map(transform, v)) for k, v in root.lines.items()},
            )
            for name, root in self.roots.items()
        }
        scale = tuple(
            entry
            if isinstance(entry, Detector)
            else replace(entry, points=tuple(map(transform, entry.points)))
            for entry in self.scale
        )
        placed = {k: transform(v) for k, v in self.points.items()}
        return replace(self, points=placed, roots=roots, scale=scale)


class Hints(Landmarks):
    """Rough clicks for suggest: as landmarks, but a canal may hold a single point."""

    line_at_least: ClassVar[int] = 1


def _changed(mapping, key, value):
    new = dict(mapping)
    if value is None:
        new.pop(key, None)
    else:
        new[key] = value
    return new


def check_given(name, value):
    """Check one entered value.

    Raises
    ------
    InputError
        Unknown name, wrong kind or out of range.
    """
    _known(name, tuple(GIVEN), "given value")
    rule = GIVEN[name]
    if isinstance(rule[0], str):
        if value not in rule:
            raise InputError(f"given {name} is {value!r}", f"use one of: {', '.join(rule)}")
        return value
    kind, low, high = rule
    number = isinstance(value, int | float) and not isinstance(value, bool)
    if not number or not math.isfinite(value) or (kind is int and value != int(value)):
        raise InputError(f"given {name} is {value!r}", f"give a number from {low} to {high}")
    if not low <= value <= high:
        raise InputError(
            f"given {name} is {value:g}, outside {low:g} to {high:g}", "check the entry"
        )
    return kind(value)
