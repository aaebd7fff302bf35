"""A film on which boxes are drawn over what is burned into it; the boxes look as in the copy."""

import math

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QWidget

from radmeasure.gui.camera import fitted
from radmeasure.gui.grey import Grey
from radmeasure.gui.picture import Picture

_EDGE, _CHOSEN = QColor("#e69f00"), QColor("#56b4e9")
_STEP = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}
# A new box by key takes this share of the film's sides; keys move by this many px.
_NEW, _PX = 0.2, 8
# A shorter drag is a click.
_LEAST_PX = 3


class MaskView(QWidget):
    """Draws one film and its boxes.

    Drag draws a box, a click takes one in hand; arrows move it, with Shift they size it,
    Delete takes it away, N makes a new one; the wheel zooms, the right button moves the film.

    Signals
    -------
    changed()
        A box was drawn, moved, sized or taken away.
    """

    changed = Signal()

    def __init__(self, parent=None):
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(320, 320)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setCursor(Qt.CursorShape.CrossCursor)
        self.setAccessibleName(self.tr("Film, to draw boxes over burned-in text"))
        self._picture = self.turned = self.camera = None
        self._boxes, self.chosen = [], None
        self._from = self._to = self._panned_from = None

    @property
    def boxes(self):
        """Boxes in film pixels as (x, y, width, height)."""
        return tuple(self._boxes)

    def show_film(self, film, turned, boxes):
        """Show a film as it is turned in the case, with its boxes; None for no film."""
        self._picture = None
        if film is not None:
            table = Grey(film.bits, film.default_table).rgb()
            self._picture = Picture(turned.array(film.pixels), table)
        self.turned, self._boxes, self.chosen = turned, list(boxes), None
        self._from = self._to = self._panned_from = None
        self.fit()

    def fit(self):
        """Show the whole film."""
        if self._picture is not None:
            self.camera = fitted(self.turned.size, (self.width(), self.height()))
        self.update()

    def resizeEvent(self, event):
        super().resizeEvent(event)
        self.fit()

    # -- frames ------------------------------------------------------------------------------
    def _box(self, one, other):
        """The film box between two widget points, in whole pixels on the film, or None."""
        corners = [self.turned.to_film(self.camera.to_shown((p.x(), p.y()))) for p in (one, other)]
        sides = []
        for axis, most in ((0, self.turned.width), (1, self.turned.height)):
            low, high = sorted(c[axis] + 0.5 for c in corners)
            low, high = max(math.floor(low), 0), min(math.ceil(high), most)
            if high <= low:
                return None
            sides.append((low, high - low))
        return (sides[0][0], sides[1][0], sides[0][1], sides[1][1])

    def _rect(self, box):
        x, y, width, height = box
        corners = ((x - 0.5, y - 0.5), (x + width - 0.5, y + height - 0.5))
        points = [QPointF(*self.camera.to_widget(self.turned.to_shown(c))) for c in corners]
        return QRectF(*points).normalized()

    def _at(self, point):
        """Index of the box under a widget point, the last drawn first, or None."""
        for i in reversed(range(len(self._boxes))):
            if self._rect(self._boxes[i]).contains(point):
                return i
        return None

    # -- drawing -----------------------------------------------------------------------------
    def paintEvent(self, _event):
        painter = QPainter(self)
        painter.fillRect(self.rect(), Qt.GlobalColor.black)
        if self._picture is None:
            return
        camera = self.camera
        size = (self.width(), self.height())
        self._picture.draw(painter, camera.zoom, camera.left, camera.top, *size)
        drawn = self._box(self._from, self._to) if self._from is not None else None
        for i, box in enumerate((*self._boxes, *((drawn,) if drawn else ()))):
            pen = QPen(_CHOSEN if i == self.chosen else _EDGE, 2 if i == self.chosen else 1)
            painter.setPen(pen)
            painter.setBrush(Qt.GlobalColor.black)
            painter.drawRect(self._rect(box))
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(_CHOSEN, 1, Qt.PenStyle.DotLine))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))

    # -- hand --------------------------------------------------------------------------------
    def mousePressEvent(self, event):
        if self._picture is None:
            return
        if event.button() == Qt.MouseButton.LeftButton:
            self._from = self._to = event.position()
        else:
            self._panned_from = event.position()

    def mouseMoveEvent(self, event):
        if self._from is not None:
            self._to = event.position()
            self.update()
        elif self._panned_from is not None:
            moved = event.position() - self._panned_from
            self._panned_from = event.position()
            self.camera = self.camera.panned(moved.x(), moved.y())
            self.update()

    def mouseReleaseEvent(self, event):
        self._panned_from = None
        if self._from is None:
            return
        start, self._from, self._to = self._from, None, None
        moved = event.position() - start
        if max(abs(moved.x()), abs(moved.y())) < _LEAST_PX:
            self.chosen = self._at(start)
            self.update()
            return
        box = self._box(start, event.position())
        if box is not None:
            self._add(box)

    def wheelEvent(self, event):
        if self._picture is not None and event.angleDelta().y():
            at = event.position()
            factor = 1.2 ** (event.angleDelta().y() / 120)
            size = (self.width(), self.height())
            zoomed = self.camera.zoomed(factor, (at.x(), at.y()))
            self.camera = zoomed.kept_near(self.turned.size, size)
            self.update()

    # -- keys --------------------------------------------------------------------------------
    def keyPressEvent(self, event):
        key = event.key()
        if self._picture is None:
            super().keyPressEvent(event)
        elif key in (Qt.Key.Key_N, Qt.Key.Key_Insert):
            self._new()
        elif key == Qt.Key.Key_F:
            self.fit()
        elif self.chosen is not None and key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.take_away()
        elif self.chosen is not None and key in _STEP:
            sized = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
            self._step(*_STEP[key], sized)
        else:
            super().keyPressEvent(event)

    def take_away(self):
        """Take the box in hand away, or the last one."""
        if self._boxes:
            del self._boxes[-1 if self.chosen is None else self.chosen]
            self.chosen = None
            self._tell()

    def _new(self):
        w, h = self.turned.width, self.turned.height
        width, height = max(round(_NEW * w), 1), max(round(_NEW * h), 1)
        self._add(((w - width) // 2, (h - height) // 2, width, height))

    def _add(self, box):
        self._boxes.append(box)
        self.chosen = len(self._boxes) - 1
        self._tell()

    def _step(self, dx, dy, sized):
        """Move or size the box in hand by a step on the screen."""
        sx, sy = (round(_PX * v) for v in self.turned.direction_to_film(dx, dy))
        x, y, width, height = self._boxes[self.chosen]
        w, h = self.turned.width, self.turned.height
        if sized:
            width, height = min(max(width + sx, 1), w - x), min(max(height + sy, 1), h - y)
        else:
            x, y = min(max(x + sx, 0), w - width), min(max(y + sy, 0), h - height)
        self._boxes[self.chosen] = (x, y, width, height)
        self._tell()

    def _tell(self):
        self.update()
        self.changed.emit()
