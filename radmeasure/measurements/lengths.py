"""Tooth, crown, root and canal lengths; working length and the stop's setting."""

import numpy as np

from radmeasure.measurements.canal import canal_of, canal_waits, depth_of_point
from radmeasure.measurements.result import Measured, Missing, key, waits

APEX_LOCATOR = "confirm with an electronic apex locator"
# Williams et al., J Endod 2006;32:624-627 (read).
_LOOKS_SHORT = "a file that looks short is on average 0.46 mm nearer than it looks"
_LOOKS_LONG = "a file that looks long is on average 1.2 mm further out than it looks"


def reference_depth(sight, root):
    """Axis depth of the coronal reference (mm, shape (K,)), or None."""
    return sight.once(("reference depth", root), lambda: _reference_depth(sight, root))


def _reference_depth(sight, root):
    depth = sight.depth("coronal_reference", root)
    return None if depth is None else depth + sight.hidden("reference")


def side_depth(sight, root, level, side):
    """Axis depth of 'cej', 'crest' or 'margin' on one side (mm, (K,)), or None."""
    return sight.once((level, side, root), lambda: _side_depth(sight, root, level, side))


def _side_depth(sight, root, level, side):
    depth = sight.depth(f"{level}_{side}", root)
    if depth is None:
        return None
    depth = depth + sight.hidden(level, side)
    return depth if level == "margin" else depth + sight.hidden(level)


def cej_depth(sight, root):
    """Axis depth of the CEJ midpoint, or None when a CEJ point is not placed."""
    return _mean_depth(sight, root, "cej")


def crest_depth(sight, root):
    """Axis depth of the mean of both crest points, or None."""
    return _mean_depth(sight, root, "crest")


def _mean_depth(sight, root, level):
    return sight.once((level, "mean", root), lambda: _both_sides(sight, root, level))


def _both_sides(sight, root, level):
    sides = [side_depth(sight, root, level, side) for side in ("mesial", "distal")]
    return None if any(s is None for s in sides) else 0.5 * (sides[0] + sides[1])


def apex_depth(sight, root):
    """Axis depth of the apex, or None."""
    return sight.once(("apex depth", root), lambda: _apex_depth(sight, root))


def _apex_depth(sight, root):
    depth = sight.depth("apex", root)
    return None if depth is None else depth + sight.hidden("root", root)


_CEJ, _CREST = ("cej_mesial", "cej_distal"), ("crest_mesial", "crest_distal")


def _between(sight, root, id_, start, end, wanted, what):
    a, b = start(sight, root), end(sight, root)
    if a is None or b is None:
        lacking = waits(sight, *wanted, (root, "apex"))
        return key(id_, root), Missing("mm", lacking)
    used = sight.frame(root).axis_used
    return key(id_, root), Measured(b - a, "mm", f"{what}, along the axis {used}")


def axis_lengths(sight, root, rules):
    """tooth_length, crown_length, root_length, clinical crown and root lengths."""
    top = ("coronal_reference",)
    for id_, start, end, wanted, what in (
        ("tooth_length", reference_depth, apex_depth, top, "coronal reference to apex"),
        ("crown_length", reference_depth, cej_depth, top + _CEJ, "coronal reference to CEJ"),
        ("root_length", cej_depth, apex_depth, _CEJ, "CEJ to apex"),
        (
            "clinical_crown_length",
            reference_depth,
            crest_depth,
            top + _CREST,
            "coronal reference to mean crest",
        ),
        ("clinical_root_length", crest_depth, apex_depth, _CREST, "mean crest to apex"),
    ):
        yield _between(sight, root, id_, start, end, wanted, what)


def canal_length(sight, root, rules):
    """Coronal reference -> orifice -> along the canal line -> foramen or apex."""
    found = sight.once(("canal_length", root), lambda: _canal_length(sight, root))
    yield key("canal_length", root), found


def _canal_length(sight, root):
    canal = canal_of(sight, root)
    reference = sight.canal_xy("coronal_reference", root)
    if canal is None or reference is None:
        return Missing("mm", waits(sight, "coronal_reference") + canal_waits(sight, root))
    step = reference - canal.xy[:, 0]
    hidden = sight.hidden("canal", root) - sight.hidden("reference")
    values = np.hypot(step[:, 0], step[:, 1]) + canal.length + hidden
    method = f"coronal reference to orifice, then along the canal to the {canal.end}"
    return Measured(values, "mm", method)


def file_gap(sight, root, rules):
    """Distance from the file's tip to the foramen (or apex) along the canal; beyond is negative."""
    found = sight.once(("file_gap", root), lambda: _file_gap(sight, root))
    yield key("file_gap", root), found


def _file_gap(sight, root):
    tip = sight.canal_xy("file_tip", root)
    if tip is None:
        return Missing("mm", waits(sight, (root, "file_tip"), (root, "apex")))
    canal = canal_of(sight, root)
    if canal is not None:
        values = canal.length - depth_of_point(sight, root, "file_tip")
        method = f"file tip to {canal.end} along the canal"
    else:
        end = "foramen" if sight.point("foramen", root) is not None else "apex"
        step = sight.canal_xy(end, root) - tip
        sign = np.where(step[:, 1] >= 0, 1.0, -1.0)
        values = sign * np.hypot(step[:, 0], step[:, 1])
        method = f"file tip to {end}, straight (no canal line placed)"
    remark = _LOOKS_SHORT if values[0] > 0 else _LOOKS_LONG
    values = values + sight.hidden("apical", root)
    return Measured(values, "mm", method, f"{remark} (Williams 2006)")


def working_length(sight, root, rules):
    """Length-check film: file length + gap - stop-short; else canal length - stop-short."""
    given = sight.given
    stop_short = given.get("stop_short_mm", rules.value("working_length.stop_short"))
    ((_, gap),), ((_, whole),) = file_gap(sight, root, rules), canal_length(sight, root, rules)
    file_length = sight.file_lengths.get(root)
    if gap and file_length is not None:
        values = file_length + gap.values - stop_short
        method = f"file length + gap - {stop_short:g} mm stop-short"
    elif whole:
        values = whole.values - stop_short
        method = f"canal length - {stop_short:g} mm stop-short"
    else:
        lacking = () if gap or sight.point("file_tip", root) is None else gap.waits_for
        lacking = lacking or getattr(whole, "waits_for", ())
        if gap and file_length is None:
            lacking = ("file_length_mm", *lacking)
        yield key("working_length", root), Missing("mm", lacking)
        yield key("stop_setting", root), Missing("mm", lacking)
        return
    yield key("working_length", root), Measured(values, "mm", method, APEX_LOCATOR)
    yield key("stop_setting", root), _stop_setting(values, rules)


def _stop_setting(values, rules):
    step = rules.value("working_length.stop_step")
    setting = np.round(values[0] / step) * step
    reach = [n for n in rules.value("instruments.lengths") if n >= setting]
    which = (
        f"shortest instrument that reaches: {reach[0]:g} mm"
        if reach
        else ("longer than any standard instrument")
    )
    # The setting is a choice, its uncertainty that of the working length behind it.
    shifted = values - values[0] + setting
    return Measured(shifted, "mm", f"working length rounded to {step:g} mm; {which}", APEX_LOCATOR)
