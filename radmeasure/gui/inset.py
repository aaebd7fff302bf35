"""The magnified inset: native pixels under the pointer while a landmark is placed or moved."""

import math

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QWidget

from radmeasure.gui.looks import LOOKS
from radmeasure.gui.marks import draw_mark

SIDE = 172
AWAY = 34  # from the pointer to the inset's corner
LEAST = 4.0


class Inset(QWidget):
    """Child of the canvas; never takes the mouse."""

    def __init__(self, canvas):
        super().__init__(canvas)
        self._canvas = canvas
        self._centre, self._look = None, None
        self.setFixedSize(SIDE, SIDE)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.hide()

    @property
    def factor(self):
        """Screen px per film px."""
        return max(LEAST, 2.0 * self._canvas.camera.zoom)

    def point(self, shown, name):
        """Show the surroundings of ``shown`` (shown frame), with the mark of landmark ``name``."""
        canvas = self._canvas
        if canvas.picture is None:
            return
        self._centre = shown
        self._look = LOOKS.get(name)
        x, y = canvas.camera.to_widget(shown)
        left = x + AWAY if x + AWAY + SIDE < canvas.width() else x - AWAY - SIDE
        top = y - AWAY - SIDE if y - AWAY - SIDE > 0 else y + AWAY
        left = min(max(left, 0), max(canvas.width() - SIDE, 0))
        top = min(max(top, 0), max(canvas.height() - SIDE, 0))
        self.move(round(left), round(top))
        self.show()
        self.update()

    def leave(self):
        self._centre = None
        self.hide()

    def paintEvent(self, event):
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor("#000000"))
        canvas = self._canvas
        if self._centre is None or canvas.picture is None:
            return
        k = self.factor
        side = math.ceil(SIDE / k) + 3
        image, left, top = canvas.picture.patch(self._centre, side)
        half = SIDE / 2
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, k < 12)
        target = QRectF(
            half - (self._centre[0] - left) * k,
            half - (self._centre[1] - top) * k,
            side * k,
            side * k,
        )
        painter.drawImage(target, image)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        middle = QPointF(half, half)
        if self._look is not None:
            draw_mark(painter, middle, self._look, canvas.overlay.angle)
        else:
            self._cross(painter)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor("#888888"), 1))
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))

    def _cross(self, painter):
        for colour, width in ((QColor(0, 0, 0, 160), 3), (QColor("#FFFFFF"), 1)):
            painter.setPen(QPen(colour, width))
            for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
                painter.drawLine(
                    QPointF(SIDE / 2 + 6 * dx, SIDE / 2 + 6 * dy),
                    QPointF(SIDE / 2 + 22 * dx, SIDE / 2 + 22 * dy),
                )
