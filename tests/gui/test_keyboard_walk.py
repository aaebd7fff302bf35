"""Every control can be reached by Tab, is named for a screen reader, and shows the focus."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QApplication
from small_film import SMALL
from test_explanations import _cedar

PAGES = {
    "record": "page_record",
    "entries": "page_entries",
    "landmarks": "page_landmarks",
    "worksheet": "page_worksheet",
    "history": "page_history",
    "cases": "page_cases",
    "synthetic": "new_synthetic",
    "keys": "shortcut_sheet",
    "cautions": "cautions",
    "readings": "readings",
    "rules": "rules",
    "about": "about",
}


def said(widget):
    """What a screen reader says of a widget: its accessible name."""
    interface = QAccessible.queryAccessibleInterface(widget)
    return interface.text(QAccessible.Text.Name) if interface else ""


def walk(window, qtbot, most=400):
    """Every widget Tab comes to, from the film once round."""
    window.canvas.setFocus()
    found = []
    for _ in range(most):
        qtbot.keyClick(QApplication.focusWidget() or window, Qt.Key.Key_Tab)
        widget = QApplication.focusWidget()
        if widget not in found:
            found.append(widget)
        if widget is window.canvas:
            return found
    raise AssertionError("Tab does not come back to the film")


@pytest.fixture
def planned(hands, window):
    _cedar(hands, window)
    return window


def turn_to(window, qtbot, page):
    window.commands[PAGES[page]].trigger()
    qtbot.wait(60)
    return walk(window, qtbot)


def test_tab_comes_to_every_control_and_each_has_a_name(planned, qtbot):
    for page in PAGES:
        found = turn_to(planned, qtbot, page)
        nameless = [type(w).__name__ for w in found if not said(w).strip()]
        assert not nameless, page
        stack = planned.leaves.stack.currentWidget()
        assert any(w is stack or stack.isAncestorOf(w) for w in found), page


@pytest.mark.parametrize("theme", ["evening", "contrast"])
def test_the_focus_shows(planned, qtbot, theme):
    """A control with the focus looks different from the same one without."""
    planned.set_theme(theme)
    seen = set()
    for page in PAGES:
        for widget in turn_to(planned, qtbot, page):
            if widget in seen or not widget.isVisible():
                continue
            seen.add(widget)
            other = planned.canvas if widget is not planned.canvas else planned.levels.chart
            looks = [_look(widget, focus, qtbot) for focus in (widget, other)]
            assert looks[0] != looks[1], (page, type(widget).__name__, said(widget))


def _look(widget, focus, qtbot):
    focus.setFocus(Qt.FocusReason.TabFocusReason)
    if hasattr(widget, "deselect"):
        widget.deselect()  # selected text is not the focus meant here
    qtbot.wait(1)
    return widget.grab().toImage()


def test_names_in_the_truth_page(window, hands, qtbot):
    window.commands["new_synthetic"].trigger()
    hands.draw(window.leaves.page("synthetic"), SMALL)
    window.commands["show_truth"].trigger()
    qtbot.wait(60)
    assert all(said(w).strip() for w in walk(window, qtbot))
