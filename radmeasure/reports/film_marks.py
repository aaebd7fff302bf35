"""Landmarks over a film as a display list: marks that leave the film under them visible.

A landmark on an edge is two short strokes with a gap over the edge; a point inside
is a broken ring; lines are thin dashes. Names stand beside the film, joined by
leaders, so that none covers it.
"""

import math

from radmeasure.model.landmarks import ROOT_LINES, Detector, Sphere
from radmeasure.reports import vocabulary
from radmeasure.reports.drawing import Drawing, Path, Text, spread, text_width
from radmeasure.reports.figures import measure
from radmeasure.reports.level_chart import VIEW
from radmeasure.reports.phrases import say, translated

_INSIDE = ("orifice", "foramen")
_LINE, _GAP, _STROKE, _RING = 1.25, 0.45, 0.9, 0.55
# Arcs of a broken ring: (start, end) in degrees.
_ARCS = ((20, 160), (200, 340))


class Sheet:
    """Film pixels onto the canvas: turned, mirrored, fitted between two label columns."""

    def __init__(self, film_size, view, size, columns):
        width, height = film_size
        self._film, self._view = (width, height), view
        seen = (height, width) if view.turns % 2 else (width, height)
        room = size[0] - sum(columns)
        self.per_px = min(room / seen[0], size[1] / seen[1])
        self.width, self.height = seen[0] * self.per_px, seen[1] * self.per_px
        self.left = columns[0] + 0.5 * (room - self.width)
        self.top = 0.5 * (size[1] - self.height)

    @property
    def right(self):
        return self.left + self.width

    def at(self, point):
        """Canvas point of a film point (px, (0, 0) the centre of the first pixel)."""
        x, y = point[0] + 0.5, point[1] + 0.5
        w, h = self._film
        for _ in range(self._view.turns % 4):
            x, y, w, h = h - y, x, h, w
        if self._view.mirrored:
            x = w - x
        return (self.left + x * self.per_px, self.top + y * self.per_px)


def film_marks(landmarks, film_size, size, font_size=6.0, view=VIEW, names=None):
    """Marks and names of everything placed on a film.

    Parameters
    ----------
    landmarks : Landmarks
    film_size : tuple of two int
        Film width and height, px.
    size : tuple of two floats
        Canvas width and height.
    names : mapping of landmark to words, optional
        Only these landmarks are marked and named, lines left out; all of them,
        under their own names, without it.

    Returns
    -------
    Drawing, Sheet
        The film itself belongs into the sheet's rectangle, under the drawing.
    """
    labels = _labels(landmarks) if names is None else _plain_labels(landmarks, names)
    widest = max((text_width(text, font_size) for text, _ in labels), default=0.0)
    column = widest + 1.6 * font_size if labels else 0.0
    sheet = Sheet(film_size, view, size, (column if names is None else 0.0, column))
    across = _across(landmarks, sheet)
    traced = _lines(landmarks) if names is None else ()
    shapes = [s for entry in traced for s in _trace(entry, sheet)]
    shapes += [
        s for name, p in _points(landmarks, names) for s in _mark(name, p, sheet, across, font_size)
    ]
    shapes += _names(labels, sheet, font_size, both=names is None)
    return Drawing(*size, font_size, tuple(shapes)), sheet


def _points(landmarks, names):
    for _, name, value in landmarks.placed():
        if name not in ROOT_LINES and (names is None or name in names):
            yield name, value


def _plain_labels(landmarks, names):
    """One label for each kind of landmark, however many roots and sides have it."""
    found = {}
    for name, value in _points(landmarks, names):
        found.setdefault(names[name], value)
    return [(translated(text), value) for text, value in found.items()]


def _lines(landmarks):
    """(name, points) of traced lines and reference objects."""
    for _, name, value in landmarks.placed():
        if name in ROOT_LINES:
            yield name, (*value, value[0]) if name == "lesion" else value
    for entry in landmarks.scale:
        if isinstance(entry, Sphere):
            yield "sphere", _rim(entry.points)
        elif not isinstance(entry, Detector):
            yield "reference", entry.points


def _rim(points):
    """The circle through rim points, as a closed line."""
    import numpy as np

    from radmeasure.geometry.circle import fit_circle

    centre, radius = fit_circle(np.array([points], dtype=float))
    (cx, cy), r = centre[0], float(radius[0])
    turns = [2 * math.pi * i / 48 for i in range(49)]
    return tuple((cx + r * math.cos(t), cy + r * math.sin(t)) for t in turns)


def _trace(entry, sheet):
    name, points = entry
    path = tuple(sheet.at(p) for p in points)
    yield Path(path, "trace_halo", about=name)
    yield Path(path, "trace", about=name)


def _across(landmarks, sheet):
    """Unit vector across the tooth on the canvas."""
    apices = [r.points["apex"] for r in landmarks.roots.values() if "apex" in r.points]
    top = landmarks.points.get("coronal_reference") or _middle(landmarks)
    if not apices or top is None:
        return (1.0, 0.0)
    a, b = sheet.at(top), sheet.at(apices[0])
    length = math.dist(a, b) or 1.0
    return ((b[1] - a[1]) / length, -(b[0] - a[0]) / length)


def _middle(landmarks):
    sides = [landmarks.points.get(f"cej_{side}") for side in ("mesial", "distal")]
    if None in sides:
        return None
    return tuple(0.5 * (a + b) for a, b in zip(*sides, strict=True))


def _mark(name, point, sheet, across, font_size):
    x, y = sheet.at(point)
    if name in _INSIDE:
        paths = [_arc(x, y, _RING * font_size, *arc) for arc in _ARCS]
    else:
        near, far = _GAP * font_size, (_GAP + _STROKE) * font_size
        ux, uy = across
        paths = [
            ((x + s * near * ux, y + s * near * uy), (x + s * far * ux, y + s * far * uy))
            for s in (-1, 1)
        ]
    for pen in ("mark_halo", "mark"):
        for path in paths:
            yield Path(path, pen, about=name)


def _arc(x, y, radius, start, end):
    turns = [math.radians(start + (end - start) * i / 8) for i in range(9)]
    return tuple((x + radius * math.cos(t), y + radius * math.sin(t)) for t in turns)


# -- names beside the film -------------------------------------------------------------------------


def _labels(landmarks):
    """(text, film point) of every point and reference object."""
    found = []
    many = len(landmarks.roots) > 1
    for root, name, value in landmarks.placed():
        if name not in ROOT_LINES:
            found.append((_name(name, root if many else None), value))
        elif name == "lesion":
            found.append((translated(vocabulary.LANDMARKS_SHORT["lesion"]), value[0]))
    for entry in landmarks.scale:
        if isinstance(entry, Sphere):
            text = say("mark_sphere", length=measure(entry.diameter_mm, "mm"))
            found.append((text, entry.points[0]))
        elif not isinstance(entry, Detector) and entry.along != "tooth":
            text = say("mark_object", length=measure(entry.length_mm, "mm"))
            found.append((text, entry.points[0]))
    return found


def _name(name, root):
    short = translated(vocabulary.LANDMARKS_SHORT.get(name, name.replace("_", " ")))
    if root is None:
        return short
    return say("mark_root", name=short, root=translated(vocabulary.ROOTS_SHORT.get(root, root)))


def _names(labels, sheet, font_size, both):
    """Each name on the nearer side of the film (or all on its right), none over another."""
    middle = 0.5 * (sheet.left + sheet.right) if both else -math.inf
    shapes = []
    for left in (True, False):
        mine = [(text, sheet.at(p)) for text, p in labels if (sheet.at(p)[0] < middle) == left]
        gap = _LINE * font_size
        bottom = sheet.top + sheet.height
        ys = spread([at[1] for _, at in mine], gap, sheet.top + 0.5 * gap, bottom - 0.2 * gap)
        edge = sheet.left if left else sheet.right
        out = -1 if left else 1
        for (text, (px, py)), y in zip(mine, ys, strict=True):
            x = edge + out * 0.9 * font_size
            near = (px + out * 1.5 * font_size, py)
            shapes.append(Path((near, (edge, y)), "mark_leader"))
            shapes.append(Path(((edge, y), (x, y)), "leader"))
            anchor = "end" if left else "start"
            shapes.append(
                Text((x + out * 0.3 * font_size, y + 0.35 * font_size), text, "label", anchor)
            )
    return shapes
