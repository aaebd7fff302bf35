"""Crest, CEJ and bone: distances, support, loss and crown-to-root ratios."""

from radmeasure.measurements.lengths import (
    apex_depth,
    cej_depth,
    crest_depth,
    reference_depth,
    side_depth,
)
from radmeasure.measurements.result import Measured, Missing, key, waits

SIDES = ("mesial", "distal")


def cej_to_crest(sight, root, rules):
    """CEJ to crest per side, projected on the axis."""
    for side in SIDES:
        a = side_depth(sight, root, "cej", side)
        b = side_depth(sight, root, "crest", side)
        k = key("cej_to_crest", root, side)
        if a is None or b is None:
            names = (f"cej_{side}", f"crest_{side}", (root, "apex"))
            yield k, Missing("mm", waits(sight, *names))
        else:
            yield k, Measured(b - a, "mm", "CEJ to crest, projected on the axis")


def bone(sight, root, rules):
    """bone_support, bone_loss and bone_loss_corrected, per side and their mean."""
    n = rules.value("bone.normal_distance")
    found = {}
    for side in SIDES:
        cej = side_depth(sight, root, "cej", side)
        crest = side_depth(sight, root, "crest", side)
        if cej is None or crest is None:
            continue
        whole = apex_depth(sight, root) - cej
        if whole.all():  # CEJ and apex on one pixel leave nothing to be a part of
            found[side] = (crest - cej, whole)
    for id_, method, formula in (
        ("bone_support", "crest-apex / CEJ-apex", lambda loss, whole: 1 - loss / whole),
        ("bone_loss", "CEJ-crest / CEJ-apex", lambda loss, whole: loss / whole),
        (
            "bone_loss_corrected",
            f"(CEJ-crest - {n:g}) / (CEJ-apex - {n:g}), normal distance {n:g} mm",
            lambda loss, whole: (loss - n) / (whole - n),
        ),
    ):
        needs_mm = id_ == "bone_loss_corrected"
        yield from _sides(sight, root, id_, found, formula, method, needs_mm)


def _sides(sight, root, id_, found, formula, method, needs_mm):
    values = {side: 100 * formula(*pair) for side, pair in found.items()}
    calibrated = sight.scale.calibrated or not needs_mm
    for side in (*SIDES, "mean"):
        k = key(id_, root, side)
        sides = SIDES if side == "mean" else (side,)
        lacking = waits(
            sight, *(f"{p}_{s}" for s in sides for p in ("cej", "crest")), (root, "apex")
        )
        if lacking or any(s not in values for s in sides):
            yield k, Missing("%", lacking or tuple(f"cej_{s}" for s in sides if s not in values))
        elif not calibrated:
            yield k, Missing("%", (), "needs a scale: the normal distance is in mm")
        else:
            mean = sum(values[s] for s in sides) / len(sides)
            yield k, Measured(mean, "%", method)


def crown_root(sight, root, rules):
    """crown_root_anatomic and crown_root_clinical (crown / root)."""
    cejs, crests = [tuple(f"{p}_{s}" for s in SIDES) for p in ("cej", "crest")]
    top, end = reference_depth(sight, root), apex_depth(sight, root)
    for id_, middle, names, words in (
        ("crown_root_anatomic", cej_depth(sight, root), cejs, "CEJ"),
        ("crown_root_clinical", crest_depth(sight, root), crests, "mean crest"),
    ):
        k = key(id_, root)
        if top is None or middle is None or not (end - middle).all():
            lacking = waits(sight, "coronal_reference", *names, (root, "apex"))
            yield k, Missing("1", lacking or ("apex",))
        else:
            ratio = (middle - top) / (end - middle)
            yield k, Measured(ratio, "1", f"(reference to {words}) / ({words} to apex)")
