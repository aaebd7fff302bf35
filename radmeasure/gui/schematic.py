"""A small schematic tooth that shows between which levels a reading is taken."""

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QWidget

# Heights on the drawing, 0 incisal edge, 100 apex.
LEVELS = {
    "reference": 2.0,
    "margin": 30.0,
    "cej": 36.0,
    "attachment": 38.0,
    "face": 44.0,
    "crest": 48.0,
    "filling_top": 70.0,
    "post_end": 66.0,
    "tip": 91.0,
    "short": 92.0,
    "filling_end": 93.0,
    "apex": 100.0,
}


class Schematic(QWidget):
    """Draws a tooth, crown down, and the spans of one explanation beside it."""

    def __init__(self, spans, theme, parent=None):
        super().__init__(parent)
        self.spans, self.theme = spans, theme
        self.setFixedSize(QSize(92, 132))
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)

    def _y(self, level):
        return self.height() - 8 - (self.height() - 16) * LEVELS[level] / 100

    def paintEvent(self, event):
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(self.theme.ink_quiet), 1.2))
        painter.drawPath(self._tooth())
        painter.setPen(QPen(QColor(self.theme.ink_quiet), 1.0, Qt.PenStyle.DotLine))
        painter.drawLine(QPointF(30, self._y("face")), QPointF(30, self._y("short")))
        crest = self._y("crest")
        painter.drawLine(QPointF(2, crest), QPointF(14, crest))
        painter.drawLine(QPointF(46, crest), QPointF(56, crest))
        for i, (start, end) in enumerate(self.spans):
            self._span(painter, 66 + 12 * i, self._y(start), self._y(end))

    def _tooth(self):
        path = QPainterPath(QPointF(14, self._y("reference")))
        cej, apex = self._y("cej"), self._y("apex")
        path.lineTo(46, self._y("reference"))
        path.lineTo(49, cej + 10)
        path.quadTo(48, cej, 45, cej)
        path.cubicTo(43, self._y("filling_top"), 38, apex, 30, apex)
        path.cubicTo(22, apex, 17, self._y("filling_top"), 15, cej)
        path.quadTo(12, cej, 11, cej + 10)
        path.closeSubpath()
        return path

    def _span(self, painter, x, top, bottom):
        painter.setPen(QPen(QColor(self.theme.link), 1.6))
        painter.drawLine(QPointF(x, top), QPointF(x, bottom))
        for y in (top, bottom):
            painter.drawLine(QPointF(x - 4, y), QPointF(x + 4, y))
        painter.setPen(QPen(QColor(self.theme.link), 0.7, Qt.PenStyle.DotLine))
        for y in (top, bottom):
            painter.drawLine(QPointF(12, y), QPointF(x - 4, y))
