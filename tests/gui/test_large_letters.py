"""Text follows the system's size: with letters half as large again nothing is cut or covered."""

import pytest
from PySide6.QtCore import QPoint, QRect
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QApplication, QLabel, QPushButton
from test_explanations import _cedar

from radmeasure.gui.theme import THEMES


@pytest.fixture
def large():
    """The system's letters 1.5 times as large, as somebody sets them who needs it."""
    app = QApplication.instance()
    usual = app.font()
    font = app.font()
    font.setPointSizeF(usual.pointSizeF() * 1.5)
    app.setFont(font)
    yield
    app.setFont(usual)


@pytest.fixture
def wide_window(large, make_window):
    return make_window()


def cut(window):
    """Buttons narrower than their words, labels that cannot wrap wider than their room."""
    found = []
    for button in window.findChildren(QPushButton):
        if button.isVisible() and button.width() < button.sizeHint().width():
            found.append(button.text())
    return found


@pytest.mark.parametrize("size", [(1366, 768), (1920, 1080)])
def test_no_button_is_cut(wide_window, qtbot, size):
    window = wide_window
    window.resize(*size)
    qtbot.wait(80)
    assert window.welcome.isVisible() and cut(window) == []
    for page in ("new_synthetic", "page_entries", "shortcut_sheet", "page_worksheet"):
        window.commands[page].trigger()
        qtbot.wait(60)
        assert cut(window) == [], page


def test_the_film_keeps_more_than_a_third_of_the_window(large, make_window, qtbot):
    from window_hands import Hands

    window = make_window()
    hands = Hands(qtbot, window)
    _cedar(hands, window)
    qtbot.wait(50)
    assert window.canvas.width() > window.width() / 3
    parts = [window.canvas, window.levels, window.leaves]
    edges = [p.mapTo(window, p.rect().topLeft()).x() for p in parts]
    for (left, part), right in zip(zip(edges, parts), edges[1:], strict=False):
        assert left + part.width() <= right


def test_keys_the_line_has_no_room_for_are_cut_with_dots(wide_window, qtbot):
    """Not in the middle of a letter; all of them stay in the tip and for a screen reader."""
    line, window = wide_window.next_line, wide_window
    line._say_hint("Ctrl+R writes the record · Ctrl+1 to 6 take up another job · " * 4)
    assert line.hint.text().endswith("…") and line.hint.toolTip() == line._hint
    assert line.hint.accessibleName() == line._hint
    line._say_hint("click")
    assert line.hint.text() == "click" and not line.hint.toolTip()
    window.resize(1100, 700)
    qtbot.wait(50)
    assert line.hint.text() == "click"


@pytest.mark.parametrize("theme", THEMES)
def test_the_start_can_be_read_in_every_theme(window, qtbot, theme):
    """It lies on the black round the film: its letters are light whatever the theme."""
    window.set_theme(theme)
    qtbot.wait(30)
    for label in window.welcome.findChildren(QLabel):
        if not label.isVisible():
            continue
        place = QRect(label.mapTo(window.canvas, QPoint()), label.size())
        image = window.canvas.grab(place).toImage()  # with the black it stands on
        lightest = max(
            QColor(image.pixel(x, y)).lightness()
            for x in range(0, image.width())
            for y in range(0, image.height())
        )
        assert lightest > 180, label.text()


def test_a_long_label_is_broken_only_where_the_page_is_narrow(window, hands, qtbot):
    """Whole where there is room, else in lines of words: neither cut nor pressed together."""
    _cedar(hands, window)
    page = window.leaves.turn_to("entries")
    qtbot.wait(50)
    label = next(w for w in page.findChildren(QLabel) if w.text().startswith("Distance to stay"))
    assert "\n" not in label.text() and label.height() >= label.sizeHint().height()
    needed = label.sizeHint().width()
    window.split.setSizes([0, 900, 200, 100])
    window.leaves.setMinimumWidth(0)
    page.resize(needed + 20, page.height())
    qtbot.wait(50)
    assert "\n" in label.text() and label.height() >= label.sizeHint().height()
