"""True values of a scene, from its 3-D model alone.

Nothing here uses the measuring code, so the two can be held against each other.

CEJ, crest, margin and coronal reference are levels of the tooth: planes that
run straight through from cheek to tongue, square to the axis as the
mesiodistal plane shows it. Lengths of crown and root are measured along the
root's axis in space between those levels, so a root that leans towards tongue
or cheek has its full length, and shares of it (bone support, crown to root) are
those of the levels. CEJ to crest and margin to crest are distances on the
proximal face, which does not lean with the root.
"""

import numpy as np

from radmeasure.model.truth import Truth
from radmeasure.phantoms import jaw as jaws
from radmeasure.phantoms import landmarks as marks
from radmeasure.phantoms import treatment

_ATTACHMENT_MM, _FERRULE_MM, _NORMAL_CREST_MM = 2.0, 2.0, 2.0
_SIDES = (("mesial", 1), ("distal", -1))


class _Values(dict):
    def put(self, reading, root, value, side=None):
        self[f"{reading}|{root}|{side}"] = round(float(value), 4)


def _tooth_points(scene):
    """CEJ, crest, reference, margins in the tooth's own coordinates, mm."""
    tooth = scene.tooth
    points = {f"cej_{k}": v for k, v in jaws.cej_points(tooth).items()}
    for name, side in _SIDES:
        points[f"crest_{name}"] = tooth.frame.to_local(marks.crest_point(scene, side)[None])[0]
        if scene.remains is not None:
            points[f"margin_{name}"] = _margin(scene, side)
    if scene.remains is None:
        points["reference"] = treatment.reference_point(tooth.shape)
    return points


def _margin(scene, side):
    """Where the broken edge meets the outside of the tooth, in the plane of the axis."""
    shape = scene.tooth.shape
    s = np.linspace(-8, 1, 4501)
    m = shape.centre(s) + side * (shape.half(s) + shape.enamel(-s))
    gap = s - scene.remains.surface(m, np.zeros_like(m))
    at = float(np.interp(0.0, gap, s))
    return np.array([float(np.interp(at, s, m)), 0.0, at])


def _levels(p, apex):
    """Levels along the axis in the mesiodistal plane, mm; the lean of the axis out of it.

    Returns
    -------
    along : mapping of point name to float
        Height apical to the middle of the CEJ.
    length : float
        Height of the apex.
    lean : float
        Length in space over length in the plane.
    """
    middle = (p["cej_mesial"] + p["cej_distal"]) / 2
    axis = apex - middle
    flat = axis * [1, 0, 1]
    length = float(np.linalg.norm(flat))
    along = {k: float((v - middle) @ flat) / length for k, v in p.items()}
    return along, length, float(np.linalg.norm(axis)) / length


def _lengths(values, root, p, apex):
    """Lengths and ratios along the axis from the middle of the CEJ to the apex."""
    along, length, lean = _levels(p, apex)
    values.put("root_length", root, length * lean)
    for name, _ in _SIDES:
        _side(values, root, name, along, length)
    for reading in ("bone_support", "bone_loss", "bone_loss_corrected"):
        both = [values[f"{reading}|{root}|{name}"] for name, _ in _SIDES]
        values.put(reading, root, np.mean(both), "mean")
    crest = (along["crest_mesial"] + along["crest_distal"]) / 2
    values.put("clinical_root_length", root, (length - crest) * lean)
    if "reference" in along:
        top = along["reference"]
        values.put("tooth_length", root, (length - top) * lean)
        values.put("crown_length", root, -top * lean)
        values.put("crown_root_anatomic", root, -top / length)
        values.put("clinical_crown_length", root, (crest - top) * lean)
        values.put("crown_root_clinical", root, (crest - top) / (length - crest))
    return crest


def _side(values, root, name, along, length):
    """What is read on one side of the tooth."""
    cej, crest, n = along[f"cej_{name}"], along[f"crest_{name}"], _NORMAL_CREST_MM
    values.put("cej_to_crest", root, crest - cej, name)
    values.put("bone_support", root, 100 * (length - crest) / (length - cej), name)
    values.put("bone_loss", root, 100 * (crest - cej) / (length - cej), name)
    values.put("bone_loss_corrected", root, 100 * (crest - cej - n) / (length - cej - n), name)
    if f"margin_{name}" in along:
        above = crest - along[f"margin_{name}"]
        values.put("margin_to_crest", root, above, name)
        values.put("ferrule_available", root, above - _ATTACHMENT_MM, name)
        short = max(0.0, _FERRULE_MM + _ATTACHMENT_MM - above)
        values.put("ferrule_shortfall", root, short, name)


def _canal_mm(root, low, high):
    """Length of the canal's line between two heights, mm."""
    if high < low:
        return -_canal_mm(root, high, low)
    s = np.linspace(low, high, 2001)
    m = np.zeros_like(s) if root.canal_centre is None else root.canal_centre(s)
    placed = np.stack(root.bend.place(m, np.zeros_like(s), s), axis=1)
    return float(np.linalg.norm(np.diff(placed, axis=0), axis=1).sum())


def _canal(values, scene, root, p):
    name = root.name
    inside = _canal_mm(root, root.orifice_mm, root.foramen_mm)
    if "reference" in p:
        own = scene.tooth.root_frames[name].to_local(
            scene.tooth.frame.to_scene(p["reference"][None])
        )
        orifice = np.array([0.0, 0.0, root.orifice_mm])
        total = float(np.linalg.norm(own[0] - orifice)) + inside
        values.put("canal_length", name, total)
        values.put("working_length", name, _working(scene, root, total))
    bend = root.bend
    if np.isfinite(bend.radius_mm):
        values.put("curvature_arc", name, bend.angle_deg)
        values.put("curvature_radius", name, bend.radius_mm)
        values.put("straight_length", name, bend.start_mm - root.orifice_mm)
        end = np.array(bend.place(_offset(root), 0.0, root.foramen_mm), float)
        way = end - [0.0, 0.0, bend.start_mm]
        values.put("curvature_schneider", name, np.degrees(np.arccos(way[2] / np.linalg.norm(way))))
    else:
        values.put("curvature_schneider", name, 0.0)


def _working(scene, root, canal_mm):
    """Working length, mm: from the file's own length and gap where the root holds one."""
    file, short = scene.file.get(root.name), scene.recipe.given.stop_short_mm
    if file is not None:
        canal_mm = file.apical - file.coronal + _canal_mm(root, file.apical, root.foramen_mm)
    return canal_mm - (1.0 if short is None else short)


def _offset(root):
    return 0.0 if root.canal_centre is None else float(root.canal_centre(root.foramen_mm))


def _treatment(values, scene, root, p, crest):
    name = root.name
    if name in scene.file:
        values.put("file_gap", name, _canal_mm(root, scene.file[name].apical, root.foramen_mm))
    filling, post = scene.filling.get(name), scene.post.get(name)
    if filling:
        values.put("filling_to_apex", name, _canal_mm(root, filling.apical, root.foramen_mm))
        values.put("filling_length", name, _canal_mm(root, filling.coronal, filling.apical))
    if post:
        values.put("post_length", name, post.apical - post.coronal)
        frame = scene.tooth.root_frames[name]
        tip = scene.tooth.frame.to_local(frame.to_scene([[0.0, 0.0, post.apical]]))[0]
        end = jaws.apex_point(scene.tooth, root)
        along, _, lean = _levels({**p, "tip": tip}, end)
        values.put("post_depth_in_bone", name, (along["tip"] - crest) * lean)
        if filling:
            values.put("post_gap", name, _canal_mm(root, post.apical, filling.coronal))
            kept = max(filling.coronal, post.apical)
            values.put("residual_filling", name, _canal_mm(root, kept, filling.apical))
    if name in scene.lesions:
        a, _, b = scene.lesions[name].half
        values.put("lesion_diameter", name, 2 * max(a, b))
        values.put("lesion_width", name, 2 * min(a, b))
        values.put("lesion_area", name, np.pi * a * b)


def profile(scene, root):
    """Widths per mm of depth from the orifice, in the plane of the axis, mm."""
    tube, canal = scene.tooth.root_tubes[root.name], scene.canal_tube(root)
    depth = np.arange(0.0, root.foramen_mm - root.orifice_mm - 0.5, 1.0)
    s = root.orifice_mm + depth
    wide = np.sqrt(np.maximum(tube.half_md(s), 0))
    if scene.tooth.shape.trunk_mm is None:
        wide = np.sqrt(np.maximum(scene.tooth.body.half_md(s), 0))
    inner = np.sqrt(np.maximum(canal.half_md(s), 0))
    shift = np.zeros_like(s) if root.canal_centre is None else root.canal_centre(s)
    rows = {
        "depth_mm": depth,
        "root_width": 2 * wide,
        "canal_width": 2 * inner,
        "dentine_mesial": wide - inner - shift,
        "dentine_distal": wide - inner + shift,
    }
    return {k: tuple(round(float(x), 4) for x in v) for k, v in rows.items()}


def _px_per_mm(scene):
    """Pixels per mm along and across the tooth at mid-root."""
    tooth, step = scene.tooth, 0.05
    root = tooth.shape.roots[0]
    end = jaws.apex_point(tooth, root)
    middle, axis = end / 2, end / np.linalg.norm(end)
    mesial = np.array([axis[2], 0.0, -axis[0]]) / np.hypot(axis[0], axis[2])
    found = []
    for way in (axis, mesial):
        ends = tooth.frame.to_scene([middle - step * way, middle + step * way])
        found.append(np.linalg.norm(np.diff(scene.view.project(ends), axis=0)) / (2 * step))
    return found


def _outlines(scene):
    """Silhouette of the crown, and of what lies on the film, px."""
    tooth, view = scene.tooth, scene.view
    found = {}
    if scene.remains is None:
        s = np.linspace(-0.97 * tooth.shape.crown_mm, 0.0, 40)
        for name, side in _SIDES:
            points = marks.silhouette.touched(tooth.cap, view.source, side, s)[0]
            found[f"crown_{name}"] = tuple(map(marks._rounded, view.project(points)))
    if scene.sphere is not None:
        rim = marks.silhouette.ellipse_points(scene.sphere, view.source, 72)
        found["sphere"] = tuple(map(marks._rounded, view.project(rim)))
    return found


def truth(scene):
    """The :class:`Truth` of a scene."""
    values = _Values()
    p = _tooth_points(scene)
    for root in scene.tooth.shape.roots:
        crest = _lengths(values, root.name, p, jaws.apex_point(scene.tooth, root))
        _canal(values, scene, root, p)
        _treatment(values, scene, root, p, crest)
    along, across = _px_per_mm(scene)
    return Truth(
        landmarks=marks.landmarks(scene),
        values=dict(values),
        px_per_mm_along=round(float(along), 5),
        px_per_mm_across=round(float(across), 5),
        pitch_mm=scene.view.pitch_mm,
        magnification=round(scene.view.magnification, 5),
        profiles={r.name: profile(scene, r) for r in scene.tooth.shape.roots},
        outlines=_outlines(scene),
    )
