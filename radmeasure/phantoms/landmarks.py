"""The landmarks of a scene, exactly projected."""

from itertools import pairwise

import numpy as np

from radmeasure.model.landmarks import Detector, KnownLength, Landmarks, Root, Sphere
from radmeasure.phantoms import jaw as jaws
from radmeasure.phantoms import silhouette, treatment
from radmeasure.phantoms.tooth_parts import edge_height

SPACING_MM = 0.25
_RIM_POINTS = 16
_U_FILE_MM, _U_SPHERE_MM, _U_WIRE_MM = 0.02, 0.01, 0.01


def _px(view, points):
    return [tuple(round(float(c), 4) for c in p) for p in view.project(np.atleast_2d(points))]


def _heights(low, high):
    count = max(2, round((high - low) / SPACING_MM) + 1)
    return np.linspace(low, high, count)


def _on_axis(tooth, root, s, centre=None):
    """Scene points of a root's (or canal's) axis at heights s."""
    s = np.atleast_1d(np.asarray(s, float))
    m = np.zeros_like(s) if centre is None else centre(s)
    placed = np.stack(root.bend.place(m, np.zeros_like(s), s), axis=1)
    return tooth.root_frames[root.name].to_scene(placed)


def apex(scene, root):
    """Scene point of the radiographic apex: the root's outline farthest along its end."""
    tube = scene.tooth.root_tubes[root.name]
    end = _on_axis(scene.tooth, root, [root.length_mm - 0.6, root.length_mm])
    along = np.diff(scene.view.project(end), axis=0)[0]
    s = root.length_mm - np.concatenate(([0.0], np.geomspace(1e-4, 1.5, 60)))
    angles = np.linspace(0, 2 * np.pi, 73)[:-1]
    found = [silhouette.surface(tube, np.full(s.shape, a), s)[0] for a in angles]
    points = np.concatenate(found)
    return points[silhouette.farthest(scene.view, points, along)]


def _height_where(tube, source, side, gap, low, high):
    """Height at which ``gap(m, li, s)`` vanishes on the touched line; None when it does not."""
    s = np.linspace(low, high, 801)
    points, m, li = silhouette.touched(tube, source, side, s)
    values = gap(m, li, s)
    change = np.flatnonzero(np.diff(np.sign(values)) != 0)
    if not len(change):
        return None
    i = int(change[0])
    share = values[i] / (values[i] - values[i + 1])
    return points[i] + share * (points[i + 1] - points[i])


def cej(scene, side, tooth=None):
    """Scene point where the cervical line meets the dentine's outline on one side.

    ``tooth`` is the scene's own when not given.
    """
    tooth = tooth or scene.tooth
    shape = tooth.shape
    return _height_where(
        tooth.body, scene.view.source, side, lambda m, li, s: s - shape.cej(m, li), -3.0, 3.0
    )


def margin(scene, side):
    """Scene point where the broken edge meets the tooth's outline; None when it does not."""
    left = scene.remains
    tooth = scene.tooth
    return _height_where(
        tooth.cap, scene.view.source, side, lambda m, li, s: s - left.surface(m, li), -8.0, 0.6
    )


def _crest_edge(scene, around):
    """The bone crest's upper edge on the film near a place along the arch, px (n, 2)."""
    base, ledge = scene.jaw.frame, scene.jaw.crest
    m = np.linspace(around - 1.5, around + 1.5, 301)
    reach = scene.jaw.half_width_mm
    depth = np.linspace(-reach, reach, 121)
    points = []
    apical = scene.recipe.tooth.apical_sign
    for at in m:
        local = np.stack(
            (np.full_like(depth, at), depth, ledge.surface(np.full_like(depth, at), depth)), 1
        )
        ridge = base.to_scene(local)
        points.append(ridge[int(np.argmin(apical * scene.view.project(ridge)[:, 1]))])
    return scene.view.project(np.array(points))


def _cross(first, second):
    """Where two polylines cross first, px, or None."""
    for a, b in pairwise(first):
        d, e = b - a, second[1:] - second[:-1]
        det = d[0] * e[:, 1] - d[1] * e[:, 0]
        w = second[:-1] - a
        with np.errstate(divide="ignore", invalid="ignore"):
            t = (w[:, 0] * e[:, 1] - w[:, 1] * e[:, 0]) / det
            u = (w[:, 0] * d[1] - w[:, 1] * d[0]) / det
        hit = np.flatnonzero((t >= 0) & (t <= 1) & (u >= 0) & (u <= 1))
        if len(hit):
            return a + t[hit[0]] * d
    return None


def crest(scene, side, wall_px):
    """Film point of the crest, px: level with where its edge would meet the wall."""
    at = crest_point(scene, side)
    local = scene.jaw.frame.to_local(at[None])[0]
    found = _cross(_crest_edge(scene, local[0]), np.asarray(wall_px))
    if found is None:
        return scene.view.project(at[None])[0]
    mesial, apical = _film_axes(scene)
    m, _, s = _ligament(scene, side)
    return found + m * mesial + s * apical


def crest_point(scene, side):
    """Scene point of the crest in the plane of the axis, a ligament's width beside the wall.

    Bone is read up to where the ligament still has its usual width (Bjorn, Halling &
    Thyberg, Odontol Revy 1969;20:165-179, memory): on the bone, not on the root.
    """
    tooth = scene.tooth
    name = "mesial" if side > 0 else "distal"
    value = jaws.wanted_crest_mm(tooth, name, scene.recipe.bone, scene.jaw.normal_crest_mm)
    wall = jaws.side_wall(tooth, side, jaws.crest_height(tooth, name, value))
    return tooth.frame.to_scene((wall + _ligament(scene, side))[None])[0]


def _ligament(scene, side):
    """From the root to the bone beside it, square to the root: (m, li, s), mm."""
    tooth = scene.tooth
    root = jaws.side_root(tooth.shape, "mesial" if side > 0 else "distal")
    middle = sum(jaws.cej_points(tooth).values()) / 2
    m, _, s = jaws.apex_point(tooth, root) - middle
    return side * scene.jaw.ligament_mm / np.hypot(m, s) * np.array([s, 0.0, -m])


def reference(scene):
    """Scene point of the coronal reference: what stands out farthest on the film there."""
    tooth = scene.tooth
    shape = tooth.shape
    at = treatment.reference_point(shape)
    if shape.form["cusps"]:
        height, li = at[2], np.linspace(-1, 1, 201)
        width = jaws.tooth_parts.cusps(shape, tooth.frame)[_first_cusp(shape)].width[1]
        local = np.stack((np.full_like(li, at[0]), at[1] + li, height + (li / width) ** 2), 1)
    else:
        half = float(shape.half(np.float32(at[2])) * shape.cap_ratio(np.float32(at[2])))
        edge = float(edge_height(shape)(np.float32(0.0)))
        local = np.array([[0.0, x * half, edge] for x in np.linspace(-1, 1, 41)])
    points = tooth.frame.to_scene(local)
    up = np.array([0.0, -scene.recipe.tooth.apical_sign])
    return points[silhouette.farthest(scene.view, points, up)]


def _first_cusp(shape):
    drops = [c[2] for c in shape.form["cusps"]]
    return drops.index(min(drops))


def _film_axes(scene):
    """Directions of mesial and apical on the film at the tooth, px per mm."""
    tooth = scene.tooth
    points = tooth.frame.to_scene(np.array([[0, 0, 0], [1, 0, 0], [0, 0, 1.0]]))
    on_film = scene.view.project(points)
    return on_film[1] - on_film[0], on_film[2] - on_film[0]


def _wall(scene, root, side, apex_px):
    """Outline of one side of a root from the CEJ or the parting of the roots to the apex, px."""
    tooth, source = scene.tooth, scene.view.source
    shape = tooth.shape
    end = root.length_mm
    s = np.concatenate((_heights(0.0, end - 1.0)[:-1], end - np.geomspace(1.0, 0.004, 14)))
    tube = tooth.root_tubes[root.name]
    if shape.trunk_mm is None:
        start = cej(scene, side)
        points = silhouette.touched(tube, source, side, s)[0]
        line = scene.view.project(points)
        first = scene.view.project(start[None])
        _, apical = _film_axes(scene)
        line = line[(line - first[0]) @ apical > 0]
        return np.concatenate((first, line, [apex_px]))
    return _wall_of_several(scene, root, side, apex_px, s, tube)


def _wall_of_several(scene, root, side, apex_px, s, tube):
    tooth, source, view = scene.tooth, scene.view.source, scene.view
    mesial, apical = _film_axes(scene)
    own = view.project(silhouette.touched(tube, source, side, s)[0])
    trunk_s = _heights(-1.0, tooth.shape.trunk_mm + 0.5)
    trunk = view.project(silhouette.touched(tooth.body, source, side, trunk_s)[0])
    start = view.project(cej(scene, side)[None])
    trunk = np.concatenate((start, trunk[(trunk - start[0]) @ apical > 0]))
    outermost = root is jaws.side_root(tooth.shape, "mesial" if side > 0 else "distal")
    if outermost:
        # Down the trunk as long as it stands out, then down the root.
        own_beside = np.interp(trunk @ apical, own @ apical, own @ mesial)
        out = side * (trunk @ mesial - own_beside) > 0
        stop = len(out) if out.all() else int(np.argmin(out))
        line = trunk[: max(stop, 1)]
        rest = own[own @ apical > line[-1] @ apical + 1e-6]
        return np.concatenate((line, rest, [apex_px]))
    points = silhouette.touched(tube, source, side, s)[0]
    hidden = _inside_trunk(scene, points)
    start_at = int(np.flatnonzero(hidden)[-1]) + 1 if hidden.any() else 0
    return np.concatenate((own[start_at:], [apex_px]))


def _inside_trunk(scene, points):
    tooth = scene.tooth
    m, li, s = tooth.frame.to_local(points).T
    shape = tooth.shape
    width_m = shape.cervix_md / 2 / np.sqrt(shape.vault[0])
    width_l = shape.cervix_bl / 2 / np.sqrt(shape.vault[1])
    roof = shape.trunk_mm + 0.3 - (m / width_m) ** 2 - (li / width_l) ** 2
    return (tooth.body.value(m, li, s) < 0.02) & (s < roof)


def _root_landmarks(scene, root):
    tooth, view, source = scene.tooth, scene.view, scene.view.source
    points, lines = {}, {}
    apex_px = view.project(apex(scene, root)[None])[0]
    points["apex"] = apex_px
    canal = _on_axis(tooth, root, _heights(root.orifice_mm, root.foramen_mm), root.canal_centre)
    lines["canal"] = view.project(canal)
    points["orifice"], points["foramen"] = lines["canal"][0], lines["canal"][-1]
    tube = scene.canal_tube(root)
    s = _heights(root.orifice_mm, root.foramen_mm - 0.05)
    for name, side in (("mesial", 1), ("distal", -1)):
        lines[f"root_wall_{name}"] = _wall(scene, root, side, apex_px)
        lines[f"canal_wall_{name}"] = view.project(silhouette.touched(tube, source, side, s)[0])
    for kind, placed, names in (
        ("filling", scene.filling, ("filling_coronal", "filling_apical")),
        ("post", scene.post, ("post_coronal", "post_apical")),
        ("file", scene.file, ("file_stop", "file_tip")),
    ):
        if root.name in placed:
            ends = placed[root.name]
            centre = root.canal_centre if kind == "filling" else None
            found = view.project(_on_axis(tooth, root, [ends.coronal, ends.apical], centre))
            points[names[0]], points[names[1]] = found
    if root.name in scene.lesions:
        rim = silhouette.ellipse_points(scene.lesions[root.name], source, 48)
        lines["lesion"] = view.project(rim)
    return points, lines


def _on_film(view, xy):
    x, y = xy
    return 0 <= x <= view.shape[1] - 1 and 0 <= y <= view.shape[0] - 1


def _rounded(xy):
    return (round(float(xy[0]), 4), round(float(xy[1]), 4))


def _kept(view, points, lines):
    """Only what lies on the film: points as they are, lines cut to their part on it."""
    points = {k: _rounded(v) for k, v in points.items() if _on_film(view, v)}
    cut = {}
    for name, line in lines.items():
        inside = [_rounded(p) for p in line if _on_film(view, p)]
        if name == "lesion" and len(inside) < len(line):
            continue
        if len(inside) >= 2:
            cut[name] = inside
    return points, cut


def _scale(scene):
    view, recipe = scene.view, scene.recipe
    wanted = recipe.scale
    found = []
    for name, ends in scene.file.items():
        root = scene.tooth.shape.root(name)
        count = max(2, round((ends.apical - ends.coronal) / 1.5) + 1)
        line = _on_axis(scene.tooth, root, np.linspace(ends.coronal, ends.apical, count))
        length = ends.apical - ends.coronal
        entry = KnownLength(round(length, 4), _U_FILE_MM, _px(view, line), "tooth")
        found.append(("file", entry, entry.points))
    if scene.sphere is not None:
        rim = _px(view, silhouette.ellipse_points(scene.sphere, view.source, _RIM_POINTS))
        found.append(("sphere", Sphere(recipe.sphere.diameter_mm, _U_SPHERE_MM, rim), rim))
    if scene.wire is not None:
        ends = scene.wire.frame.to_scene([[0, 0, scene.wire.low], [0, 0, scene.wire.high]])
        entry = KnownLength(recipe.wire.length_mm, _U_WIRE_MM, _px(view, ends), "across")
        found.append(("wire", entry, entry.points))
    detector = Detector(view.pitch_mm, round(view.magnification, 5), 0.015)
    if wanted is None:
        kept = [e for _, e, points in found if all(_on_film(view, p) for p in points)]
        return tuple(kept) or (detector,)
    kept = [
        e for kind, e, points in found if kind in wanted and all(_on_film(view, p) for p in points)
    ]
    return (*kept, detector) if "detector" in wanted else tuple(kept)


def _given(scene):
    recipe = scene.recipe
    given = {"technique": recipe.view.technique}
    for key in ("planned_crown_mm", "stop_short_mm", "cusps_lost", "walls_left", "age_years"):
        value = getattr(recipe.given, key)
        if value is not None:
            given[key] = value
    for ends in scene.file.values():
        given["file_length_mm"] = round(ends.apical - ends.coronal, 4)
    return given


def landmarks(scene):
    """All landmarks of the scene's tooth.

    Returns
    -------
    Landmarks
        Pixels; (0, 0) is the centre of the top-left pixel.
    """
    view = scene.view
    points, roots = {}, {}
    if scene.remains is None:
        points["coronal_reference"] = view.project(reference(scene)[None])[0]
    walls = {}
    for root in scene.tooth.shape.roots:
        found = _root_landmarks(scene, root)
        walls[root.name] = found[1]
        roots[root.name] = Root(*_kept(view, *found))
    for name, side in (("mesial", 1), ("distal", -1)):
        points[f"cej_{name}"] = view.project(cej(scene, side)[None])[0]
        outer = jaws.side_root(scene.tooth.shape, name)
        points[f"crest_{name}"] = crest(scene, side, walls[outer.name][f"root_wall_{name}"])
        if scene.remains is not None:
            edge = margin(scene, side)
            if edge is not None:
                points[f"margin_{name}"] = view.project(edge[None])[0]
    points, _ = _kept(view, points, {})
    return Landmarks(scene.recipe.tooth, _scale(scene), points, roots, given=_given(scene))
