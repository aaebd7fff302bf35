"""The limits of the post space of one root, each as sampled values.

Depth s counts along the canal from the root face (orifice), in mm.
"""

import numpy as np

from radmeasure.measurements.canal import canal_of, canal_waits, depth_of_point
from radmeasure.measurements.curvature import bend_of
from radmeasure.measurements.lengths import apex_depth, cej_depth, crest_depth, reference_depth
from radmeasure.measurements.result import waits
from radmeasure.model.plan import NO_DEEPER, NO_SHALLOWER
from radmeasure.planning.post_dentine import dentine_row
from radmeasure.planning.post_row import Row

_CEJ, _CREST = ("cej_mesial", "cej_distal"), ("crest_mesial", "crest_distal")


def depth_rows(sight, root, rules, size, seal_mm=None):
    """All no-deeper and no-shallower limits of a root.

    Parameters
    ----------
    sight : Sight
    root : str
    rules : Rulebook
    size : PostSize
        The post the dentine limit is worked out for.
    seal_mm : float, optional
        Apical seal chosen instead of the rulebook's.

    Returns
    -------
    list of Row
    """
    rows = [
        _kept(_seal, sight, root, rules, seal_mm),
        _kept(_straight, sight, root, rules),
        dentine_row(sight, root, rules, size),
        _kept(_middle_third, sight, root, rules),
    ]
    if sight.tooth.kind == "molar":
        rows.append(_kept(_molar, sight, root, rules))
    return rows + lower_rows(sight, root, rules)


def _kept(row, sight, root, rules, *more):
    return sight.once((row, root, *more), lambda: row(sight, root, rules, *more))


def lower_rows(sight, root, rules, gain=None):
    """The no-shallower limits of a root, as it is or after gaining tooth.

    Parameters
    ----------
    gain : tuple of two floats, optional
        (crest moved apically, crown made longer), mm: by surgery or extrusion.

    Returns
    -------
    list of Row
    """
    crest, crown = gain or (0.0, 0.0)
    return [
        _kept(_crown, sight, root, rules, crown),
        _kept(_bone_half, sight, root, rules, crest),
        _kept(_beyond_crest, sight, root, rules, crest),
        _kept(_root_fraction, sight, root, rules),
    ]


def _seal(sight, root, rules, seal_mm):
    seal = rules.value("post.seal") if seal_mm is None else seal_mm
    row = ("apical_seal", "post.seal", NO_DEEPER, f"leaves {seal:g} mm of filling")
    end = depth_of_point(sight, root, "filling_apical")
    if end is None:
        lacking = waits(sight, (root, "filling_apical")) + canal_waits(sight, root)
        return Row(*row, missing=lacking)
    return Row(*row, end - seal)


def _straight(sight, root, rules):
    row = ("straight_part", "curvature.straight", NO_DEEPER, "end of the canal's straight part")
    # Without a canal line of four vertices there is no telling where it bends.
    bend = bend_of(sight, root)
    if bend is None:
        return Row(*row, missing=canal_waits(sight, root) or ("canal",))
    straight_deg = rules.rules["curvature.straight"].limit
    if bend.bends and bend.turning_deg[0] / 2 > straight_deg:
        return Row(*row, bend.straight)
    words = f"the canal counts as straight to its end, not over {straight_deg:g}°"
    return Row(*row[:3], words, canal_of(sight, root).length)


def _root_top(sight, root):
    """Axis depth where the root begins: the CEJ, else the orifice."""
    cej = cej_depth(sight, root)
    if cej is not None:
        return cej
    return sight.depth("orifice", root)


def _fraction_of_root(sight, root, row, fraction):
    canal = canal_of(sight, root)
    if canal is None:
        return Row(*row, missing=canal_waits(sight, root))
    top, end = _root_top(sight, root), apex_depth(sight, root)
    return Row(*row, canal.depth_of(top + fraction * (end - top)))


def _middle_third(sight, root, rules):
    row = ("middle_third", "post.middle_third", NO_DEEPER, "end of the root's middle third")
    return _fraction_of_root(sight, root, row, rules.value("post.middle_third"))


def _molar(sight, root, rules):
    most = rules.value("post.molar_depth")
    words = f"in molars no deeper than {most:g} mm"
    return Row(
        "molar_depth", "post.molar_depth", NO_DEEPER, words, np.full(len(sight.scale.across), most)
    )


def _crown(sight, root, rules, longer):
    row = ("crown_height", "post.crown_ratio", NO_SHALLOWER, "as long as the crown it carries")
    ratio = rules.value("post.crown_ratio")
    planned = sight.given.get("planned_crown_mm")
    if planned is not None:
        return Row(*row, np.full(len(sight.scale.across), ratio * (planned + longer)))
    top, cej = reference_depth(sight, root), cej_depth(sight, root)
    if top is None or cej is None:
        lacking = ("planned_crown_mm", *waits(sight, "coronal_reference", *_CEJ))
        return Row(*row, missing=lacking)
    return Row(*row, ratio * (cej - top + longer))


def _crest_level(sight, root, row, level_of):
    canal, crest = canal_of(sight, root), crest_depth(sight, root)
    if canal is None or crest is None:
        return Row(*row, missing=waits(sight, *_CREST) + canal_waits(sight, root))
    return Row(*row, canal.depth_of(level_of(crest, apex_depth(sight, root))))


def _bone_half(sight, root, rules, moved):
    part = rules.value("post.bone_half")
    row = ("bone_half", "post.bone_half", NO_SHALLOWER, "half of the root that bone supports")

    def level_of(crest, apex):
        crest = crest + moved
        return crest + part * (apex - crest)

    return _crest_level(sight, root, row, level_of)


def _beyond_crest(sight, root, rules, moved):
    d = rules.value("post.beyond_crest")
    row = ("beyond_crest", "post.beyond_crest", NO_SHALLOWER, f"{d:g} mm apical to the crest")
    return _crest_level(sight, root, row, lambda crest, apex: crest + moved + d)


def _root_fraction(sight, root, rules):
    row = ("root_two_thirds", "post.root_fraction", NO_SHALLOWER, "two thirds of the root")
    return _fraction_of_root(sight, root, row, rules.value("post.root_fraction"))
