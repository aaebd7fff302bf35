"""Ruler, level labels and rule labels of the level chart; none collides with another."""

import numpy as np

from radmeasure.model.plan import NO_DEEPER, NO_SHALLOWER
from radmeasure.reports import phrases
from radmeasure.reports.drawing import Path, Text, spread
from radmeasure.reports.figures import number, quantity_text
from radmeasure.reports.phrases import say, translated
from radmeasure.reports.sentences import rule_title

# Both sides share one label when they differ by less than this, mm.
_TOGETHER_MM = 0.3
_PENS = {
    "coronal_reference": "reference",
    "orifice": "face",
    "apex": "end",
    "foramen": "end",
    "filling_coronal": "filled",
    "filling_apical": "filled",
    "post_apical": "face",
    "file_tip": "face",
}
_LINE = 1.35


# -- levels on the ruler -------------------------------------------------------------------------


def level_labels(outline, frame):
    """The ruler with its ticks, and every level beside it."""
    x = frame.right + 0.6 * frame.font_size
    yield from _ruler(outline, frame, x)
    items = _levels(outline)
    gap = _LINE * frame.font_size
    wanted = [frame.y(level) for _, level, _, _ in items]
    placed = spread(wanted, gap, frame.top + 0.3 * gap, frame.bottom)
    text_x = x + 3.2 * frame.font_size
    for (name, level, text, pen), y in zip(items, placed, strict=True):
        at = frame.y(level)
        yield Path(((x, at), (x + 0.9 * frame.font_size, at)), pen, about=name)
        bend = x + 0.9 * frame.font_size
        yield Path(((bend, at), (text_x - 0.4 * frame.font_size, y)), "leader")
        yield Text((text_x, y + 0.35 * frame.font_size), text, "label", about=name)


def _levels(outline):
    """(name, level, text, pen) of every level shown."""
    found = []
    for name in ("coronal_reference", "orifice", "filling_coronal", "filling_apical"):
        if name in outline.levels:
            found.append((name, *_level(outline, name)))
    for kind in ("cej", "crest", "margin"):
        found.extend(_both_sides(outline, kind))
    for name in ("post_apical", "file_tip", "apex", "foramen"):
        if name in outline.levels and not _hidden(outline, name):
            found.append((name, *_level(outline, name)))
    return found


def _level(outline, name, words=None):
    quantity = outline.levels[name]
    words = words or translated(phrases.LEVELS.get(name, name))
    if name == outline.zero:
        text = f"0 {words}"
    else:
        text = f"{quantity_text(quantity, '')} {words}"
    return quantity.value, text, _PENS.get(name, name.split("_")[0])


def _hidden(outline, name):
    """The foramen where it is one with the apex; a filling's top at the root face."""
    if name != "foramen":
        return False
    return abs(outline.levels["foramen"].value - outline.levels["apex"].value) < _TOGETHER_MM


def _both_sides(outline, kind):
    sides = [s for s in ("mesial", "distal") if f"{kind}_{s}" in outline.levels]
    values = [outline.levels[f"{kind}_{s}"].value for s in sides]
    words = translated(phrases.LEVELS[kind])
    if kind in outline.levels and len(values) == 2 and abs(values[0] - values[1]) < _TOGETHER_MM:
        yield (kind, *_level(outline, kind, words))
        return
    for side in sides:
        name = f"{kind}_{side}"
        sided = say("level_side", level=words, side=translated(phrases.SIDES[side]))
        yield (name, *_level(outline, name, sided))


def _ruler(outline, frame, x):
    levels = [q.value for q in outline.levels.values()]
    low, high = int(np.floor(min(levels))), int(np.ceil(max(levels)))
    yield Path(((x, frame.y(low)), (x, frame.y(high))), "ruler")
    for mm in range(low, high + 1):
        whole = mm % 5 == 0
        tick = (0.7 if whole else 0.35) * frame.font_size
        yield Path(((x - tick, frame.y(mm)), (x, frame.y(mm))), "ruler")


# -- rules on depth and width --------------------------------------------------------------------


def rule_labels(plan, frame):
    """Every limit that could be worked out, at its depth, named beside the tooth."""
    if plan.space is None or plan.outline.post_start is None:
        return
    rows = [r for r in plan.space.limits if r.quantity is not None and _shown(r, plan)]
    items = [_row(row, plan, frame) for row in rows]
    if plan.widest is not None and plan.deepest is not None and plan.deepest.value > 0:
        items.append(_width_row(plan, frame))
    gap = _LINE * frame.font_size
    placed = spread([item[0][1] for item in items], gap, frame.top + 0.3 * gap, frame.bottom)
    for (edge, text, pen, label, about, bar), y in zip(items, placed, strict=True):
        end = frame.left - 0.2 * frame.font_size
        yield from bar
        yield Path(((end, y), edge), "leader")
        at = (end - 0.3 * frame.font_size, y + 0.35 * frame.font_size)
        yield Text(at, text, label, "end", about=about)
        _ = pen


def _shown(row, plan):
    inside = -0.5 <= row.quantity.value <= plan.length_mm + 0.5
    return row.side in (NO_DEEPER, NO_SHALLOWER) and inside


def _row(row, plan, frame):
    """(edge of its line, text, pen, label's pen, rule, shapes) of one limit."""
    binds = row.side == NO_DEEPER and row.rule == plan.space.deepest_because
    pen = "bound" if binds else row.side
    depth = row.quantity.value
    across, along = plan.outline.post_at(depth)
    half = plan.width_mm / 2 + (0.9 if binds else 0.5)
    ends = sorted(frame.path([(across - half, along), (across + half, along)]))
    sign = "≤" if row.side == NO_DEEPER else "≥"
    text = say("rule_depth", rule=rule_title(row.rule), sign=sign, depth=number(depth, 1))
    label = (
        "label_bound"
        if binds
        else {NO_DEEPER: "label_deeper", NO_SHALLOWER: "label_shallower"}[row.side]
    )
    bar = [_spread_bar(row.quantity, plan, frame, ends[0]), Path(tuple(ends), pen, about=row.rule)]
    return ends[0], text, pen, label, row.rule, bar


def _spread_bar(quantity, plan, frame, at):
    """A thin upright bar over the 95 % interval of a limit."""
    low, high = (min(max(v, -1.0), plan.length_mm + 1.0) for v in quantity.interval95)
    ys = [frame.y(plan.outline.post_at(v)[1]) for v in (low, high)]
    half = 0.12 * frame.font_size
    x = at[0]
    corners = ((x - half, ys[0]), (x + half, ys[0]), (x + half, ys[1]), (x - half, ys[1]))
    return Path(corners, "spread", True)


def _width_row(plan, frame):
    """The rule that sets the window's width, at a third of its depth."""
    depth = plan.deepest.value / 3
    across, along = plan.outline.post_at(depth)
    edges = sorted(frame.path([(across + s * plan.width_mm / 2, along) for s in (-1, 1)]))
    rule = plan.space.widest_because
    text = say("rule_width", rule=rule_title(rule), width=number(plan.widest.value, 1))
    return edges[0], text, "bound", "label_bound", rule, []
