"""One root at a time: from clicks to outline, centre line, apex and walls."""

from dataclasses import dataclass

import numpy as np

from radmeasure.model.landmarks import Detector, KnownLength
from radmeasure.tracing import chain, outline
from radmeasure.tracing.canal import canal_frame
from radmeasure.tracing.levels import level_frame
from radmeasure.tracing.profiles import STEP
from radmeasure.tracing.proportions import usual
from radmeasure.tracing.rays import Rays, resample, unit
from radmeasure.tracing.rough import Guide, rough_root, usual_half_width, wall_evidence
from radmeasure.tracing.scene import nominal_unit_px, prepared

# Distance of the furcation from the cervical line, nominal mm (Dunlap & Gher 1985 and
# Gher & Dunlap 1985, memory: about 4 mm); the search of a root starts there.
TRUNK = 4.0
# Where canals leave the trunk, as a share of its half-width towards mesial (own films,
# derived); of other roots in its middle.
LEAVE = {"mesial": 0.5, "distal": -0.5, "mesiobuccal": 0.5, "distobuccal": -0.5}
# A tooth shorter than its root and this share of its crown has lost the crown.
LOST = 0.55
NEAR = 0.12  # clicks less apart than this share of the tooth's length do not tell its sides
EXTENSION = 9.0  # nominal mm a tooth wall is followed above a root's furcation


@dataclass(frozen=True, eq=False)
class RootTrace:
    """What was traced of one root, film px.

    Attributes
    ----------
    outline : Outline
    middle : tuple of (line, half-widths in nominal mm)
    apex : ndarray, shape (2,)
    u_apex, apex_share : float
        Deviation of the apex, px, and share of the probability near it.
    trust : float
        1, or less when it ends farther from its click than clicks usually are off.
    hidden : bool
        It lies behind two other roots, so its own walls cannot be told apart.
    walls : mapping of 'mesial' and 'distal' to LevelFrame
        Walls that belong to the outside of the tooth.
    """

    outline: object
    middle: tuple
    apex: np.ndarray
    u_apex: float
    apex_share: float
    walls: dict
    canal_frame: object
    mesial: int
    trust: float
    hidden: bool

    def outer_line(self, side):
        """Wall of that side, coronal to apical, film px."""
        return self.outline.wall(self.mesial if side == "mesial" else -self.mesial)[0]


def tooth_axis(coronal, apices):
    """Unit vector coronal -> apical of the tooth.

    The line from the reference to the middle of the apices leans when the reference is a
    cusp tip; the square to the line through the apices leans when roots differ in length.
    Weighted by how far each usually errs.
    """
    coronal, apices = np.asarray(coronal, float), np.atleast_2d(apices)
    direct = unit(apices.mean(axis=0) - coronal)
    if len(apices) < 2:
        return direct
    span = apices[-1] - apices[0]
    if len(apices) > 2:
        gaps = np.linalg.norm(apices[:, None] - apices[None], axis=-1)
        i, j = np.unravel_index(gaps.argmax(), gaps.shape)
        span = apices[j] - apices[i]
    square = unit([-span[1], span[0]])
    square = square if square @ direct > 0 else -square
    # Reference off by 2.2 mm over 21 mm; root lengths differ by 1.4 mm over the span.
    length = np.linalg.norm(apices.mean(axis=0) - coronal)
    weight = (2.2 / 21.0) ** -2, (1.4 / 21.0 * length / max(np.linalg.norm(span), 1e-6)) ** -2
    return unit(weight[0] * direct + weight[1] * square)


def mesial_side(hints):
    """+1 when mesial is the left-hand normal (-ty, tx) of the coronal -> apical direction.

    A film mounted as the patient is faced has mesial there for the upper right and the
    lower left; clicks that name a side overrule this, so a mirrored film works too.
    """
    expected = 1 if hints.tooth.upper == hints.tooth.right else -1
    pair = _sided_pair(hints)
    if pair is None:
        return expected
    coronal, clicks = hints.points["coronal_reference"], list(apex_clicks(hints).values())
    axis = tooth_axis(coronal, clicks)
    apart = np.array([-axis[1], axis[0]]) @ np.subtract(*pair)
    length = np.mean([np.linalg.norm(click - coronal) for click in clicks])
    if abs(apart) < NEAR * length:
        return expected
    return 1 if apart > 0 else -1


def _sided_pair(hints):
    """A (mesial, distal) pair of clicked points, or None."""
    apices = apex_clicks(hints)
    for names in (("mesial", "distal"), ("mesiobuccal", "distobuccal")):
        if all(name in apices for name in names):
            return apices[names[0]], apices[names[1]]
    for kind in ("cej", "crest", "margin"):
        pair = [hints.points.get(f"{kind}_{side}") for side in ("mesial", "distal")]
        if all(p is not None for p in pair):
            return tuple(map(np.array, pair))
    return None


def apex_clicks(hints):
    """Clicked apices by root name."""
    return {
        name: np.array(root.points["apex"])
        for name, root in hints.roots.items()
        if "apex" in root.points
    }


@dataclass(frozen=True, eq=False)
class ToothTrace:
    """Everything traced of one tooth.

    Attributes
    ----------
    scene : Scene
    roots : mapping of root name to RootTrace
    coronal : ndarray, shape (2,)
        Rough coronal end, film px.
    axis : ndarray, shape (2,)
        Unit vector coronal -> apical.
    mesial : int
        +1 when mesial is the left-hand normal of the axis.
    length : float
        Coronal click to the apices along the axis, nominal mm.
    crown_lost : bool
        The tooth is far shorter than such a tooth with its crown.
    """

    scene: object
    roots: dict
    coronal: np.ndarray
    axis: np.ndarray
    mesial: int
    length: float
    crown_lost: bool


def known_pixel_mm(hints):
    """Pixel size from a reference the hints carry, or None."""
    for entry in hints.scale:
        if isinstance(entry, KnownLength):
            return entry.length_mm / np.linalg.norm(np.subtract(entry.points[0], entry.points[-1]))
        if isinstance(entry, Detector):
            return entry.mm_per_px / (entry.magnification or 1.05)
        rim = np.array(entry.points)
        radius = np.linalg.norm(rim - rim.mean(axis=0), axis=1).mean()
        if len(rim) >= 6:
            return entry.diameter_mm / (2.0 * radius)
    return None


def trace_tooth(pixels, hints, pixel_mm=None):
    """Trace every clicked root of a tooth; returns a ToothTrace."""
    coronal = np.array(hints.points["coronal_reference"])
    apices = apex_clicks(hints)
    proportions = usual(hints.tooth)
    clicks = list(apices.values())
    length_px = np.mean([np.linalg.norm(a - coronal) for a in clicks])
    pixel_mm = pixel_mm or known_pixel_mm(hints)
    unit_px = nominal_unit_px(np.shape(pixels), hints.tooth, length_px, pixel_mm)
    length = length_px / unit_px
    lost = length < proportions.root + LOST * proportions.crown
    scene = prepared(pixels, coronal, clicks, unit_px)
    axis = tooth_axis(coronal, clicks)
    side = mesial_side(hints)
    outer = _outer_sides(apices, side * np.array([-axis[1], axis[0]]) / unit_px)
    traces = {}
    branch = any(name != "single" for name in apices)
    starts = _starts(scene, coronal, axis, apices, proportions, side) if branch else {}
    for name, apex in apices.items():
        start = starts.get(name, coronal + (0.4 if lost else 1.5) * unit_px * axis)
        own = proportions.branch() if branch else proportions
        through = tuple(np.array(p) for p in hints.roots[name].lines.get("canal", ()))
        others = tuple((starts.get(key, tip), tip) for key, tip in apices.items() if key != name)
        guide = Guide(through, others)
        hidden = len(apices) > 2 and not outer[name]
        traces[name] = _traced(scene, start, apex, own, guide, side, outer[name], hidden)
    return ToothTrace(scene, traces, coronal, axis, side, length, lost)


def _starts(scene, coronal, axis, apices, proportions, side):
    """Where each root leaves the trunk, film px: the trunk is traced first, as one thick root."""
    unit_px = scene.unit_px
    tip = np.mean(list(apices.values()), axis=0)
    length = (tip - coronal) @ axis / unit_px
    neck = max(length - proportions.root, 0.5)
    top = coronal + max(neck - 2.0, 0.0) * unit_px * axis
    tip = coronal + length * unit_px * axis
    part = rough_root(scene, top, tip, proportions, short_of_tip=length - neck - TRUNK)
    middle, half = part.centre[-8:].mean(axis=0), part.half_width[-8:].mean()
    mesial = side * np.array([-axis[1], axis[0]])
    level = coronal + (neck + TRUNK) * unit_px * axis
    middle = middle + ((level - middle) @ axis) * axis
    return {name: middle + LEAVE.get(name, 0.0) * half * unit_px * mesial for name in apices}


def _outer_sides(apices, towards_mesial):
    """Sides of the tooth each root's own wall belongs to, by root name.

    ``towards_mesial`` is a film direction, per nominal mm.
    """

    def mesial(name):  # where the root leaves counts as well: ends may lie side by side
        return apices[name] @ towards_mesial + 4.0 * LEAVE.get(name, 0.0)

    order = sorted(apices, key=lambda name: -mesial(name))
    sides = {}
    for name in apices:
        if name == "single":
            sides[name] = ("mesial", "distal")
        elif len(apices) > 1:
            ends = (("mesial", order[0]), ("distal", order[-1]))
            sides[name] = tuple(label for label, last in ends if last == name)
        else:
            sides[name] = tuple(label for label in ("mesial", "distal") if name.startswith(label))
    return sides


def _traced(scene, start, apex, proportions, guide, side, outer, hidden):
    extend = len(outer) < 2
    rough = rough_root(scene, start, apex, proportions, guide)
    shape = outline.trace(scene, rough.centre, rough.half_width, apex, 1.0)
    first = outline.tip(shape)[0]
    shape = outline.trace(scene, *outline.middle(shape), first)
    point, u_apex, apex_share = outline.tip(shape)
    trust = trust_of(np.linalg.norm(point - apex) / scene.unit_px)
    if trust < 0.5:  # another root's end, or a lesion's rim
        point = apex
    walls = {}
    for sign, label in ((side, "mesial"), (-side, "distal")):
        if label in outer:
            line = shape.wall(sign)[0]
            if extend:
                line = np.vstack([extended(scene, line, sign), line])
            walls[label] = level_frame(line, sign, scene.unit_px)
    middle = outline.middle(shape)
    if hidden:
        # Its walls lie behind the other roots; the canal is sought about the straight line.
        line = resample(np.vstack([start, point]), 0.2 * scene.unit_px)
        from_tip = np.linalg.norm(line - point, axis=1) / scene.unit_px
        middle = line[:-3], 1.3 * usual_half_width(from_tip, proportions)[:-3]
    frame = canal_frame(*middle, point, scene.unit_px, above=3.0 if extend else 0.0)
    return RootTrace(shape, middle, point, u_apex, apex_share, walls, frame, side, trust, hidden)


def trust_of(away_mm):
    """How far to trust what was found ``away_mm`` from a click on it, 0 to 1.

    Rough clicks are off by 0.7 mm standard deviation in either direction: one in eight by
    more than 1.4 mm, one in sixty by more than 2 mm (derived).
    """
    return float(np.exp(-((max(away_mm - 1.4, 0.0) / 0.6) ** 2)))


def extended(scene, wall, sign):
    """Wall of the tooth above the furcation, followed from the root's wall upwards."""
    step = 0.2 * scene.unit_px
    count = round(EXTENSION / 0.2)
    top = wall[: max(6, round(3.0 / 0.2))]
    direction = unit(top[0] - top[-1])
    origin = wall[0] + direction * step * np.arange(1, count + 1)[:, None]
    outward = sign * np.array([direction[1], -direction[0]])
    radius = np.arange(-50, 51) * STEP
    rays = Rays(origin, np.broadcast_to(outward, origin.shape), radius, scene.unit_px)
    score = wall_evidence(rays, scene.film, np.full(count, 9.0), 0.7)
    score -= score.max(axis=1, keepdims=True)
    score -= np.log(np.exp(score).sum(axis=1, keepdims=True))
    start = -0.5 * (radius / 0.15) ** 2
    score = np.vstack([start, 0.5 * np.maximum(score, -14.0)])
    path = chain.best_path(score, chain.step_penalty(8, 1.4))[1:]
    return rays.curve(radius[path])[::-1]
