"""The limits of the post space of one root, each as sampled values.

Depth s counts along the canal from the root face (orifice), in mm.
"""

from dataclasses import dataclass

import numpy as np

from radmeasure.geometry.polyline import Crossing
from radmeasure.measurements.canal import canal_of, canal_waits, depth_of_point
from radmeasure.measurements.curvature import bend_of
from radmeasure.measurements.lengths import apex_depth, cej_depth, crest_depth, reference_depth
from radmeasure.measurements.result import waits
from radmeasure.measurements.widths import levels_at, wall_of
from radmeasure.model.plan import NO_DEEPER, NO_SHALLOWER

_CEJ, _CREST = ("cej_mesial", "cej_distal"), ("crest_mesial", "crest_distal")
STEP_MM = 0.5


@dataclass(frozen=True, eq=False)
class Row:
    """A limit before its uncertainty is worked out; ``values`` (K,) or None with ``missing``."""

    rule: str
    setting: str
    side: str
    words: str
    values: np.ndarray | None = None
    missing: tuple = ()


def depth_rows(sight, root, rules, given, seal_mm=None, thinnest_mm=0.6):
    """All no-deeper and no-shallower limits of a root.

    Parameters
    ----------
    sight : Sight
    root : str
    rules : Rulebook
    given : mapping
        Entered values of the landmarks (``planned_crown_mm``).
    seal_mm : float, optional
        Apical seal chosen instead of the rulebook's.
    thinnest_mm : float
        Diameter of the post the dentine limit is worked out for.

    Returns
    -------
    list of Row
    """
    canal = canal_of(sight, root)
    rows = [
        _seal(sight, root, rules, canal, seal_mm),
        _straight(sight, root, rules, canal),
        _dentine(sight, root, rules, canal, thinnest_mm),
        _middle_third(sight, root, rules, canal),
    ]
    if sight.landmarks.tooth.kind == "molar":
        rows.append(_molar(rules, len(sight.scale.across)))
    rows += [
        _crown(sight, root, rules, given),
        _bone_half(sight, root, rules, canal),
        _beyond_crest(sight, root, rules, canal),
        _root_fraction(sight, root, rules, canal),
    ]
    return rows


def _seal(sight, root, rules, canal, seal_mm):
    seal = rules.value("post.seal") if seal_mm is None else seal_mm
    row = ("apical_seal", "post.seal", NO_DEEPER, f"leaves {seal:g} mm of filling")
    end = None if canal is None else depth_of_point(sight, root, canal, "filling_apical")
    if end is None:
        lacking = waits(sight, (root, "filling_apical")) + canal_waits(sight, root)
        return Row(*row, missing=lacking)
    return Row(*row, end - seal)


def _straight(sight, root, rules, canal):
    row = ("straight_part", "curvature.straight", NO_DEEPER, "end of the canal's straight part")
    bend = bend_of(sight, root)
    if bend is None:
        return Row(*row, missing=canal_waits(sight, root) or ("canal",))
    straight_deg = rules.rules["curvature.straight"].limit
    if bend.bends and bend.turning_deg[0] / 2 > straight_deg:
        return Row(*row, bend.straight)
    return Row(*row[:3], "the canal is straight to its end", canal.length)


def _walls(sight, root):
    names = ("root_wall_mesial", "root_wall_distal", "canal_wall_mesial", "canal_wall_distal")
    return {n: wall_of(sight, root, n) for n in names}


def _dentine(sight, root, rules, canal, thinnest_mm):
    least = rules.value("post.dentine")
    words = f"dentine beside the post falls under {least:g} mm below this depth"
    row = ("dentine", "post.dentine", NO_DEEPER, words)
    walls = _walls(sight, root)
    if canal is None or any(w is None for w in walls.values()):
        lacking = waits(sight, *((root, n) for n in walls)) + canal_waits(sight, root)
        return Row(*row, missing=lacking)
    depths = np.arange(0.0, canal.length[0], STEP_MM)
    centre, level = levels_at(canal, depths)
    seen = walls["root_wall_mesial"].covers(level[0]) & walls["root_wall_distal"].covers(level[0])
    depths, centre, level = depths[seen], centre[:, seen], level[:, seen]
    beside = dentine_beside(walls, centre, level, np.full_like(depths, thinnest_mm))
    thin = np.nonzero(beside[0] < least)[0]
    if not len(thin):
        # Nothing thin as far as the walls are drawn: the last level drawn is the limit.
        words = "as far as the walls are drawn; dentine stays thick enough"
        return Row(*row[:3], words, canal.length * 0 + depths[-1])
    if thin[0] == 0:
        return Row(*row[:3], "dentine is thin from the root face on", canal.length * 0)
    # Dentine runs down with depth: cross the limit on the falling stretch.
    i = thin[0]
    stretch = slice(max(i - 4, 0), i + 3)
    crossing = Crossing(-beside[:, stretch], -least)
    return Row(*row, crossing.of(np.broadcast_to(depths[stretch], beside[:, stretch].shape)))


def dentine_beside(walls, centre, level, diameters):
    """Thinner of the two walls (K, L) beside a post, or beside the canal where that is wider."""
    half = 0.5 * diameters
    mesial_edge = np.maximum(walls["canal_wall_mesial"].at(level), centre + half)
    distal_edge = np.minimum(walls["canal_wall_distal"].at(level), centre - half)
    mesial = walls["root_wall_mesial"].at(level) - mesial_edge
    distal = distal_edge - walls["root_wall_distal"].at(level)
    return np.minimum(mesial, distal)


def _root_top(sight, root):
    """Axis depth where the root begins: the CEJ, else the orifice."""
    cej = cej_depth(sight, root)
    if cej is not None:
        return cej
    orifice = sight.point("orifice", root)
    return None if orifice is None else sight.frame(root).depth(orifice)


def _fraction_of_root(sight, root, canal, fraction):
    top, end = _root_top(sight, root), apex_depth(sight, root)
    return canal.depth_of(top + fraction * (end - top))


def _middle_third(sight, root, rules, canal):
    row = ("middle_third", "post.middle_third", NO_DEEPER, "end of the root's middle third")
    if canal is None:
        return Row(*row, missing=canal_waits(sight, root))
    return Row(*row, _fraction_of_root(sight, root, canal, rules.value("post.middle_third")))


def _molar(rules, count):
    most = rules.value("post.molar_depth")
    words = f"in molars no deeper than {most:g} mm"
    return Row("molar_depth", "post.molar_depth", NO_DEEPER, words, np.full(count, most))


def _crown(sight, root, rules, given):
    row = ("crown_height", "post.crown_ratio", NO_SHALLOWER, "as long as the crown it carries")
    ratio = rules.value("post.crown_ratio")
    planned = given.get("planned_crown_mm")
    if planned is not None:
        return Row(*row, np.full(len(sight.scale.across), ratio * planned))
    top, cej = reference_depth(sight, root), cej_depth(sight, root)
    if top is None or cej is None:
        lacking = ("planned_crown_mm", *waits(sight, "coronal_reference", *_CEJ))
        return Row(*row, missing=lacking)
    return Row(*row, ratio * (cej - top))


def _crest_level(sight, root, row, canal, level_of):
    crest = crest_depth(sight, root)
    if canal is None or crest is None:
        return Row(*row, missing=waits(sight, *_CREST) + canal_waits(sight, root))
    return Row(*row, canal.depth_of(level_of(crest, apex_depth(sight, root))))


def _bone_half(sight, root, rules, canal):
    part = rules.value("post.bone_half")
    row = ("bone_half", "post.bone_half", NO_SHALLOWER, "half of the root that bone supports")
    return _crest_level(sight, root, row, canal, lambda crest, apex: crest + part * (apex - crest))


def _beyond_crest(sight, root, rules, canal):
    d = rules.value("post.beyond_crest")
    row = ("beyond_crest", "post.beyond_crest", NO_SHALLOWER, f"{d:g} mm apical to the crest")
    return _crest_level(sight, root, row, canal, lambda crest, apex: crest + d)


def _root_fraction(sight, root, rules, canal):
    row = ("root_two_thirds", "post.root_fraction", NO_SHALLOWER, "two thirds of the root")
    if canal is None:
        return Row(*row, missing=canal_waits(sight, root))
    return Row(*row, _fraction_of_root(sight, root, canal, rules.value("post.root_fraction")))
