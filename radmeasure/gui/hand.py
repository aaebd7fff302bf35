"""What the mouse and the keys mean on the film: place, drag, nudge, draw, pan, set greys.

Left: place what is wanted, or drag a mark. Middle, or space and left: pan.
Right: sideways contrast, up and down brightness. Wheel: zoom about the pointer.
"""

import math

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPen

from radmeasure.gui import acts, spoken
from radmeasure.gui.marks import HIT
from radmeasure.model.landmarks import ROOT_LINES

ARROWS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}
_SHIFT, _CTRL = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier
_ALT = Qt.KeyboardModifier.AltModifier


class Hand:
    """Turns events of the canvas into acts on the desk."""

    def __init__(self, canvas):
        self.canvas, self.desk = canvas, canvas.desk
        self._act = None  # the drag under way
        self._space = False
        self.ruler = None  # (from, to) in film px while a scale is drawn
        self._pointer = None

    # -- what is wanted ---------------------------------------------------------------------
    @property
    def want(self):
        want = self.desk.want
        return want if want is not None and self.desk.ready else None

    def want_changed(self):
        self._set_cursor_shape()
        idle = self._act is None and self.canvas.cursor_at is None
        if idle and (self._pointer is None or not self._to_be_placed()):
            self.canvas.inset.leave()

    def _to_be_placed(self):
        """True when a click is waited for, not a number or a yes to a suggestion."""
        want = self.desk.want
        if want is None or not (want.placeable or want.kind == "scale"):
            return False
        return not want.placeable or self.desk.value(*want.key)[1] != "suggested"

    def _set_cursor_shape(self):
        want = self.want
        shape = Qt.CursorShape.ArrowCursor
        if self._space:
            shape = Qt.CursorShape.OpenHandCursor
        elif want is not None and (want.placeable or want.kind == "scale"):
            shape = Qt.CursorShape.CrossCursor
        self.canvas.setCursor(shape)

    # -- mouse --------------------------------------------------------------------------------
    def press(self, event):
        if self.canvas.picture is None or self._act is not None:
            return
        at, button = event.position(), event.button()
        if button == Qt.MouseButton.RightButton:
            self._act = acts.Greys(self, at)
        elif button == Qt.MouseButton.MiddleButton or (
            button == Qt.MouseButton.LeftButton and self._space
        ):
            self._act = acts.Pan(self, at)
        elif button == Qt.MouseButton.LeftButton:
            self._act = self._begin(at)
        if self._act is not None:
            self._act.button = button
            self.canvas.cursor_at = None

    def _begin(self, at):
        canvas, want = self.canvas, self.want
        spot = (at.x(), at.y())
        item = canvas.overlay.hit(canvas.camera, spot, HIT)
        if item is not None and self.desk.ready:
            return acts.Move(self, at, item)
        drawing = want is not None and want.kind == "line" and want.key != self.desk.selected
        line, vertex = canvas.overlay.hit_line(canvas.camera, spot, 6.0)
        if line is not None and self.desk.ready and not drawing and self._may_take(line):
            return acts.MoveVertex(self, at, line, vertex)
        if want is not None and want.placeable:
            return acts.Place(self, at, want)
        if want is not None and want.kind == "scale":
            return acts.Measure(self, at)
        return acts.Pan(self, at)

    def _may_take(self, line):
        """A line is moved only once it is selected, so that points can be placed on it."""
        return line.key == self.desk.selected or self.want is None or not self.want.placeable

    def move(self, event):
        at = event.position()
        if self._act is not None:
            self._act.move(at, event.modifiers())
        else:
            self.moved(at)

    def moved(self, at):
        """The pointer is at ``at`` and no button is down."""
        self._pointer = at
        want = self.want
        if want is not None and want.placeable and self._over_film(at):
            shown = self.canvas.camera.to_shown((at.x(), at.y()))
            self.canvas.inset.point(shown, want.name)
        elif self._act is None:
            self.canvas.inset.leave()

    def _over_film(self, at):
        x, y = self.canvas.camera.to_shown((at.x(), at.y()))
        w, h = self.canvas.film_size
        return 0 <= x <= w and 0 <= y <= h

    def release(self, event):
        act = self._act
        if act is None or event.button() != act.button:
            return
        self._act = None
        act.end(event.position())
        self._set_cursor_shape()
        self.canvas.update()

    def double_click(self, event):
        """Ends a line; anywhere else it is a second press."""
        want = self.want
        if (
            event.button() == Qt.MouseButton.LeftButton
            and want is not None
            and want.kind == "line"
            and self.desk.value(*want.key)[0] is not None
        ):
            self.desk.finish_line()
        else:
            self.press(event)

    def left(self):
        self._pointer = None
        if self._act is None:
            self.canvas.inset.leave()

    def lost_focus(self):
        self._space = False
        if self._pointer is None:
            self.canvas.inset.leave()

    # -- keys ----------------------------------------------------------------------------------
    def key(self, event):
        """True when the key was for us."""
        key, modifiers = event.key(), event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        if key in ARROWS and not modifiers & _ALT:
            return self._arrow(ARROWS[key], modifiers)
        if key == Qt.Key.Key_Space and not modifiers:
            if not event.isAutoRepeat():
                self._space = True
                self._set_cursor_shape()
            return True
        if key == Qt.Key.Key_Escape:
            return self._escape()
        return False

    def key_up(self, event):
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat() and self._space:
            self._space = False
            self._set_cursor_shape()
            return True
        return False

    def _arrow(self, direction, modifiers):
        step = 10.0 if modifiers & _SHIFT else 0.1 if modifiers & _CTRL else 1.0
        if modifiers & _SHIFT and modifiers & _CTRL:
            step = 50.0
        dx, dy = direction[0] * step, direction[1] * step
        if self.canvas.cursor_at is None and self.desk.nudge(dx, dy):
            self._inset_on_selected()
            return True
        if self.want is not None and self.want.placeable:
            self._move_cursor(dx, dy)
        else:
            self.canvas.pan(-direction[0] * 40, -direction[1] * 40)
        return True

    def _move_cursor(self, dx, dy):
        """The keyboard's own pointer: appears where the want is likely to be."""
        canvas = self.canvas
        w, h = canvas.film_size
        if canvas.cursor_at is None:
            canvas.cursor_at = self._likely()
        else:
            x, y = canvas.cursor_at
            canvas.cursor_at = (min(max(x + dx, 0.5), w - 0.5), min(max(y + dy, 0.5), h - 0.5))
        canvas.show_point(canvas.cursor_at)
        spoken.tell(canvas, spoken.at_words(self.desk.turned.to_film(canvas.cursor_at)))
        canvas.inset.point(canvas.cursor_at, self.want.name)
        canvas.update()

    def _likely(self):
        """Pixel centre from where the keyboard's pointer starts."""
        last = self.desk.last_placed
        if last is not None:
            x, y = self.desk.turned.to_shown(last)
        else:
            x, y = self.canvas.camera.to_shown((self.canvas.width() / 2, self.canvas.height() / 2))
        return (math.floor(x) + 0.5, math.floor(y) + 0.5)

    def place_at_cursor(self):
        """Enter: place what is wanted at the keyboard's pointer; False without one."""
        want, at = self.want, self.canvas.cursor_at
        if at is None or want is None or not want.placeable:
            return False
        self.put(want, self.desk.turned.to_film(at))
        if want.kind == "point":
            # It was put where it belongs: the arrows go on with the next one.
            self.canvas.cursor_at = None
            if self.desk.value(*want.key)[0] is not None and self.desk.selected == want.key:
                self.desk.select(None)
        return True

    def _escape(self):
        if self._act is not None:
            self._act.cancel()
            self._act = None
        elif self.canvas.cursor_at is not None:
            self.canvas.cursor_at = None
        elif self.desk.selected is not None:
            self.desk.select(None)
        else:
            return False
        self.canvas.inset.leave()
        self.canvas.update()
        return True

    def _inset_on_selected(self):
        name, root = self.desk.selected
        value, _ = self.desk.value(name, root)
        if value is not None:
            spoken.tell(self.canvas, spoken.place_words((name, root), value))
        if value is not None and name not in ROOT_LINES:
            shown = self.desk.turned.to_shown(value)
            self.canvas.inset.point(shown, name)

    # -- acting ----------------------------------------------------------------------------------
    def put(self, want, film):
        """Place a point, or the next vertex of a line."""
        film = self.desk.on_film(film)
        if want.kind == "point":
            self.desk.place(want.name, want.root, film)
        else:
            self.desk.add_vertex(want, film)

    # -- drawing ---------------------------------------------------------------------------------
    def draw(self, painter):
        canvas = self.canvas
        if canvas.cursor_at is not None:
            self._draw_cross(painter, QPointF(*canvas.camera.to_widget(canvas.cursor_at)))
        first = self.desk.first_vertex
        if first is not None:
            at = canvas.to_widget(first)
            painter.setPen(QPen(QColor("#FFFFFF"), 1.5))
            painter.drawEllipse(at, 4, 4)
        if self.ruler is not None:
            a, b = (canvas.to_widget(p) for p in self.ruler)
            for colour, width in ((QColor(0, 0, 0, 160), 4), (QColor("#FFFFFF"), 1.6)):
                painter.setPen(QPen(colour, width))
                painter.drawLine(a, b)

    @staticmethod
    def _draw_cross(painter, at):
        for colour, width in ((QColor(0, 0, 0, 170), 3.4), (QColor("#FFFFFF"), 1.4)):
            painter.setPen(QPen(colour, width))
            for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
                painter.drawLine(
                    QPointF(at.x() + 8 * dx, at.y() + 8 * dy),
                    QPointF(at.x() + 40 * dx, at.y() + 40 * dy),
                )
