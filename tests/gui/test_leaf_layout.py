"""A page beside the film is laid out before it is first painted: no text pressed together."""

import pytest
from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QLabel


class Painted(QObject):
    """At every painting of a page: the labels on it with less height than their text needs."""

    def __init__(self, page):
        super().__init__(page)
        self.page, self.pressed = page, []
        page.installEventFilter(self)

    def eventFilter(self, watched, event):
        if event.type() == QEvent.Type.Paint:
            labels = [w for w in self.page.findChildren(QLabel) if w.isVisible()]
            cut = [w.text() for w in labels if w.height() < w.heightForWidth(w.width()) // 2]
            self.pressed += [cut]
        return False


@pytest.mark.parametrize("page", ["keys", "readings", "cautions"])
def test_help_is_never_seen_pressed_together(window, qtbot, page):
    """Neither when it is turned to nor when the colours change."""
    window._help("about")
    qtbot.wait(50)
    painted = Painted(window.leaves.page("help").widget())
    window._help(page)
    qtbot.wait(100)
    window.set_theme("night")
    qtbot.wait(200)
    assert painted.pressed
    assert not any(painted.pressed)
