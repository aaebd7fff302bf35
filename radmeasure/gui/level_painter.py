"""Draws a display list with Qt: the thinnest of its renderers."""

from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetrics, QPen, QPolygonF

from radmeasure.workflow.level_chart import PENS, Disc, Path, Text, colour


def draw(painter, drawing, theme, smooth=True):
    """Draw every shape; ``theme`` is 'paper' or 'dark'; edges are ``smooth`` unless in a hurry."""
    painter.setRenderHint(painter.RenderHint.Antialiasing, smooth)
    family = painter.font().toString()
    dressed = None
    for shape in drawing.shapes:
        if isinstance(shape, Text):
            _text(painter, shape, family, drawing, theme)
            dressed = None
            continue
        dress = (shape.pen, theme, shape.opacity if isinstance(shape, Path) else 1.0)
        if dress != dressed:
            stroke, fill = _dress(*dress)
            painter.setPen(stroke)
            painter.setBrush(fill)
            dressed = dress
        if isinstance(shape, Path):
            polygon = QPolygonF([QPointF(*p) for p in shape.points])
            (painter.drawPolygon if shape.closed else painter.drawPolyline)(polygon)
        elif isinstance(shape, Disc):
            painter.drawEllipse(QPointF(*shape.at), shape.radius, shape.radius)


# Drawn anew five times a second while a landmark is dragged: pens and fonts are made once.
@lru_cache(256)
def _dress(name, theme, opacity):
    """(pen, brush) of a shape."""
    pen = PENS[name]
    stroke, fill = QPen(Qt.PenStyle.NoPen), QBrush(Qt.BrushStyle.NoBrush)
    if pen.stroke:
        stroke = QPen(QColor(colour(pen.stroke, theme)), pen.width)
        stroke.setCapStyle(Qt.PenCapStyle.FlatCap)
        if pen.dash:
            stroke.setDashPattern([d / pen.width for d in pen.dash])
    if pen.fill:
        shade = QColor(colour(pen.fill, theme))
        shade.setAlphaF(pen.opacity * opacity)
        fill = QBrush(shade)
    return stroke, fill


@lru_cache(64)
def _font(like, size, strong):
    """(font, its metrics) like the one described, in ``size`` px."""
    font = QFont()
    font.fromString(like)
    font.setPixelSize(size)
    font.setBold(strong)
    return font, QFontMetrics(font)


def _text(painter, shape, like, drawing, theme):
    pen = PENS[shape.pen]
    font, metrics = _font(like, max(1, round(drawing.size_of(pen))), pen.strong)
    painter.setFont(font)
    painter.setPen(QColor(colour(pen.stroke, theme)))
    width = 0 if shape.anchor == "start" else metrics.horizontalAdvance(shape.text)
    shift = {"start": 0.0, "middle": -width / 2, "end": -width}[shape.anchor]
    painter.drawText(QPointF(shape.at[0] + shift, shape.at[1]), shape.text)


def bounds(drawing):
    """Rectangle of the canvas."""
    return QRectF(0, 0, drawing.width, drawing.height)
