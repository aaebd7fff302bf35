"""Ruler, level labels and rule labels of the level chart; none collides with another."""

from dataclasses import dataclass

import numpy as np

from radmeasure.model.plan import NO_DEEPER, NO_SHALLOWER
from radmeasure.reports import vocabulary
from radmeasure.reports.drawing import Path, Text, spread, text_width
from radmeasure.reports.figures import number
from radmeasure.reports.palette import PENS
from radmeasure.reports.phrases import say, translated

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
# Distance of two lines of text, and parts of the label columns, as multiples of the font size.
_LINE = 1.35
_TICK, _BEND, _GAP = 0.7, 1.0, 2.4


@dataclass(frozen=True)
class Label:
    """A line of text that belongs to a level (mm along the axis)."""

    name: str
    along: float
    text: str
    pen: str
    row: object = None


def column_width(labels, font_size):
    """Width of a column of labels."""
    widths = (text_width(label.text, font_size, PENS[label.pen].strong) for label in labels)
    return max(widths, default=0.0)


# -- levels on the ruler ---------------------------------------------------------------------------


def level_list(outline):
    """A Label for every level shown, coronal to apical as the landmarks are listed."""
    found = []
    for name in ("coronal_reference", "orifice", "filling_coronal", "filling_apical"):
        if name in outline.levels and not _hidden(outline, name):
            found.append(_level(outline, name))
    for kind in ("cej", "crest", "margin"):
        found.extend(_both_sides(outline, kind))
    for name in ("post_apical", "file_tip", "apex", "foramen"):
        if name in outline.levels and not _hidden(outline, name):
            found.append(_level(outline, name))
    return found


def plain_list(plan):
    """Labels in plain words, for explaining to a patient; no figures."""
    levels = plan.outline.levels
    found = [
        Label(name, levels[name].value, translated(words), "label")
        for name, words in vocabulary.LEVELS_PLAIN.items()
        if name in levels
    ]
    if plan.depth_mm and plan.outline.post_start is not None:
        words = say("plain_room" if plan.chosen_mm is None else "plain_post")
        along = plan.outline.post_at(0.6 * plan.depth_mm)[1]
        found.append(Label("post", along, words, "label_bound"))
    return found


def plain_shapes(labels, frame):
    """Plain labels beside the tooth, each with a line to its level."""
    size = frame.font_size
    placed = _placed([frame.y(label.along) for label in labels], frame)
    for label, y in zip(labels, placed, strict=True):
        text_x = frame.right + 1.2 * size
        start = frame.right if label.name == "crest" else frame.middle
        yield Path(((start, frame.y(label.along)), (text_x - 0.3 * size, y)), "leader")
        yield Text((text_x, y + 0.35 * size), label.text, label.pen, about=label.name)


def ruler_width(font_size):
    """Room the ruler takes beside its labels."""
    return (0.9 + _TICK + _BEND + _GAP) * font_size


def level_shapes(outline, labels, frame):
    """The ruler with its ticks, every level on it with its spread, and the labels."""
    size = frame.font_size
    x = frame.right + (0.9 + _TICK) * size
    yield from _ruler(outline, frame, x)
    placed = _placed([frame.y(label.along) for label in labels], frame)
    for label, y in zip(labels, placed, strict=True):
        at = frame.y(label.along)
        pen = _PENS.get(label.name, label.name.split("_")[0])
        yield _spread(outline.levels[label.name], frame, x + 0.5 * size)
        yield Path(((x, at), (x + _BEND * size, at)), pen, about=label.name)
        text_x = x + (_BEND + _GAP) * size
        yield Path(((x + _BEND * size, at), (text_x - 0.3 * size, y)), "leader")
        yield Text((text_x, y + 0.35 * size), label.text, label.pen, about=label.name)


def _placed(wanted, frame):
    gap = _LINE * frame.font_size
    return spread(wanted, gap, frame.top + 0.3 * gap, frame.bottom)


def _level(outline, name, words=None):
    value = outline.levels[name].value
    words = words or translated(vocabulary.LEVELS.get(name, name))
    shown = number(value / outline.per_part, 2 if outline.whole else 1)
    shown = "0" if name == outline.zero else shown
    return Label(name, value, f"{shown} {words}", "label")


def _hidden(outline, name):
    """A point that is one with a more telling one."""
    beside = {"foramen": "apex", "filling_coronal": "orifice"}.get(name)
    if beside not in outline.levels:
        return False
    return abs(outline.levels[name].value - outline.levels[beside].value) < _TOGETHER_MM


def _both_sides(outline, kind):
    sides = [s for s in ("mesial", "distal") if f"{kind}_{s}" in outline.levels]
    values = [outline.levels[f"{kind}_{s}"].value for s in sides]
    words = translated(vocabulary.LEVELS[kind])
    if kind in outline.levels and len(values) == 2 and abs(values[0] - values[1]) < _TOGETHER_MM:
        yield _level(outline, kind, words)
        return
    for side in sides:
        short = translated(vocabulary.LEVEL_SIDES[side])
        yield _level(outline, f"{kind}_{side}", say("level_side", level=words, side=short))


def _ruler(outline, frame, x):
    levels = [q.value for q in outline.levels.values()]
    step = 0.1 * outline.per_part if outline.whole else 1.0
    low, high = int(np.floor(min(levels) / step)), int(np.ceil(max(levels) / step))
    yield Path(((x, frame.y(low * step)), (x, frame.y(high * step))), "ruler")
    for i in range(low, high + 1):
        tick = (_TICK if i % 5 == 0 else 0.5 * _TICK) * frame.font_size
        yield Path(((x - tick, frame.y(i * step)), (x, frame.y(i * step))), "ruler")


def _spread(quantity, frame, x):
    """A thin bar over the 95 % interval of a level."""
    top, bottom = frame.top - 0.5 * frame.font_size, frame.bottom + 0.5 * frame.font_size
    low, high = (min(max(frame.y(v), top), bottom) for v in quantity.interval95)
    half = 0.15 * frame.font_size
    return Path(
        ((x - half, low), (x + half, low), (x + half, high), (x - half, high)), "spread", True
    )


# -- rules on depth and width ----------------------------------------------------------------------


def rule_list(plan):
    """A Label for every limit on depth that could be worked out, and one for the width."""
    if plan.space is None or plan.outline.post_start is None:
        return []
    rows = [row for row in plan.space.limits if row.quantity is not None and _shown(row, plan)]
    found = [_rule(row, plan) for row in rows]
    if plan.widest is not None and plan.deepest is not None and plan.deepest.value > 0:
        found.append(_width(plan))
    return found


def rule_shapes(plan, labels, frame):
    """The line of each rule across the canal, its leader and its label."""
    size = frame.font_size
    edges = [_edge(label, plan, frame) for label in labels]
    placed = _placed([edge[0][1] for edge in edges], frame)
    end = frame.left - 0.2 * size
    for label, ends, y in zip(labels, edges, placed, strict=True):
        if label.row is not None:
            pen = "bound" if label.pen == "label_bound" else label.row.side
            yield Path(ends, pen, about=label.name)
        yield Path(((end, y), ends[0]), "leader")
        at = (end - 0.3 * size, y + 0.35 * size)
        yield Text(at, label.text, label.pen, "end", about=label.name)


def _shown(row, plan):
    inside = -0.5 <= row.quantity.value <= plan.length_mm + 0.5
    return row.side in (NO_DEEPER, NO_SHALLOWER) and inside


def _rule(row, plan):
    binds = row.side == NO_DEEPER and row.rule == plan.space.deepest_because
    depth = row.quantity.value
    sign = "≤" if row.side == NO_DEEPER else "≥"
    rule = translated(vocabulary.RULES_SHORT.get(row.rule, row.rule))
    text = say("rule_depth", rule=rule, sign=sign, depth=number(depth, 1))
    pens = {NO_DEEPER: "label_deeper", NO_SHALLOWER: "label_shallower"}
    pen = "label_bound" if binds else pens[row.side]
    return Label(row.rule, plan.outline.post_at(depth)[1], text, pen, row)


def _width(plan):
    """The rule that sets the window's width, at a third of its depth."""
    rule = plan.space.widest_because
    short = translated(vocabulary.RULES_SHORT.get(rule, rule))
    text = say("rule_width", rule=short, width=number(plan.widest.value, 1))
    return Label(rule, plan.outline.post_at(plan.deepest.value / 3)[1], text, "label_bound")


def _edge(label, plan, frame):
    """Both ends of a rule's line on the canvas, left one first."""
    if label.row is None:
        depth, half = plan.deepest.value / 3, plan.width_mm / 2
    else:
        depth = label.row.quantity.value
        half = plan.width_mm / 2 + (0.9 if label.pen == "label_bound" else 0.5)
    across, along = plan.outline.post_at(depth)
    return tuple(sorted(frame.path([(across - half, along), (across + half, along)])))
