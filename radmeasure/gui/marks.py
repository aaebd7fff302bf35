"""Draws one landmark: the film under it stays visible.

Confirmed: solid strokes. Suggested: the strokes are hollow and dashed, so the
two cannot be taken for each other, in grey print either.
"""

import math

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainterPath, QPainterPathStroker, QPen

from radmeasure.gui.looks import ANGLED, DOUBLE, HOOKED, RING, TICKED

GAP, REACH = 7.0, 19.0  # half the gap, end of a stroke; logical px
RADIUS = 9.0
HIT = 12.0


def mark_path(shape):
    """Outline of a mark at (0, 0) whose strokes lie along x, apical towards +y."""
    path = QPainterPath()
    if shape == RING:
        for start in (20, 110, 200, 290):
            path.arcMoveTo(-RADIUS, -RADIUS, 2 * RADIUS, 2 * RADIUS, start)
            path.arcTo(-RADIUS, -RADIUS, 2 * RADIUS, 2 * RADIUS, start, 50)
        return path
    for side in (-1, 1):
        rise = 0.0
        if shape == ANGLED:
            rise = -7.0
        _stroke(path, side * GAP, 0.0, side * REACH, rise)
        if shape == DOUBLE:
            _stroke(path, side * GAP, 4.0, side * REACH, 4.0)
        elif shape == HOOKED:
            _stroke(path, side * REACH, 0.0, side * REACH, 6.0)
        elif shape == TICKED:
            _stroke(path, side * (GAP + 4), -4.0, side * (GAP + 4), 4.0)
    return path


def _stroke(path, x0, y0, x1, y1):
    path.moveTo(x0, y0)
    path.lineTo(x1, y1)


_PATHS = {}


def path_of(shape, hollow):
    """Cached outline; a hollow one is the rim of the widened strokes."""
    key = (shape, hollow)
    if key not in _PATHS:
        path = mark_path(shape)
        if hollow:
            stroker = QPainterPathStroker()
            stroker.setWidth(5.0)
            stroker.setCapStyle(Qt.PenCapStyle.FlatCap)
            path = stroker.createStroke(path).simplified()
        _PATHS[key] = path
    return _PATHS[key]


def draw_mark(painter, at, look, angle, suggested=False, selected=False, halo=True):
    """Draw a mark.

    Parameters
    ----------
    at : QPointF
        Logical px.
    look : Look
    angle : float
        Direction of +x of the mark on the screen, radians.
    """
    painter.save()
    painter.translate(at)
    painter.rotate(math.degrees(angle))
    path = path_of(look.shape, suggested)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if halo:
        painter.setPen(_pen(look.halo, 3.8 if not suggested else 2.8, alpha=170))
        painter.drawPath(path)
    pen = _pen(look.colour, 2.0 if not suggested else 1.2)
    if suggested:
        pen.setDashPattern([3, 2])
    painter.setPen(pen)
    painter.drawPath(path)
    if selected:
        _draw_selection(painter, look)
    painter.restore()


def _draw_selection(painter, look):
    """Four corners round the mark: where the keys act."""
    painter.setPen(_pen(look.halo, 3.4, alpha=170))
    corners = _corners(REACH + 6, 15)
    painter.drawLines(corners)
    painter.setPen(_pen("#FFFFFF", 1.4))
    painter.drawLines(corners)


def _corners(x, y, arm=6):
    lines = []
    for sx in (-1, 1):
        for sy in (-1, 1):
            p = QPointF(sx * x, sy * y)
            lines.append(QLineF(p, QPointF(sx * (x - arm), sy * y)))
            lines.append(QLineF(p, QPointF(sx * x, sy * (y - arm))))
    return lines


def _pen(colour, width, alpha=255):
    colour = QColor(colour)
    colour.setAlpha(alpha)
    pen = QPen(colour, width)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    return pen


def line_pens(look, suggested, selected):
    """(halo pen, pen) of a line or outline."""
    width = 2.2 if selected else 1.4
    halo, pen = _pen(look.halo, width + 1.6, alpha=120), _pen(look.colour, width)
    if suggested:
        pen.setDashPattern([2, 3])
    elif look.dashed:
        pen.setDashPattern([7, 3])
    return halo, pen


def extent(at):
    """Rectangle a mark covers, for labels to keep clear of."""
    return QRectF(at.x() - REACH, at.y() - 7, 2 * REACH, 14)
