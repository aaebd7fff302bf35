"""Draws a display list with Qt: the thinnest of its renderers."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPen, QPolygonF

from radmeasure.workflow.level_chart import PENS, Disc, Path, Text, colour


def draw(painter, drawing, theme, smooth=True):
    """Draw every shape; ``theme`` is 'paper' or 'dark'; edges are ``smooth`` unless in a hurry."""
    painter.setRenderHint(painter.RenderHint.Antialiasing, smooth)
    for shape in drawing.shapes:
        pen = PENS[shape.pen]
        if isinstance(shape, Text):
            _text(painter, shape, pen, drawing, theme)
        elif isinstance(shape, Path):
            _dress(painter, pen, theme, shape.opacity)
            polygon = QPolygonF([QPointF(*p) for p in shape.points])
            (painter.drawPolygon if shape.closed else painter.drawPolyline)(polygon)
        elif isinstance(shape, Disc):
            _dress(painter, pen, theme, 1.0)
            painter.drawEllipse(QPointF(*shape.at), shape.radius, shape.radius)


def _dress(painter, pen, theme, opacity):
    if pen.stroke:
        stroke = QPen(QColor(colour(pen.stroke, theme)), pen.width)
        stroke.setCapStyle(Qt.PenCapStyle.FlatCap)
        if pen.dash:
            stroke.setDashPattern([d / pen.width for d in pen.dash])
        painter.setPen(stroke)
    else:
        painter.setPen(Qt.PenStyle.NoPen)
    if pen.fill:
        fill = QColor(colour(pen.fill, theme))
        fill.setAlphaF(pen.opacity * opacity)
        painter.setBrush(fill)
    else:
        painter.setBrush(Qt.BrushStyle.NoBrush)


def _text(painter, shape, pen, drawing, theme):
    font = QFont(painter.font())
    font.setPixelSize(max(1, round(drawing.size_of(pen))))
    font.setBold(pen.strong)
    painter.save()
    painter.setFont(font)
    painter.setPen(QColor(colour(pen.stroke, theme)))
    width = painter.fontMetrics().horizontalAdvance(shape.text)
    shift = {"start": 0.0, "middle": -width / 2, "end": -width}[shape.anchor]
    painter.drawText(QPointF(shape.at[0] + shift, shape.at[1]), shape.text)
    painter.restore()


def bounds(drawing):
    """Rectangle of the canvas."""
    return QRectF(0, 0, drawing.width, drawing.height)
