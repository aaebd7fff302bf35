"""What follows a press on the film until it is let go: pan, greys, place, move, pull, measure."""

from PySide6.QtCore import Qt

from radmeasure.gui.leading import THERE
from radmeasure.gui.lines import pulled, round_across
from radmeasure.gui.looks import CLOSED

STILL = 4.0  # a press that moves less is a click, logical px
FINE = 0.2  # speed of a drag while Shift is held
_SHIFT, _ALT = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.AltModifier


class Act:
    """A press and what follows until the release."""

    button = Qt.MouseButton.LeftButton

    def __init__(self, hand, at):
        self.hand, self.canvas, self.desk = hand, hand.canvas, hand.desk
        self.start = self.last = at

    def still(self, at):
        return (at - self.start).manhattanLength() < STILL

    def move(self, at, modifiers):
        self.last = at

    def end(self, at):
        pass

    def cancel(self):
        self.desk.drop_preview()


class Pan(Act):
    def move(self, at, modifiers):
        step = at - self.last
        self.canvas.pan(step.x(), step.y())
        self.last = at

    def end(self, at):
        # A click on nothing lets go of what was selected.
        if self.still(at) and self.button == Qt.MouseButton.LeftButton:
            self.desk.select(None)


class Greys(Act):
    def move(self, at, modifiers):
        step = at - self.last
        self.last = at
        grey = self.canvas.grey
        low, high = grey.bounds
        brighter = -step.y() * max((high - low) / 400, 0.02)
        self.canvas.set_grey(grey.shifted(brighter, 1.006 ** step.x()), dragging=True)


class Place(Act):
    """The landmark appears at the press, follows the pointer, and stays at the release."""

    def __init__(self, hand, at, want):
        super().__init__(hand, at)
        self.want = want
        self._point(at)

    def move(self, at, modifiers):
        self.last = at
        self._point(at)
        if self._across(at):
            self.hand.ruler = (self.canvas.to_film(self.start), self.canvas.to_film(at))
            self.canvas.update()

    def _across(self, at):
        """A drag across something round, instead of points about it."""
        return self.want.name in CLOSED and self.desk.drawing is None and not self.still(at)

    def cancel(self):
        self.hand.ruler = None
        super().cancel()

    def _point(self, at):
        shown = self.canvas.camera.to_shown((at.x(), at.y()))
        self.canvas.inset.point(shown, self.want.name)

    def end(self, at):
        self.hand.ruler = None
        if self._across(at):
            outline = round_across(self.canvas.to_film(self.start), self.canvas.to_film(at))
            self.desk.place(*self.want.key, tuple(map(self.desk.on_film, outline)))
        else:
            self.hand.put(self.want, self.canvas.to_film(at))


class Move(Act):
    """Drags a mark; a press that does not move places what is wanted there instead."""

    def __init__(self, hand, at, item):
        super().__init__(hand, at)
        self.item = item
        self.film = self.desk.turned.to_film(item.points[0])
        self.moving = False

    def move(self, at, modifiers):
        if not self.moving and self.still(at):
            return
        if not self.moving:
            self.moving = True
            self.desk.select(self.item.key)
        speed = FINE if modifiers & _SHIFT else 1.0
        step, self.last = at - self.last, at
        zoom = self.canvas.camera.zoom
        dx, dy = self.desk.turned.direction_to_film(
            step.x() * speed / zoom, step.y() * speed / zoom
        )
        self.film = (self.film[0] + dx, self.film[1] + dy)
        name, root = self.item.key
        film = self.desk.on_film(self.film)
        self.desk.drag(name, root, film)
        self.canvas.inset.point(self.desk.turned.to_shown(film), name)

    def _open(self, want):
        """What is wanted is not there yet; one that is, is not thrown onto another mark."""
        return want is not None and self.desk.value(*want.key)[1] != THERE

    def end(self, at):
        want = self.hand.want
        if self.moving:
            self.desk.place(*self.item.key, self.desk.on_film(self.film), lead=False)
        elif self._open(want) and want.kind == "point" and want.key != self.item.key:
            self.hand.put(want, self.canvas.to_film(at))
        else:
            self.desk.choose(*self.item.key)


class MoveVertex(Act):
    """Pulls a line at a vertex; its neighbours follow. Alt moves the vertex alone."""

    REACH = 45.0  # logical px

    def __init__(self, hand, at, item, vertex):
        super().__init__(hand, at)
        self.item, self.vertex = item, vertex
        self.line = tuple(self.desk.turned.to_film(p) for p in item.points)
        self.pulled = self.line
        self.desk.select(item.key)

    def move(self, at, modifiers):
        if self.still(at) and self.pulled is self.line:
            return
        zoom = self.canvas.camera.zoom
        step = at - self.start
        d = self.desk.turned.direction_to_film(step.x() / zoom, step.y() / zoom)
        reach = 0.0 if modifiers & _ALT else self.REACH / zoom
        moved = pulled(self.line, self.vertex, d, reach, closed=self.item.name == "lesion")
        self.pulled = tuple(self.desk.on_film(p) for p in moved)
        self.desk.drag(*self.item.key, self.pulled)
        self.canvas.inset.point(self.desk.turned.to_shown(self.pulled[self.vertex]), "")

    def end(self, at):
        if self.pulled is not self.line:
            self.desk.place(*self.item.key, self.pulled, lead=False)
        else:
            self.desk.choose(*self.item.key)


class Measure(Act):
    """A scale is wanted: a drag runs along an object of known length, a click is on a ball."""

    def move(self, at, modifiers):
        if not self.still(at):
            self.hand.ruler = (self.canvas.to_film(self.start), self.canvas.to_film(at))
            self.canvas.inset.point(self.canvas.camera.to_shown((at.x(), at.y())), "")
            self.canvas.update()
        self.last = at

    def end(self, at):
        ruler, self.hand.ruler = self.hand.ruler, None
        if ruler is None or self.still(at):
            self.desk.reference_wanted.emit(self.canvas.to_film(at))
        else:
            self.desk.length_drawn.emit(tuple(self.desk.on_film(p) for p in ruler))

    def cancel(self):
        self.hand.ruler = None
