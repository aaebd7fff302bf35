"""Draws the truth of a synthetic film beside what was placed: small crosses, lines dotted."""

import math

from PySide6.QtCore import QLineF, QPointF, Qt
from PySide6.QtGui import QColor, QPen, QPolygonF

from radmeasure.model.landmarks import ROOT_LINES

ARM = 5.0


def truth_of(desk):
    """The exact landmarks to draw, in the shown frame: [(key, is a line, points)]."""
    if desk.truth is None or desk.turned is None:
        return []
    found = []
    for root, name, value in desk.truth.placed():
        line = name in ROOT_LINES
        points = value if line else (value,)
        found.append(((name, root), line, tuple(desk.turned.to_shown(p) for p in points)))
    return found


def draw_truth(painter, camera, truth, items):
    """Draw it; a thin line joins a cross to the mark that was placed for it."""
    placed = {item.key: item.points[0] for item in items if not item.is_line}
    for key, line, points in truth:
        shown = [QPointF(*camera.to_widget(p)) for p in points]
        if line:
            _strokes(painter, lambda s=shown: painter.drawPolyline(QPolygonF(s)), 1.0, dotted=True)
            continue
        own = placed.get(key)
        if own is not None:
            end = QPointF(*camera.to_widget(own))
            _strokes(painter, lambda a=shown[0], b=end: painter.drawLine(a, b), 1.0)
        _strokes(painter, lambda at=shown[0]: painter.drawLines(_cross(at)), 1.6)


def _strokes(painter, draw, width, dotted=False):
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for colour, wider in ((QColor(0, 0, 0, 190), 2.0), (QColor("#FFFFFF"), 0.0)):
        pen = QPen(colour, width + wider)
        if dotted:
            pen.setDashPattern([1, 3])
        painter.setPen(pen)
        draw()


def _cross(at):
    return [QLineF(at.x() - ARM, at.y() + s * ARM, at.x() + ARM, at.y() - s * ARM) for s in (1, -1)]


def apart(truth, marks):
    """How far each placed point lies from its true place, px: [(name, root, distance)]."""
    found = []
    for root, name, value in marks.placed():
        true = truth.get(name, root)
        if name not in ROOT_LINES and true is not None:
            found.append((name, root, math.dist(value, true)))
    return sorted(found, key=lambda row: -row[2])
