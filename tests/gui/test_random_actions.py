"""Five hundred things a person might do, in any order: nothing breaks, nothing is lost."""

import random

from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog
from window_hands import NO, SAMPLES, drag, move, press, release, wheel

from radmeasure.model.landmarks import ROOT_POINTS, TOOTH_POINTS
from radmeasure.workflow.session import Session

POINTS = TOOTH_POINTS + ROOT_POINTS
CTRL, SHIFT, ALT = (
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.AltModifier,
)
KEYS = (
    (Qt.Key.Key_Left, NO),
    (Qt.Key.Key_Right, SHIFT),
    (Qt.Key.Key_Up, CTRL),
    (Qt.Key.Key_Down, NO),
    (Qt.Key.Key_Return, NO),
    (Qt.Key.Key_Return, CTRL),
    (Qt.Key.Key_Backspace, NO),
    (Qt.Key.Key_Delete, NO),
    (Qt.Key.Key_Escape, NO),
    (Qt.Key.Key_PageDown, NO),
    (Qt.Key.Key_PageUp, NO),
    (Qt.Key.Key_Tab, NO),
    (Qt.Key.Key_Tab, SHIFT),
    (Qt.Key.Key_Space, NO),
    (Qt.Key.Key_2, NO),
    (Qt.Key.Key_1, NO),
    (Qt.Key.Key_Y, NO),
)
# Commands that open a system dialog, leave the case or end the program.
NOT = {
    "open", "new_case", "save_as", "save_copy", "write_pdf", "print_page", "quit", "full_screen",
    "tour_start", "take_over", "remove_film", "write_dicom",
}  # fmt: skip


class Person:
    """Does one thing after the other, by chance."""

    def __init__(self, window, seed):
        self.window, self.chance = window, random.Random(seed)

    def act(self):
        self.chance.choices(
            (self.click, self.drag, self.greys, self.zoom, self.key, self.type, self.command),
            (5, 4, 1, 1, 8, 2, 4),
        )[0]()

    def spot(self):
        canvas = self.window.canvas
        return QPointF(
            self.chance.randrange(canvas.width()), self.chance.randrange(canvas.height())
        )

    def mark(self):
        """On a mark, often; anywhere else, sometimes."""
        marks = self.window.desk.landmarks
        places = [] if marks is None else [v for r, n, v in marks.placed() if n in POINTS]
        if places and self.chance.random() < 0.7:
            return self.window.canvas.to_widget(self.chance.choice(places))
        return self.spot()

    def click(self):
        canvas, at = self.window.canvas, self.spot()
        move(canvas, at, Qt.MouseButton.NoButton)
        press(canvas, at)
        release(canvas, at)

    def drag(self):
        modifiers = self.chance.choice((NO, NO, SHIFT, ALT))
        drag(self.window.canvas, self.mark(), self.spot(), modifiers=modifiers, steps=3)

    def greys(self):
        drag(self.window.canvas, self.spot(), self.spot(), Qt.MouseButton.RightButton, steps=3)

    def zoom(self):
        wheel(self.window.canvas, self.spot(), self.chance.choice((120, -120, 360)))

    def key(self):
        key, modifiers = self.chance.choice(KEYS)
        QTest.keyClick(QApplication.focusWidget() or self.window, key, modifiers)

    def type(self):
        for letter in self.chance.choice(("21", "11", "5", "10.5", "40", "x", "210", "36")):
            QTest.keyClicks(QApplication.focusWidget() or self.window, letter)
        QTest.keyClick(QApplication.focusWidget() or self.window, Qt.Key.Key_Return)

    def command(self):
        actions = [a for _, c, a in self.window.commands.listed() if c.id not in NOT]
        action = self.chance.choice(actions)
        if action.isEnabled():
            action.trigger()


def test_500_random_actions_lose_nothing(hands, window, qtbot, monkeypatch):
    """No traceback, no Qt warning (conftest), and the file holds what the screen shows.

    A file dialog that a button opens is cancelled: typed into by chance, it would write
    anywhere, or wait for an answer.
    """
    monkeypatch.setattr(QFileDialog, "show", lambda dialog: dialog.reject())
    hands.open(SAMPLES / "cedar.dcm")
    hands.open(SAMPLES / "alder.png")
    person = Person(window, seed=20260301)
    for n in range(500):
        person.act()
        if n % 10 == 0:
            QApplication.processEvents()
        if n % 50 == 0:
            qtbot.wait(30)
    hands.settle(60000)
    case, path = window.desk.case, window.desk.session.path
    assert len(window.desk.session.history()) > 80  # it did do something
    window.close()
    with Session.open(path) as again:
        assert again.case == case
