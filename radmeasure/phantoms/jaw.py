"""The jaw around the tooth: neighbours, bone crest, plates, gum."""

from dataclasses import dataclass

import numpy as np

from radmeasure.model.recipe import Size
from radmeasure.model.tooth import Tooth
from radmeasure.phantoms import tooth_parts, tooth_shape
from radmeasure.phantoms.frame import Frame
from radmeasure.phantoms.profile import Profile, through
from radmeasure.phantoms.solids import Both, Ledge, Slab


@dataclass(frozen=True)
class Jaw:
    """Bone and gum around a row of teeth.

    Attributes
    ----------
    frame : Frame
        m along the arch, li lingual, s apical; origin at the tooth's CEJ.
    teeth : tuple of Tooth3D
        The tooth itself first.
    bone, spongiosa, gum : Solid
    crest : Ledge
        Surface of the bone crest.
    half_width_mm, plate_mm : float
        Half the width of the alveolar process, thickness of its plates.
    normal_crest_mm : float
        CEJ to crest where the recipe says nothing.
    ligament_mm : float
        Between root and bone.
    """

    frame: Frame
    teeth: tuple
    bone: object
    spongiosa: object
    gum: object
    crest: Ledge
    half_width_mm: float
    plate_mm: float
    normal_crest_mm: float
    ligament_mm: float


def jaw_frame(tooth):
    """Frame of the jaw in the scene for a tooth seen from the front."""
    axes = np.array([[tooth.mesial_sign, 0, 0], [0, 0, 1], [0, tooth.apical_sign, 0]], float)
    return Frame(np.zeros(3), axes)


def neighbour(tooth, steps):
    """The tooth ``steps`` further distal (positive) or mesial, across the midline if need be."""
    place = tooth.position + steps
    if place >= 1:
        return Tooth(f"{tooth.quadrant}{place}") if place <= 8 else None
    other = {1: 2, 2: 1, 3: 4, 4: 3}[tooth.quadrant]
    return Tooth(f"{other}{1 - place}") if 1 - place <= 8 else None


def place_row(tooth, shape, anatomy, tip_deg, reach_mm, rng, with_neighbours=True):
    """The tooth and its neighbours as far as ``reach_mm`` to both sides.

    Returns
    -------
    list of (Tooth3D, float)
        Each tooth and +1 when its mesial side faces the jaw's +m, else -1.
    """
    base = jaw_frame(tooth)
    placed = [(tooth_parts.place(shape, base.moved((0, 0, 0), tip_deg, 0.0)), 1)]
    if not with_neighbours:
        return placed
    for side in (1, -1):
        at, last = 0.0, shape
        for step in range(1, 6):
            # Draw before any test, so one tooth's fate never moves another's numbers.
            tip, lean, lift, size = rng.uniform(-1, 1, 4)
            found = neighbour(tooth, -step * side)
            if found is None or abs(at) > reach_mm:
                break
            wanted = Size(root_mm=anatomy["tooth"][found.jaw_type]["root"] * (1 + 0.07 * size))
            made = tooth_shape.build(found, anatomy, wanted, {}, 4 + 2 * lift)
            gap = 0.49 * (last.crown_md + made.crown_md)
            at, last = at + side * gap, made
            mirrored = -1 if found.quadrant != tooth.quadrant else 1
            level = 0.6 * (made.crown_mm - shape.crown_mm) + 0.25 * lift
            axes = base.axes * np.array([[mirrored], [1], [1]])
            own = Frame(base.to_scene(np.array([[at, 0.15 * lean, level]]))[0], axes)
            own = own.moved((0, 0, 0), 0.4 * mirrored * tip_deg + 2.5 * tip, 2.0 * lean)
            placed.append((tooth_parts.place(made, own), mirrored))
    return placed


def side_wall(tooth3d, side, s, grow=0.0):
    """Point of the dentine wall in the tooth's own coordinates.

    The point at height ``s`` of the mesial (+1) or distal (-1) face, in the
    plane of the axis; ``s`` runs along the (bent) axis of a single root, along
    the tooth's axis otherwise.
    """
    shape = tooth3d.shape
    half = np.sqrt(max(float(tooth3d.body.half_md(np.float32(s))), 0)) + grow
    face = float(shape.centre(np.float32(s))) + side * half
    if shape.trunk_mm is None:
        return np.array(tooth3d.body.bend.place(face, 0.0, s), float)
    best = face if s <= shape.trunk_mm - 0.4 else None
    for root in shape.roots:
        m = _root_face(tooth3d, root, side, s)
        if m is not None and (best is None or side * m > side * best):
            best = m + side * grow
    return None if best is None else np.array([best, 0.0, s])


def _root_face(tooth3d, root, side, depth):
    """m of a root's face at tooth height ``depth``, in the plane of the root's axis."""
    tube = tooth3d.root_tubes[root.name]
    s = np.linspace(0, root.length_mm, 400)
    half = np.sqrt(np.maximum(tube.half_md(s.astype(np.float32)), 0))
    placed = np.stack(tube.bend.place(side * half, np.zeros_like(s), s), axis=1)
    local = tooth3d.frame.to_local(tooth3d.root_frames[root.name].to_scene(placed))
    if not local[0, 2] <= depth <= local[-1, 2]:
        return None
    return float(np.interp(depth, local[:, 2], local[:, 0]))


def cej_points(tooth3d):
    """CEJ at the mesial and distal face, in the plane of the axis, tooth coordinates."""
    shape = tooth3d.shape
    found = {}
    for name, side in (("mesial", 1), ("distal", -1)):
        s = np.linspace(-3, 3, 1201)
        m = shape.centre(s.astype(np.float32)) + side * shape.half(s.astype(np.float32))
        gap = s - shape.cej(m, np.zeros_like(m))
        at = float(np.interp(0.0, gap, s))
        found[name] = np.array([np.interp(at, s, m), 0.0, at])
    return found


def apex_point(tooth3d, root):
    """Apex of a root in tooth coordinates."""
    end = np.stack(root.bend.place(0.0, 0.0, root.length_mm))
    scene = tooth3d.root_frames[root.name].to_scene(end[None])
    return tooth3d.frame.to_local(scene)[0]


def side_root(shape, side):
    """The root whose side counts for the crest: the outermost on that side."""
    if len(shape.roots) == 1:
        return shape.roots[0]
    key = {"mesial": ("mesial", "mesiobuccal"), "distal": ("distal", "distobuccal")}[side]
    for root in shape.roots:
        if root.name in key:
            return root
    return shape.roots[0]


def crest_height(tooth3d, side, along_mm):
    """Height s on the wall at which the crest lies ``along_mm`` apical to the CEJ.

    Measured along the axis from the middle of the CEJ to the apex of the
    side's root, as the reading is defined.
    """
    cej = cej_points(tooth3d)
    root = side_root(tooth3d.shape, side)
    axis = apex_point(tooth3d, root) - (cej["mesial"] + cej["distal"]) / 2
    axis /= np.linalg.norm(axis)
    sign = 1 if side == "mesial" else -1
    low, high = cej[side][2] - 1, root.length_mm - 0.3
    for _ in range(50):
        s = 0.5 * (low + high)
        wall = side_wall(tooth3d, sign, s)
        far = wall is None or (wall - cej[side]) @ axis > along_mm
        low, high = (low, s) if far else (s, high)
    return 0.5 * (low + high)


def wanted_crest_mm(tooth3d, side, bone, normal_mm):
    """CEJ to crest, mm, of one side as the recipe's bone section asks."""
    loss = getattr(bone.loss_percent, side) if bone.loss_percent else None
    fixed = getattr(bone.crest_mm, side) if bone.crest_mm else None
    if fixed is not None:
        return fixed
    if loss is None:
        return normal_mm
    cej = cej_points(tooth3d)
    root = side_root(tooth3d.shape, side)
    axis = apex_point(tooth3d, root) - (cej["mesial"] + cej["distal"]) / 2
    axis /= np.linalg.norm(axis)
    return max(loss / 100 * float((apex_point(tooth3d, root) - cej[side]) @ axis), normal_mm / 3)


def _crest_knots(placed, base, bone, anatomy, rng):
    """Points of the crest along the arch: beside each tooth, dipping across it."""
    normal = anatomy["value"]["crest_below_cej"]["mm"]
    drop = anatomy["value"]["facial_crest_drop"]["mm"] * 0.5
    knots = []
    target = [wanted_crest_mm(placed[0][0], side, bone, normal) for side in ("mesial", "distal")]
    for index, (tooth3d, mirrored) in enumerate(placed):
        depth = {}
        jitter = rng.uniform(-0.2, 0.3, 2)
        # Neighbours share the bone level of the side that faces the tooth.
        offset = tooth3d.frame.origin @ base.axes[0]
        near = 0 if offset > 0 else 1
        for i, side in enumerate(("mesial", "distal")):
            own = target[i]
            if index:
                faces = (side == "distal") == (offset > 0) if mirrored == 1 else side == "mesial"
                own = normal + (0.75 if faces else 0.35) * (target[near] - normal) + jitter[i]
                own = max(own, 0.5)
            s = crest_height(tooth3d, side, own)
            sign = 1 if side == "mesial" else -1
            wall = side_wall(tooth3d, sign, s)
            at = base.to_local(tooth3d.frame.to_scene(wall[None]))[0]
            depth[side] = at
        ends = sorted(depth.values(), key=lambda p: p[0])
        middle = 0.5 * (ends[0] + ends[1])
        knots += [ends[0][[0, 2]], middle[[0, 2]] + [0, drop], ends[1][[0, 2]]]
    knots.sort(key=lambda k: k[0])
    return np.array(knots)


def crest_profile(knots):
    """Crest height along the arch through the knots, kept in order."""
    x, y = [knots[0, 0] - 30, knots[0, 0] - 3], [knots[0, 1] + 0.8, knots[0, 1] + 0.6]
    for m, s in knots:
        if m > x[-1] + 0.05:
            x.append(m)
            y.append(s)
    x += [x[-1] + 3, x[-1] + 30]
    y += [y[-1] + 0.6, y[-1] + 0.8]
    return through(x, y, x[0], x[-1])


def build(tooth, shape, anatomy, recipe, tip_deg, reach_mm, rng):
    """The :class:`Jaw` of a recipe."""
    base = jaw_frame(tooth)
    placed = place_row(tooth, shape, anatomy, tip_deg, reach_mm, rng, recipe.neighbours)
    profile = crest_profile(_crest_knots(placed, base, recipe.bone, anatomy, rng))
    width = anatomy["alveolus"]["maxillary" if tooth.upper else "mandibular"][tooth.kind]
    half = max(width / 2, shape.cervix_bl / 2 + 0.9)
    value = anatomy["value"]
    front = tooth.kind in ("incisor", "canine")
    plate = value["cortical_anterior" if front else "cortical_posterior"]["mm"]
    round_off = (2.0 if front else 1.3) / half**2
    crest = Ledge(base, profile, round_off)
    bone = Both((crest, Slab(base, -half, half)))
    lining = Profile(profile.start, profile.values + 0.35)
    inner = Both((Ledge(base, lining, round_off), Slab(base, plate - half, half - plate)))
    gum_line = Profile(profile.start, profile.values - 2.0)
    gum_half = half + value["gingiva"]["mm"]
    gum = Both((Ledge(base, gum_line, 2.6 / gum_half**2), Slab(base, -gum_half, gum_half)))
    teeth = tuple(t for t, _ in placed)
    normal, ligament = value["crest_below_cej"]["mm"], value["ligament"]["mm"]
    return Jaw(base, teeth, bone, inner, gum, crest, half, plate, normal, ligament)
