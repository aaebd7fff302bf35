"""The tooth of the level chart: walls, canal, filling, crown, as they were drawn."""

import itertools

import numpy as np

from radmeasure.reports.drawing import Path

# A root whose walls are not drawn is sketched this wide at its top, mm to each side.
_SKETCH_MM = 2.6
# A canal whose walls are not drawn is shown this wide, mm to each side.
_CANAL_MM = 0.35
_BAR_MM = 1.1
_SIDES = (("mesial", 1), ("distal", -1))


def tooth_shapes(outline, frame, keep_mm, plain=False):
    """Shapes from the root outwards; ``keep_mm`` of dentine is marked inside both walls, if given.

    ``plain`` leaves out what only a clinician reads.
    """
    sides = {side: root_side(outline, side, sign) for side, sign in _SIDES}
    area = [p for p, _ in sides["mesial"]] + [p for p, _ in reversed(sides["distal"])]
    yield Path(frame.path(area), "dentine", True)
    yield from _crown(outline, frame, sides)
    yield from _canal(outline, frame)
    for side, sign in _SIDES:
        yield from _wall(frame, sides[side])
        if not plain and keep_mm is not None:
            yield from _keep_out(outline, frame, side, sign, keep_mm)
    if "lesion" in outline.lines:
        yield Path(frame.path(outline.lines["lesion"]), "lesion", True, about="lesion")
    if not plain:
        yield from _face(outline, frame)
    yield from _bars(outline, frame, ("crest",) if plain else ("cej", "crest", "margin"))


def root_side(outline, side, sign):
    """[(place, drawn)] down one side of the root, from its top to the apex."""
    apex = outline.places["apex"]
    line = outline.lines.get(f"root_wall_{side}")
    top = outline.places.get(f"cej_{side}")
    if line is None:
        return _sketch(outline, sign, top, apex)
    wall = [(tuple(p), True) for p in line.tolist()]
    if top is not None and top[1] < line[:, 1].min():
        wall.insert(0, (top, False))
    if line[-1][1] < apex[1] - 0.2:
        wall.append((apex, False))
    return wall


def _sketch(outline, sign, top, apex):
    if top is None:
        level = outline.levels.get("orifice") or outline.levels[outline.zero]
        top = (apex[0] + sign * _SKETCH_MM, level.value)
    t = np.linspace(0.0, 1.0, 9)
    across = apex[0] + (top[0] - apex[0]) * np.sqrt(np.clip(1 - t**1.6, 0, None))
    along = top[1] + t * (apex[1] - top[1])
    return [((float(a), float(d)), False) for a, d in zip(across, along, strict=True)]


def _wall(frame, side):
    """Drawn stretches whole, guessed ones dashed."""
    for (a, drawn_a), (b, drawn_b) in itertools.pairwise(side):
        if not (drawn_a and drawn_b):
            yield Path(frame.path([a, b]), "wall_guess")
    drawn = [p for p, is_drawn in side if is_drawn]
    if drawn:
        yield Path(frame.path(drawn), "wall")


def _keep_out(outline, frame, side, sign, keep_mm):
    line = outline.lines.get(f"root_wall_{side}")
    if line is None:
        return
    inner = np.column_stack([line[:, 0] - sign * keep_mm, line[:, 1]])
    middle = 0.0
    if outline.canal is not None:
        middle = np.interp(inner[:, 1], outline.canal[:, 1], outline.canal[:, 0])
    inner = inner[sign * (inner[:, 0] - middle) > 0]  # on its own side of the canal
    if len(inner) > 1:
        yield Path(frame.path(inner), "keep_out", about="dentine")


def _crown(outline, frame, sides):
    """A dashed sketch: the film's crown is not traced."""
    if "coronal_reference" not in outline.places:
        return
    edge = outline.places["coronal_reference"][1]
    tops = {side: sides[side][0][0] for side, _ in _SIDES}
    for side, sign in _SIDES:
        top = tops[side]
        swell = (top[0] * 1.12 + sign * 0.2, top[1] + 0.5 * (edge - top[1]))
        corner = (top[0] * 0.85, edge + 0.15 * (top[1] - edge))
        inner = (top[0] * 0.72, edge)
        yield Path(frame.path([top, swell, corner, inner]), "crown")
    across = [tops[side][0] * 0.72 for side, _ in _SIDES]
    yield Path(frame.path([(across[0], edge), (across[1], edge)]), "crown")


def _canal(outline, frame):
    if outline.canal is None:
        return
    yield Path(frame.path(_along_canal(outline, *outline.canal[[0, -1], 1])), "canal", True)
    spans = (
        ("filling_coronal", "filling_apical", "filling"),
        ("post_coronal", "post_apical", "seated_post"),
    )
    for start, end, pen in spans:
        if end in outline.places:
            low = outline.places.get(start, (0, outline.canal[0, 1]))[1]
            body = _along_canal(outline, low, outline.places[end][1])
            yield Path(frame.path(body), pen, True, about=end)
    if "file_tip" in outline.places:
        tip = outline.places["file_tip"]
        start = outline.places.get("file_stop", outline.places["orifice"])
        inside = [p for p in outline.canal[:, :2] if start[1] < p[1] < tip[1]]
        yield Path(frame.path([start, *inside, tip]), "file", about="file_tip")


def _along_canal(outline, low, high):
    """Area of the canal between two levels, as wide as its walls say."""
    levels = np.linspace(low, high, 24)
    middle = np.interp(levels, outline.canal[:, 1], outline.canal[:, 0])
    found = []
    for side, sign in _SIDES:
        walls = outline.walls_at(f"canal_wall_{side}", levels)
        across = middle + sign * _CANAL_MM if walls is None else walls
        found.append(np.column_stack([across, levels]))
    return np.concatenate([found[0], found[1][::-1]])


def _face(outline, frame):
    """The root face: where post depths begin."""
    if "orifice" not in outline.places:
        return
    across, along = outline.places["orifice"]
    ends = []
    for side, sign in _SIDES:
        wall = outline.wall_at(f"root_wall_{side}", along)
        ends.append((across + sign * 1.5 if wall is None else wall, along))
    yield Path(frame.path(ends), "face", about="orifice")


def _bars(outline, frame, kinds):
    """Crest, CEJ and margin as short strokes beside the root, where they were placed."""
    for kind in kinds:
        for side, sign in _SIDES:
            place = outline.places.get(f"{kind}_{side}")
            if place is not None:
                out = (place[0] + sign * _BAR_MM, place[1])
                yield Path(frame.path([place, out]), kind, about=f"{kind}_{side}")
