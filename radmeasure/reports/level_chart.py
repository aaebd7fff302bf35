"""The level chart: one root straightened along its axis, to scale, with the post's room.

All levels stand on one ruler; the room a post has is shaded between the rules that
bind it, fading where the safe depth is uncertain. One display list serves window,
PDF, SVG and PNG.
"""

import itertools
from dataclasses import dataclass

import numpy as np

from radmeasure.reports import vocabulary
from radmeasure.reports.chart_gain import gain_handle, gain_of, gain_shapes
from radmeasure.reports.chart_labels import (
    column_width,
    level_list,
    level_shapes,
    plain_list,
    plain_shapes,
    rule_list,
    rule_shapes,
    ruler_width,
)
from radmeasure.reports.chart_tooth import root_side, tooth_shapes
from radmeasure.reports.drawing import Drawing, Handle, Path, Text, text_width
from radmeasure.reports.figures import depth_text, number, quantity_text
from radmeasure.reports.phrases import say, translated
from radmeasure.reports.sentences import root_title

# Labels may take this part of the width on each side; beyond it they are drawn smaller.
_MOST = 0.36
_SMALLEST = 0.8
_LEAST_ROOM = 0.1  # of the width, for the tooth, whatever the labels take
_ROOM_MM = 1.2
_BESIDE_MM = 0.25
# Steps in which the window fades over the uncertainty of the safe depth.
_FADE = 10
# Width shown while the rules on width still wait for the walls.
_THIN_MM = 0.8


@dataclass(frozen=True)
class View:
    """How the film is turned for showing: as FilmEntry's ``turns`` and ``mirrored``."""

    turns: int = 0
    mirrored: bool = False

    def seen(self, vector):
        """A film vector (x right, y down) as it is seen after turning and mirroring."""
        x, y = vector
        for _ in range(self.turns % 4):
            x, y = -y, x
        return (-x if self.mirrored else x), y


VIEW = View()


class Frame:
    """Millimetres of a root's own frame onto the canvas, the same way up as the film.

    Parameters
    ----------
    outline : RootOutline
    view : View
    size : tuple of two floats
        Canvas width and height.
    font_size : float
    columns : tuple of two floats
        Widths kept for the labels on the left and right.
    """

    def __init__(self, outline, view, size, font_size, columns):
        axis, mesial = view.seen(outline.axis_px), view.seen(outline.mesial_px)
        self.apex_up = axis[1] < 0
        self.mesial_right = mesial[0] > 0
        low, high, half = _reach(outline)
        self.width, self.height, self.font_size = *size, font_size
        self.top, self.bottom = 2.6 * font_size, self.height - 1.9 * font_size
        room = max(self.width - sum(columns), _LEAST_ROOM * self.width)
        self.per_mm = min((self.bottom - self.top) / (high - low), room / (2 * half))
        # What the tooth does not need is shared out, so that labels stay near it.
        spare = 0.5 * (room - 2 * half * self.per_mm)
        self.left, self.right = columns[0] + spare, self.width - columns[1] - spare
        self.middle = 0.5 * (self.left + self.right)
        over = 0.5 * (self.bottom - self.top - self.per_mm * (high - low))
        self._zero = self.top + over - self.per_mm * low
        if self.apex_up:
            self._zero = self.bottom - over + self.per_mm * low

    def y(self, along):
        """Canvas y of a level."""
        return self._zero + (-1 if self.apex_up else 1) * along * self.per_mm

    def at(self, place):
        """Canvas point of (across, along)."""
        across = place[0] if self.mesial_right else -place[0]
        return (self.middle + across * self.per_mm, self.y(place[1]))

    def path(self, places):
        """Canvas points of several places: a sequence of pairs, or an array (N, 2)."""
        places = places.tolist() if isinstance(places, np.ndarray) else places
        return tuple(self.at(place) for place in places)


def level_chart(
    evaluation, root, choice=None, size=(320.0, 520.0), font_size=8.0, view=VIEW, least_size=None
):
    """The chart of one root.

    Parameters
    ----------
    evaluation : Evaluation
    root : str
    choice : PlanChoice, optional
        The post drawn in; the evaluation's own choice without it.
    size : tuple of two floats
        Canvas width and height.
    font_size : float
    view : View
        How the film is turned, so that the chart stands the same way up.
    least_size : float, optional
        Font size down to which labels shrink to leave the tooth its room; four fifths
        of ``font_size`` without it.

    Returns
    -------
    Drawing
        Falsy, with ``why``, when the root cannot be drawn.
    """
    outline = evaluation.outlines.get(root)
    if outline is None:
        return Drawing(*size, font_size, why=say("chart_no_axis"))
    plan = Plan(outline, evaluation, choice or evaluation.choice)
    rules, levels = rule_list(plan), level_list(outline)
    least = _SMALLEST if least_size is None else min(_SMALLEST, least_size / font_size)
    font_size *= _shrink(rules, levels, size[0], font_size, least)
    columns = _columns(rules, levels, font_size)
    frame = Frame(outline, view, size, font_size, columns)
    gains = gain_of(evaluation, outline)
    gained = 0.0 if gains is None or plan.choice.gain_mm is None else gains.amount_mm
    shapes = [
        *_heading(evaluation, outline, frame),
        *tooth_shapes(outline, frame, plan.keep_mm),
        *_window(plan, frame),
        *_post(plan, frame),
        *rule_shapes(plan, rules, frame),
        *_dentine(plan, frame),
        *level_shapes(outline, levels, frame),
        *(gain_shapes(outline, gained, frame) if gained else ()),
    ]
    handles = [*_handles(plan, frame), *(gain_handle(outline, gains, frame) if gains else ())]
    words = _words(evaluation, plan)
    return Drawing(*size, font_size, tuple(shapes), tuple(handles), words)


def plain_chart(evaluation, root, size, font_size=9.0, view=VIEW):
    """The tooth in plain words: what is where, and the post, without figures."""
    outline = evaluation.outlines.get(root)
    if outline is None:
        return Drawing(*size, font_size, why=say("chart_no_axis"))
    plan = Plan(outline, evaluation, evaluation.choice)
    labels = plain_list(plan)
    columns = (0.0, column_width(labels, font_size) + 1.4 * font_size)
    frame = Frame(outline, view, size, font_size, columns)
    shapes = [
        *tooth_shapes(outline, frame, plan.keep_mm, plain=True),
        *_window(plan, frame),
        *_post(plan, frame),
        *plain_shapes(labels, frame),
    ]
    return Drawing(*size, font_size, tuple(shapes))


def _columns(rules, levels, font_size):
    left = column_width(rules, font_size) + (1.2 * font_size if rules else 0.0)
    return left, column_width(levels, font_size) + ruler_width(font_size) + 0.4 * font_size


def _shrink(rules, levels, width, font_size, least):
    """Factor by which labels are drawn smaller on a narrow canvas."""
    widest = max(_columns(rules, levels, font_size))
    return min(1.0, max(least, _MOST * width / widest))


def _reach(outline):
    """Lowest and highest level and half width to be shown, mm."""
    levels = [q.value for q in outline.levels.values()]
    lines = [line for name, line in outline.lines.items()]
    levels += [float(v) for line in lines for v in (line[:, 1].min(), line[:, 1].max())]
    across = [abs(p[0]) for p in outline.places.values()]
    across += [float(np.abs(line[:, 0]).max()) for line in lines]
    for side, sign in (("mesial", 1), ("distal", -1)):
        across += [abs(place[0]) for place, _ in root_side(outline, side, sign)]
    return min(levels) - _ROOM_MM / 2, max(levels) + _ROOM_MM, max(across, default=3.0) + 0.6


class Plan:
    """What is drawn of the post: its room, the chosen depth, size and seal.

    Attributes
    ----------
    space : PostSpace or None
    deepest, widest : Quantity or None
    depth_mm : float or None
        The chosen depth, else the deepest safe one.
    size : PostSize or None
    seal_mm, keep_mm : float
        Apical seal and dentine beside the post that are asked for; ``keep_mm`` None
        without a scale.
    """

    def __init__(self, outline, evaluation, choice):
        rules = evaluation.rulebook
        mine = choice.root in (None, outline.root) and not outline.whole
        self.outline, self.choice = outline, choice
        self.space = next((s for s in evaluation.post_space if s.root == outline.root), None)
        self.deepest = self.space and self.space.deepest
        self.widest = self.space and self.space.widest_at_deepest
        self.chosen_mm = choice.depth_mm if mine else None
        self.depth_mm = self.chosen_mm
        if self.depth_mm is None and self.deepest is not None:
            self.depth_mm = self.deepest.value
        self.sizes = tuple(fit.size for fit in self.space.sizes) if self.space else ()
        named = [s for s in self.sizes if mine and s.name == choice.size_name]
        self.size = named[0] if named else None
        chosen_seal = choice.seal_mm if mine else None
        self.seal_mm = rules.value("post.seal") if chosen_seal is None else chosen_seal
        self.keep_mm = None if outline.whole else rules.value(rules.value("post.use_dentine"))
        self.length_mm = 0.0 if outline.canal is None else float(outline.canal[-1, 2])

    @property
    def width_mm(self):
        return _THIN_MM if self.widest is None else self.widest.value

    def body(self, start_mm, end_mm, half_at):
        """Outline of something on the post's line; ``half_at(depth)`` is half its width."""
        steps = np.linspace(start_mm, end_mm, max(2, int(2 * abs(end_mm - start_mm)) + 2))
        direction = self.outline.post_direction
        middle = self.outline.post_start + steps[:, None] * direction
        half = np.array([half_at(depth) for depth in steps.tolist()])[:, None]
        aside = half * (direction[1], -direction[0])
        return np.concatenate([middle + aside, (middle - aside)[::-1]])

    def half_post(self, depth):
        """Half the chosen post's width at a depth."""
        if self.size is None:
            return self.width_mm / 2
        return self.size.diameter_mm(self.depth_mm - depth) / 2


def _heading(evaluation, outline, frame):
    zero = translated(vocabulary.ZEROS[outline.zero])
    y, inset = frame.font_size * 1.2, frame.font_size * 0.5
    if outline.whole:
        whole = translated(vocabulary.WHOLES[outline.whole])
        yield Text((inset, y), say("chart_no_scale"), "label_quiet")
        parts = say("chart_parts", whole=whole, zero=zero)
        yield Text((frame.width - inset, y), parts, "label_quiet", "end")
    else:
        levels = say("chart_levels", zero=zero)
        yield Text((frame.width - inset, y), levels, "label_quiet", "end")
    if outline.canal is not None and not outline.whole:
        yield Text((inset, y), say("chart_depths"), "label_quiet")
    foot = frame.height - 0.4 * frame.font_size
    sides = ("mesial", "distal") if not frame.mesial_right else ("distal", "mesial")
    one, other = (translated(vocabulary.SIDES[side]) for side in sides)
    wide = text_width(one, frame.font_size) + text_width(other, frame.font_size)
    aside = max(0.0, wide - (frame.right - frame.left)) / 2
    yield Text((frame.left - aside, foot), one, "label_quiet")
    yield Text((frame.right + aside, foot), other, "label_quiet", "end")
    if len(evaluation.landmarks.roots) > 1:
        above = (frame.middle, foot - 1.2 * frame.font_size)
        yield Text(above, root_title(outline.root), "label_strong", "middle")


# -- the room for a post ---------------------------------------------------------------------------


def _window(plan, frame):
    """The allowed window, fading by the probability that a depth is still safe."""
    if plan.deepest is None or plan.outline.post_start is None or plan.deepest.value <= 0:
        return
    low, high = plan.deepest.interval95
    low, high = min(max(low, 0.0), plan.deepest.value), max(high, plan.deepest.value)
    high = min(high, plan.length_mm)

    def half(_):
        return plan.width_mm / 2

    whole = frame.path(plan.body(0.0, low, half))
    if low > 0:
        yield Path(whole, "window", True, about=plan.space.deepest_because)
    edges = np.linspace(low, high, _FADE + 1) if high > low else ()
    for start, end in itertools.pairwise(edges):
        p = plan.deepest.probability(low=0.5 * (start + end))
        strip = frame.path(plan.body(start, end, half))
        yield Path(strip, "window", True, opacity=p, about=plan.space.deepest_because)


def _post(plan, frame):
    """The chosen post."""
    if plan.depth_mm is None or plan.outline.post_start is None or plan.depth_mm <= 0:
        return
    if plan.chosen_mm is not None or plan.size is not None:
        yield Path(frame.path(plan.body(0.0, plan.depth_mm, plan.half_post)), "post", True)


def _dentine(plan, frame):
    """An arrow from post to wall on both sides at its end, and the dentine left beside it."""
    if plan.depth_mm is None or plan.outline.post_start is None or plan.depth_mm <= 0:
        return
    across, along = plan.outline.post_at(plan.depth_mm)
    half = plan.half_post(plan.depth_mm)
    for side, sign in (("mesial", 1), ("distal", -1)):
        wall = plan.outline.wall_at(f"root_wall_{side}", along)
        if wall is None:
            continue
        canal = plan.outline.wall_at(f"canal_wall_{side}", along)
        edge = across + sign * half
        if canal is not None and sign * canal > sign * edge:
            edge = canal
        about = f"dentine_{side}"
        yield Path(frame.path([(edge, along), (wall, along)]), "dentine_arrow", about=about)
        text = number(sign * (wall - edge), 1)
        x, y, anchor = _beside_wall(frame, wall, sign, along, text)
        yield _plate(x, y, text, anchor, frame.font_size)
        yield Text((x, y + 0.3 * frame.font_size), text, "label_quiet", anchor, about=about)


def _beside_wall(frame, wall, sign, along, text):
    """Place and anchor of a figure outside a wall, or inside it where labels begin."""
    room = text_width(text, 0.92 * frame.font_size)
    x, y = frame.at((wall + sign * _BESIDE_MM, along))
    outwards = 1 if x > frame.middle else -1
    if not frame.left <= x + outwards * room <= frame.right:
        x, y = frame.at((wall - sign * _BESIDE_MM, along))
        outwards = -outwards
    return x, y, "start" if outwards > 0 else "end"


def _plate(x, y, text, anchor, size):
    """A patch of paper under a figure, so that no line runs through it."""
    width, half = text_width(text, 0.92 * size), 0.5 * size
    left = x if anchor == "start" else x - width
    corners = ((left, y - half), (left + width, y - half), (left + width, y + half))
    return Path((*corners, (left, y + half)), "plate", True)


# -- dragging -------------------------------------------------------------------------------------

_ASIDE = 24.0  # of the seal's handle from the axis, in units of the drawing


def _handles(plan, frame):
    if plan.outline.post_start is None or plan.depth_mm is None:
        return
    direction = plan.outline.post_direction
    down = frame.at((direction[0], direction[1]))
    origin = frame.at((0.0, 0.0))
    along = ((down[0] - origin[0]) / frame.per_mm, (down[1] - origin[1]) / frame.per_mm)
    tip = frame.at(plan.outline.post_at(plan.depth_mm))
    yield Handle("depth", tip, along, frame.per_mm, plan.depth_mm, 0.0, plan.length_mm)
    half = plan.half_post(plan.depth_mm / 2)
    middle = plan.outline.post_at(plan.depth_mm / 2)
    edge = frame.at((middle[0] + half * direction[1], middle[1] - half * direction[0]))
    outward = 1.0 if edge[0] > frame.at(middle)[0] else -1.0
    seal = plan.outline.levels.get("filling_apical")
    if seal is not None:
        # Beside the axis: on it the handle of the depth, often the same level, would cover it.
        x, y = frame.at(_canal_place(plan.outline, seal.value - plan.seal_mm))
        at, up = (x - outward * _ASIDE, y), (-along[0], -along[1])
        yield Handle("seal", at, up, frame.per_mm, plan.seal_mm, 0.0, plan.length_mm)
    if plan.sizes:
        tip_mm = plan.width_mm if plan.size is None else plan.size.tip_mm
        choices = tuple((s.name, s.tip_mm) for s in plan.sizes)
        most = max(s.tip_mm for s in plan.sizes)
        per_mm = frame.per_mm / 2
        yield Handle("size", edge, (outward, 0.0), per_mm, tip_mm, 0.3, most, choices)


def _canal_place(outline, along):
    """(across, along) of the canal at a level."""
    canal = outline.canal
    return (float(np.interp(along, canal[:, 1], canal[:, 0])), along)


def _words(evaluation, plan):
    """The chart in one sentence, for those who cannot see it."""
    tooth = evaluation.landmarks.tooth
    if plan.deepest is None:
        name = "chart_words_parts" if plan.outline.whole else "chart_words_bare"
        return say(name, tooth=tooth.fdi, root=root_title(plan.outline.root))
    depth = depth_text(plan.depth_mm)
    return say(
        "chart_words",
        tooth=tooth.fdi,
        root=root_title(plan.outline.root),
        safe=quantity_text(plan.deepest, "mm"),
        depth=depth,
    )
