"""What was done to or went wrong with the tooth, as parts laid over the sound one."""

from dataclasses import dataclass, replace

import numpy as np

from radmeasure.errors import InputError
from radmeasure.phantoms.jaw import cej_points
from radmeasure.phantoms.profile import Profile, tabulated
from radmeasure.phantoms.raycast import NOTHING, Part
from radmeasure.phantoms.solids import Both, Cylinder, Ellipsoid, Ledge, Tube
from radmeasure.phantoms.tooth_parts import edge_height, enamel_solids

FILE_TAPER = 0.02  # mm per mm over 16 mm, ISO 3630-1
_WORKING_MM = 16.0
_STOP_MM = (1.35, 1.3)  # radius and thickness of the stop (practice)
_POST_MATERIAL = {"fibre": "fibre_post", "titanium": "titanium", "steel": "steel"}


@dataclass(frozen=True)
class Placed:
    """Where an object lies along a canal; heights along the root's axis, mm.

    ``coronal`` and ``apical`` are its ends, negative above the CEJ.
    """

    root: str
    coronal: float
    apical: float


def main_root(shape, wanted, what):
    """The root an object lies in: the one named, else the tooth's first with a wide canal."""
    names = [root.name for root in shape.roots]
    if wanted is None:
        for name in ("distal", "palatal"):
            if name in names:
                return shape.root(name)
        return shape.roots[0]
    if wanted not in names:
        raise InputError(
            f"{what}.root is {wanted!r}, which tooth {shape.tooth.fdi} has not",
            f"its roots are: {', '.join(names)}",
        )
    return shape.root(wanted)


def reference_point(shape):
    """The coronal reference in tooth coordinates: incisal edge or highest cusp tip."""
    if shape.form["cusps"]:
        at_m, at_l, drop = min(shape.form["cusps"], key=lambda c: c[2])
        shift = float(shape.centre(np.float32(-0.8 * shape.crown_mm)))
        return np.array(
            [at_m * shape.crown_md / 2 + shift, at_l * shape.crown_bl / 2, drop - shape.crown_mm]
        )
    return np.array([0.0, 0.0, float(edge_height(shape)(np.float32(0.0)))])


def reference_height(tooth, root):
    """Height, along the root's axis carried on coronally, level with the coronal reference."""
    scene = tooth.frame.to_scene(reference_point(tooth.shape)[None])
    return float(tooth.root_frames[root.name].to_local(scene)[0, 2])


def remains(tooth, crown):
    """What is left of a crown broken down to its margins, or None when it is whole."""
    if crown.state != "lost":
        return None
    cej = cej_points(tooth)
    left = {}
    for side in ("mesial", "distal"):
        kept = getattr(crown.margin_mm, side) if crown.margin_mm else None
        left[side] = cej[side][2] - (1.0 if kept is None else kept)
    a, b = cej["mesial"][0], cej["distal"][0]
    rng = np.random.default_rng([7, round(1000 * abs(left["mesial"]))])
    waves = rng.uniform(1.5, 5.0, 6), rng.uniform(0, 6.3, 6), rng.uniform(0.03, 0.09, 6)

    def height(m):
        u = np.clip((m - b) / (a - b), 0, 1)
        rough = sum(z * np.sin(w * m + p) for w, p, z in zip(*waves))
        # The break is rough between the walls and meets each wall at its margin.
        window = np.clip(4 * u * (1 - u), 0, 1)
        return (
            left["distal"] + u * (left["mesial"] - left["distal"]) + rough * window + 0.35 * window
        )

    return Ledge(tooth.frame, tabulated(-9, 9, height, 0.02), lean=0.05)


def prepared(tooth, root, filling):
    """The canal tube widened by instruments: 5 % taper above the apical size (practice)."""
    tube = tooth.canal_tubes[root.name]
    grid = tube.half_md.grid
    own_md = np.sqrt(np.maximum(tube.half_md.values, 0))
    own_bl = own_md * tube.ratio.values
    file_half = filling.apical_size / 200 + 0.025 * np.clip(root.foramen_mm - 0.8 - grid, 0, 22)
    cut = (grid < root.foramen_mm - 0.5) & (tube.half_md.values > 0)
    md = np.where(cut, np.maximum(own_md, file_half), own_md)
    bl = np.where(cut, np.maximum(own_bl, file_half), own_bl)
    half2 = np.where(tube.half_md.values > 0, md**2, tube.half_md.values)
    ratio = np.where(tube.half_md.values > 0, bl / np.maximum(md, 1e-3), tube.ratio.values)
    start = tube.half_md.start
    return replace(tube, half_md=Profile(start, half2), ratio=Profile(start, ratio))


def _cut_tube(tube, low, high):
    """The stretch of a tube between two heights, ends square to its axis."""
    grid = tube.half_md.grid
    off = np.maximum(low - grid, grid - high)
    values = np.where(off > 0, -40 * off, np.maximum(tube.half_md.values, 1e-3))
    return replace(tube, half_md=Profile(tube.half_md.start, values), low=low, high=high)


def filling_ends(root, recipe, own):
    """Ends of a root filling along the root's axis."""
    short = recipe.short_mm if own.filling_short_mm is None else own.filling_short_mm
    start = recipe.from_mm if own.filling_from_mm is None else own.filling_from_mm
    coronal, apical = root.orifice_mm + start, root.foramen_mm - short
    if apical - coronal < 0.5:
        raise InputError(
            f"the filling of root {root.name} would be {apical - coronal:.1f} mm long",
            "give filling.short_mm or filling.from_mm smaller values",
        )
    return Placed(root.name, coronal, apical)


def filling_parts(tooth, root, recipe, placed, rng):
    tube = prepared(tooth, root, recipe)
    parts = [Part(_cut_tube(tube, placed.coronal, placed.apical), "guttapercha", sharp=True)]
    if placed.apical > root.foramen_mm:
        # Material pressed beyond the foramen: a blob around the end.
        frame = tooth.root_frames[root.name]
        size = max(0.35, (placed.apical - root.foramen_mm) / 2 + 0.15)
        m, li, d = tube.bend.place(0.0, 0.0, root.foramen_mm + size - 0.3)
        parts.append(
            Part(
                Ellipsoid(frame, (float(m), float(li), float(d)), (0.45, 0.45, size)),
                "guttapercha",
                True,
            )
        )
    if recipe.voids and placed.apical - placed.coronal < 2:
        raise InputError(
            f"the filling of the {root.name} root is shorter than 2 mm: it has no room for voids",
            "make filling.voids 0 or the filling longer",
        )
    for _ in range(recipe.voids):
        s = rng.uniform(placed.coronal + 1, placed.apical - 1)
        half = float(np.sqrt(tube.half_md(np.float32(s))))
        m, li, d = tube.bend.place(rng.uniform(-0.4, 0.4) * half, 0.0, s)
        long = rng.uniform(0.35, 0.8)
        centre = (float(m), float(li), float(d))
        solid = Ellipsoid(tooth.root_frames[root.name], centre, (0.45 * half, 1.1 * half, long))
        parts.append(Part(solid, "soft", True))
    return parts


def file_ends(tooth, root, recipe):
    """Tip and stop of a file along the root's axis; the stop lies above the crown."""
    reference = reference_height(tooth, root)
    if recipe.length_mm is None and recipe.short_mm is None:
        tip = root.foramen_mm - 1.0
        return Placed(root.name, reference, tip)
    if recipe.length_mm is None:
        return Placed(root.name, reference, root.foramen_mm - recipe.short_mm)
    if recipe.short_mm is None:
        stop = reference
        tip = stop + recipe.length_mm
    else:
        tip = root.foramen_mm - recipe.short_mm
        stop = tip - recipe.length_mm
    if tip > root.foramen_mm + 4.5:
        raise InputError(
            f"the file would end {tip - root.foramen_mm:.1f} mm beyond the apex",
            f"the canal is {root.foramen_mm - reference:.1f} mm long, give a shorter file",
        )
    return Placed(root.name, stop, tip)


def file_parts(tooth, root, recipe, placed):
    tip = placed.apical
    handle = placed.coronal - 6.0

    def half2(s):
        back = np.clip(tip - s, 0, _WORKING_MM)
        radius = recipe.size / 200 + FILE_TAPER / 2 * back
        end = np.where(s > tip, -20 * (s - tip), np.where(s < handle, -20 * (handle - s), 1))
        point = np.clip((tip - s) / 0.25, 0.15, 1)
        return np.where(end < 0, end, (radius * point) ** 2)

    frame = tooth.root_frames[root.name]
    profile = tabulated(handle - 1, tip + 1, half2)
    shaft = Tube(
        frame,
        profile,
        Profile(profile.start, np.ones(len(profile.values))),
        handle,
        tip,
        bend=root.bend,
    )
    radius, thick = _STOP_MM
    stop = Cylinder(frame, radius, placed.coronal - thick, placed.coronal)
    grip = Cylinder(frame, 1.6, handle - 9.0, handle + 0.6, 1.9)
    return [Part(stop, "rubber", True), Part(grip, "rubber", True), Part(shaft, "steel", True)]


def post_ends(tooth, root, recipe):
    return Placed(root.name, root.orifice_mm - recipe.height_mm, root.orifice_mm + recipe.depth_mm)


def post_parts(tooth, root, recipe, placed, filling_start):
    """Post, the cement around it, the gap below it and the core on top."""
    frame = tooth.root_frames[root.name]
    if placed.apical > root.bend.start_mm + 1.5:
        raise InputError(
            f"a post {recipe.depth_mm:g} mm deep would run into the bend of root {root.name}",
            f"the canal is straight for {root.bend.start_mm - root.orifice_mm:.1f} mm",
        )
    low = recipe.diameter_mm / 2
    high = low + recipe.taper_percent / 200 * (placed.apical - placed.coronal)
    parts = []
    if filling_start > placed.apical:
        parts.append(
            Part(
                Cylinder(frame, low + 0.06, placed.coronal, filling_start, high + 0.06),
                "soft",
                True,
            )
        )
    bed = Cylinder(frame, high + 0.07, root.orifice_mm - 0.5, placed.apical, low + 0.07)
    parts.append(Part(bed, "composite", True))
    post = Cylinder(frame, high, placed.coronal, placed.apical, low)
    parts.append(Part(post, _POST_MATERIAL[recipe.kind], True))
    return parts


def core_parts(tooth, root, recipe, kept):
    """A core of composite on the root face, tapering towards where the crown was."""
    shape = tooth.shape
    top = root.orifice_mm - recipe.height_mm - 1.0

    def half2(s):
        up = np.clip(-s / max(-top, 1.0), -1, 1)
        half = 0.86 * shape.cervix_md / 2 * (1 - 0.28 * np.maximum(up, 0))
        end = np.where(s < top, -6 * (top - s), np.where(s > 1.5, -6 * (s - 1.5), 1))
        round_off = np.clip((s - top) / 0.8, 0.02, 1) ** 0.5
        return np.where(end < 0, end, (half * round_off) ** 2)

    profile = tabulated(top - 2, 3.0, half2)
    ratio = Profile(
        profile.start, np.full(len(profile.values), 0.92 * shape.cervix_bl / shape.cervix_md)
    )
    return [Part(Tube(tooth.frame, profile, ratio, top, 1.5, square=0.2), "composite")]


def access_parts(tooth, root, state):
    """The way from the pulp chamber through the crown, open or filled with composite."""
    shape = tooth.shape
    front = not shape.form["cusps"]
    level = root.orifice_mm if front else 0.3
    top = -shape.crown_mm - 1 if (state == "opened" or not front) else -0.62 * shape.crown_mm
    radius = 0.1 * shape.crown_md + 0.2
    deep = radius if front else 0.13 * shape.crown_bl

    def half2(s):
        ends = np.minimum((s - top + 0.4) / 0.8, (level - s) / 0.8)
        return (radius * (1 - 0.02 * s)) ** 2 * np.clip(ends, -1, 1)

    profile = tabulated(top - 1, level + 1, half2)
    ratio = Profile(profile.start, np.full(len(profile.values), deep / radius))
    tube = Tube(tooth.frame, profile, ratio, top, level)
    if state == "opened":
        return [Part(tube, NOTHING)]
    return [Part(Both((tube, crown)), "composite") for crown in enamel_solids(tooth)]


def lesion_solid(tooth, root, recipe, half_width_mm):
    """An ellipsoid that holds the apex, a quarter of its height from the nearer pole.

    Its depth is not seen on a film; by default it is deeper than wide and thins
    the bony plates if it can, for a lesion in spongy bone alone hardly shows
    (Bender IB, J Endod 1982;8:161-170).
    """
    across = recipe.diameter_mm / 2
    along = (recipe.height_mm or recipe.diameter_mm) / 2
    deep = min(0.95 * half_width_mm, 1.6 * across)
    if recipe.depth_mm is not None:
        deep = recipe.depth_mm / 2
    frame = tooth.root_frames[root.name]
    inside = 0.5 * along
    m, li, d = root.bend.place(0.0, 0.0, root.length_mm + along - inside)
    return Ellipsoid(frame, (float(m), float(li), float(d)), (across, deep, along))


def caries_parts(tooth, recipe):
    """A decayed cavity at the contact area of one side."""
    shape = tooth.shape
    sign = 1 if recipe.side == "mesial" else -1
    s = -0.45 * shape.crown_mm
    half = float(shape.half(np.float32(s)) + shape.enamel(np.float32(-s)))
    wall = float(shape.centre(np.float32(s))) + sign * half
    centre = (wall, 0.0, s)
    size = (recipe.depth_mm, 0.3 * shape.crown_bl, recipe.height_mm / 2)
    return [Part(Both((Ellipsoid(tooth.frame, centre, size), tooth.cap)), "decayed")]
