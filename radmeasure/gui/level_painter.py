"""Draws a display list with Qt: the thinnest of its renderers."""

import math
import time
from functools import lru_cache

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetrics, QPainter, QPen, QPixmap, QPolygonF

from radmeasure.workflow.level_chart import PENS, Disc, Path, Text, colour

_AT_ONCE = 8  # shapes painted between two looks at the clock


class Painted:
    """A chart as a picture, painted whole or piece by piece.

    Parameters
    ----------
    drawing : Drawing
    theme : str
        'paper' or 'dark'.
    size : QSize
    dpr : float
        Device px per logical px.
    font : QFont
    smooth : bool
        Whether edges are, unless in a hurry.
    spare : Painted, optional
        One no longer shown, whose picture may be painted over.
    """

    def __init__(self, drawing, theme, size, dpr, font, smooth=True, spare=None):
        self.drawing, self.smooth = drawing, smooth
        self._theme, self._size, self._dpr, self._font = theme, size, dpr, font
        self.picture = QPixmap(size * dpr) if spare is None else spare.picture
        if self.picture.size() != size * dpr:
            self.picture = QPixmap(size * dpr)
        self.picture.setDevicePixelRatio(dpr)
        self._next = 0  # number of the first shape not painted

    def shows(self, drawing, theme, size, dpr, smooth):
        """True when it is that chart, no less smooth than wanted."""
        key = (self._theme, self._size, self._dpr, self.drawing)
        return self.smooth >= smooth and key == (theme, size, dpr, drawing)

    def go_on(self, seconds=math.inf):
        """Paint on for about so long; True when all is painted."""
        until = time.perf_counter() + seconds
        if not self._next:
            self.picture.fill(QColor(colour("paper", self._theme)))
        shapes = self.drawing.shapes
        painter = QPainter(self.picture)
        painter.setFont(self._font)
        painter.setRenderHint(painter.RenderHint.Antialiasing, self.smooth)
        complete = False
        while not complete:
            some = shapes[self._next : self._next + _AT_ONCE]
            _draw(painter, some, self.drawing, self._theme, self._font.toString())
            self._next += _AT_ONCE
            complete = self._next >= len(shapes)
            if time.perf_counter() >= until:
                break
        painter.end()
        return complete


def _draw(painter, shapes, drawing, theme, family):
    dressed = None
    for shape in shapes:
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
