"""Mouse and keyboard of a person at the window, for tests: real events, actions counted."""

from pathlib import Path

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QApplication

SAMPLES = Path(__file__).resolve().parent.parent / "sample_images"
LEFT = Qt.MouseButton.LeftButton
NO = Qt.KeyboardModifier.NoModifier


def send_mouse(widget, kind, at, button, buttons, modifiers=NO):
    at = QPointF(at)
    event = QMouseEvent(kind, at, QPointF(widget.mapToGlobal(at)), button, buttons, modifiers)
    QApplication.sendEvent(widget, event)


def press(widget, at, button=LEFT, modifiers=NO):
    send_mouse(widget, QEvent.Type.MouseButtonPress, at, button, button, modifiers)


def move(widget, at, buttons=LEFT, modifiers=NO):
    send_mouse(widget, QEvent.Type.MouseMove, at, Qt.MouseButton.NoButton, buttons, modifiers)


def release(widget, at, button=LEFT, modifiers=NO):
    none = Qt.MouseButton.NoButton
    send_mouse(widget, QEvent.Type.MouseButtonRelease, at, button, none, modifiers)


def wheel(widget, at, turn=120):
    at = QPointF(at)
    event = QWheelEvent(
        at,
        QPointF(widget.mapToGlobal(at)),
        QPoint(),
        QPoint(0, turn),
        Qt.MouseButton.NoButton,
        NO,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(widget, event)


def drag(widget, start, end, button=LEFT, modifiers=NO, steps=6):
    start, end = QPointF(start), QPointF(end)
    press(widget, start, button, modifiers)
    for k in range(1, steps + 1):
        move(widget, start + (end - start) * (k / steps), button, modifiers)
    release(widget, end, button, modifiers)


class Hands:
    """What a person does; ``actions`` counts clicks, drags and keys (a typed number once)."""

    def __init__(self, qtbot, window):
        self.qtbot, self.window = qtbot, window
        self.actions = 0

    # -- waiting -----------------------------------------------------------------------------
    def settle(self, timeout=60000):
        """Until nothing runs and the numbers are the full ones."""
        w = self.window
        self.qtbot.waitUntil(
            lambda: not w.opening.busy and not w.background.busy and w.desk.settled,
            timeout=timeout,
        )

    def draw(self, form, recipe):
        """A synthetic film from the form, and until it is open."""
        form._take(recipe)
        form.start()
        with self.qtbot.waitSignal(form.making.made, timeout=60000):
            pass
        self.settle()

    def take_marks(self, sample, tooth):
        """Give the film shown all of a sample's exact landmarks, as one edit; returns them."""
        from radmeasure.files.landmarks_json import read_landmarks
        from radmeasure.model import edits
        from radmeasure.model.case import Chart

        desk, marks = self.window.desk, read_landmarks(SAMPLES / f"{sample}.landmarks.json")
        desk.apply(edits.StartFrom(desk.case.with_chart(desk.film_id, tooth, Chart(marks))))
        return marks

    # -- acting ------------------------------------------------------------------------------
    def open(self, *paths):
        """Counts as one: the drop, or choosing the file."""
        self.actions += 1
        self.window.opening.open(paths)
        self.settle()
        # The frame the film was opened in must be laid out before it can be pointed at.
        self.qtbot.wait(20)

    def at(self, film):
        """Widget position of a film pixel, to a whole screen pixel as a mouse has."""
        return QPointF(self.window.canvas.to_widget(film).toPoint())

    def click(self, film):
        self.actions += 1
        canvas, at = self.window.canvas, self.at(film)
        move(canvas, at, Qt.MouseButton.NoButton)
        press(canvas, at)
        release(canvas, at)

    def drag(self, start, end, modifiers=NO):
        self.actions += 1
        drag(self.window.canvas, self.at(start), self.at(end), LEFT, modifiers)

    def key(self, key, modifiers=NO):
        """A key to whatever has the focus."""
        self.actions += 1
        self._key(key, modifiers)

    def _key(self, key, modifiers=NO):
        target = QApplication.focusWidget() or self.window
        self.qtbot.keyClick(target, key, modifiers)

    def type(self, text):
        """A number and Enter; one action."""
        self.actions += 1
        for letter in text:
            target = QApplication.focusWidget() or self.window
            self.qtbot.keyClicks(target, letter)
        self._key(Qt.Key.Key_Return)

    def sentences(self):
        """The record's sentences as plain text."""
        record = self.window.leaves.record
        return [line.accessibleName() for line in record._lines if line.key is not None]
