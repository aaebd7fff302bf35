"""The level chart: one root straightened along its axis, to scale, with the post's room.

All levels stand on one ruler; the room a post has is shaded between the rules that
bind it, fading where the safe depth is uncertain. One display list serves window,
PDF, SVG and PNG.
"""

import itertools
from dataclasses import dataclass

import numpy as np

from radmeasure.reports import phrases
from radmeasure.reports.chart_labels import level_labels, rule_labels
from radmeasure.reports.chart_tooth import tooth_shapes
from radmeasure.reports.drawing import Drawing, Handle, Path, Text
from radmeasure.reports.figures import depth_text, number, quantity_text
from radmeasure.reports.phrases import say, translated
from radmeasure.reports.sentences import root_title

# Sides of the drawing kept for labels, as parts of its width.
_LEFT, _RIGHT = 0.33, 0.30
_ROOM_MM = 1.2
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


class Frame:
    """Millimetres of a root's own frame onto the canvas, the same way up as the film."""

    def __init__(self, outline, view, width, height, font_size, reach):
        axis, mesial = view.seen(outline.axis_px), view.seen(outline.mesial_px)
        self.apex_up = axis[1] < 0
        self.mesial_right = mesial[0] > 0
        low, high, half = reach
        self.top, self.bottom = 2.6 * font_size, height - 1.8 * font_size
        room = width * (1 - _LEFT - _RIGHT)
        self.per_mm = min((self.bottom - self.top) / (high - low), room / (2 * half))
        self.middle = width * _LEFT + room / 2
        self.left, self.right = self.middle - room / 2, self.middle + room / 2
        spare = (self.bottom - self.top) - self.per_mm * (high - low)
        self._zero = self.top + spare / 2 - self.per_mm * low
        if self.apex_up:
            self._zero = self.bottom - spare / 2 + self.per_mm * low
        self.width, self.height, self.font_size = width, height, font_size

    def y(self, along):
        """Canvas y of a level."""
        return self._zero + (-1 if self.apex_up else 1) * along * self.per_mm

    def at(self, place):
        """Canvas point of (across, along)."""
        across = place[0] if self.mesial_right else -place[0]
        return (self.middle + across * self.per_mm, self.y(place[1]))

    def path(self, places):
        return tuple(self.at(place) for place in places)


def level_chart(evaluation, root, size=(320.0, 560.0), font_size=8.0, view=View()):
    """The chart of one root.

    Parameters
    ----------
    evaluation : Evaluation
        Its ``choice`` is the post drawn in.
    root : str
    size : tuple of two floats
        Canvas width and height.
    font_size : float
    view : View
        How the film is turned, so that the chart stands the same way up.

    Returns
    -------
    Drawing
        Falsy, with ``why``, when the root cannot be drawn.
    """
    outline = evaluation.outlines.get(root)
    width, height = size
    if outline is None:
        why = "chart_no_scale" if evaluation.scale.along is None else "chart_no_axis"
        return Drawing(width, height, font_size, why=say(why))
    space = next((s for s in evaluation.post_space if s.root == root), None)
    frame = Frame(outline, view, width, height, font_size, _reach(outline))
    plan = Plan(outline, space, evaluation)
    shapes = [
        *_heading(evaluation, outline, frame),
        *tooth_shapes(outline, frame, plan.keep_mm),
        *_window(plan, frame),
        *_post(plan, frame),
        *rule_labels(plan, frame),
        *level_labels(outline, frame),
    ]
    words = _words(evaluation, plan)
    return Drawing(width, height, font_size, tuple(shapes), tuple(_handles(plan, frame)), words)


def _reach(outline):
    """Lowest and highest level and half width to be shown, mm."""
    levels = [q.value for q in outline.levels.values()]
    lines = [line for name, line in outline.lines.items()]
    levels += [float(v) for line in lines for v in (line[:, 1].min(), line[:, 1].max())]
    across = [abs(p[0]) for p in outline.places.values()]
    across += [float(np.abs(line[:, 0]).max()) for line in lines]
    return min(levels) - _ROOM_MM / 2, max(levels) + _ROOM_MM, max(across, default=3.0) + 0.6


class Plan:
    """What is drawn of the post: its room, the chosen depth, size and seal.

    Attributes
    ----------
    deepest, widest : Quantity or None
    depth_mm : float or None
        The chosen depth, else the deepest safe one.
    size : PostSize or None
    seal_mm, keep_mm : float
        Apical seal and dentine beside the post that are asked for.
    """

    def __init__(self, outline, space, evaluation):
        choice, rules = evaluation.choice, evaluation.rulebook
        mine = choice.root in (None, outline.root)
        self.outline, self.space = outline, space
        self.deepest = None if space is None else space.deepest
        self.widest = None if space is None else space.widest_at_deepest
        self.chosen_mm = choice.depth_mm if mine else None
        self.depth_mm = self.chosen_mm
        if self.depth_mm is None and self.deepest is not None:
            self.depth_mm = self.deepest.value
        fits = () if space is None else space.sizes
        self.sizes = tuple(fit.size for fit in fits)
        named = [s for s in self.sizes if mine and s.name == choice.size_name]
        self.size = named[0] if named else None
        self.seal_mm = choice.seal_mm if choice.seal_mm is not None else rules.value("post.seal")
        self.keep_mm = rules.value("post.dentine")
        self.length_mm = 0.0 if outline.canal is None else float(outline.canal[-1, 2])

    @property
    def width_mm(self):
        return _THIN_MM if self.widest is None else self.widest.value

    def body(self, start_mm, end_mm, half_at):
        """Outline of something on the post's line; ``half_at(depth)`` is half its width."""
        one, other = [], []
        steps = np.linspace(start_mm, end_mm, max(2, int(2 * abs(end_mm - start_mm)) + 2))
        direction = self.outline.post_direction
        for depth in steps:
            across, along = self.outline.post_at(depth)
            dx, dy = half_at(depth) * direction[1], -half_at(depth) * direction[0]
            one.append((across + dx, along + dy))
            other.append((across - dx, along - dy))
        return (*one, *reversed(other))

    def half_post(self, depth):
        """Half the chosen post's width at a depth."""
        if self.size is None:
            return self.width_mm / 2
        return self.size.diameter_mm(self.depth_mm - depth) / 2


def _heading(evaluation, outline, frame):
    zero = translated(phrases.ZEROS[outline.zero])
    y = frame.font_size * 1.2
    yield Text((frame.width, y), say("chart_levels", zero=zero), "label_quiet", "end")
    if outline.canal is not None:
        yield Text((0.0, y), say("chart_depths"), "label_quiet")
    foot = frame.height - 0.4 * frame.font_size
    sides = ("mesial", "distal") if not frame.mesial_right else ("distal", "mesial")
    yield Text((frame.left, foot), translated(phrases.SIDES[sides[0]]), "label_quiet")
    yield Text((frame.right, foot), translated(phrases.SIDES[sides[1]]), "label_quiet", "end")
    if len(evaluation.landmarks.roots) > 1:
        yield Text((frame.middle, foot), root_title(outline.root), "label_strong", "middle")


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
    """The chosen post and the dentine left beside its end."""
    if plan.depth_mm is None or plan.outline.post_start is None or plan.depth_mm <= 0:
        return
    if plan.chosen_mm is not None or plan.size is not None:
        yield Path(frame.path(plan.body(0.0, plan.depth_mm, plan.half_post)), "post", True)
    yield from _dentine(plan, frame)


def _dentine(plan, frame):
    """An arrow from post to wall on both sides at its end, with the dentine left."""
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
        left_mm = sign * (wall - edge)
        yield Path(frame.path([(edge, along), (wall, along)]), "dentine_arrow")
        x, y = frame.at((0.5 * (edge + wall), along))
        y += (1 if frame.apex_up else -1) * 0.35 * frame.font_size
        y += 0.75 * frame.font_size if frame.apex_up else 0.0
        about = f"dentine_{side}"
        yield Text((x, y), number(left_mm, 1), "label_quiet", "middle", about=about)


# -- dragging -------------------------------------------------------------------------------------


def _handles(plan, frame):
    if plan.outline.post_start is None or plan.depth_mm is None:
        return
    direction = plan.outline.post_direction
    down = frame.at((direction[0], direction[1]))
    origin = frame.at((0.0, 0.0))
    along = ((down[0] - origin[0]) / frame.per_mm, (down[1] - origin[1]) / frame.per_mm)
    tip = frame.at(plan.outline.post_at(plan.depth_mm))
    yield Handle("depth", tip, along, frame.per_mm, plan.depth_mm, 0.0, plan.length_mm)
    seal = plan.outline.levels.get("filling_apical")
    if seal is not None:
        at = _canal_place(plan.outline, seal.value - plan.seal_mm)
        up = (-along[0], -along[1])
        # No deeper seal than the filling is long.
        yield Handle("seal", frame.at(at), up, frame.per_mm, plan.seal_mm, 0.0, plan.length_mm)
    if plan.sizes:
        half = plan.half_post(plan.depth_mm / 2)
        middle = plan.outline.post_at(plan.depth_mm / 2)
        edge = frame.at((middle[0] + half * direction[1], middle[1] - half * direction[0]))
        outward = 1.0 if edge[0] > frame.at(middle)[0] else -1.0
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
        return say("chart_words_bare", tooth=tooth.fdi, root=root_title(plan.outline.root))
    depth = depth_text(plan.depth_mm)
    return say(
        "chart_words",
        tooth=tooth.fdi,
        root=root_title(plan.outline.root),
        safe=quantity_text(plan.deepest, "mm"),
        depth=depth,
    )
