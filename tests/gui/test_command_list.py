"""Find a command by a part of its name, by keys alone; the sheet and the list know them all."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLabel

from radmeasure.gui.commands import MENUS, Command


def rows(found):
    tree = found.list
    return [
        [tree.topLevelItem(i).text(c) for c in range(3)] for i in range(tree.topLevelItemCount())
    ]


def test_every_command_that_works_is_listed_with_menu_and_key(window):
    window.command_list()
    listed = {row[0]: row for row in rows(window._commands_found)}
    for menu, command, action in window.commands.listed():
        name = action.text().replace("&", "")
        assert (name in listed) == action.isEnabled(), name
        if action.isEnabled():
            assert listed[name][1] == menu and bool(listed[name][2]) == bool(command.keys)


def test_a_command_is_found_and_run_by_keys(window, qtbot):
    qtbot.keyClick(window.canvas, Qt.Key.Key_K, Qt.KeyboardModifier.ControlModifier)
    found = window._commands_found
    assert found.isVisible() and found.field.hasFocus()
    qtbot.keyClicks(found.field, "high contr")
    assert rows(found) == []
    found.field.clear()
    qtbot.keyClicks(found.field, "landm tab")
    assert [row[0] for row in rows(found)] == ["Landmarks as a table"]
    qtbot.keyClick(found.field, Qt.Key.Key_Return)
    assert not found.isVisible() and window.leaves.current == "landmarks"


def test_arrows_walk_round_the_list_and_escape_leaves_it(window, qtbot):
    window.command_list()
    found = window._commands_found
    qtbot.keyClick(found.field, Qt.Key.Key_Up)
    last = rows(found)[-1][0]
    assert found.list.currentItem().text(0) == last
    qtbot.keyClick(found.field, Qt.Key.Key_Down)
    assert found.list.currentItem().text(0) == rows(found)[0][0]
    qtbot.keyClick(found.field, Qt.Key.Key_Escape)
    assert not found.isVisible() and QApplication.focusWidget() is window.canvas


def test_the_sheet_shows_every_key(window, qtbot):
    window.shortcut_sheet()
    page = window.leaves.page("help")
    qtbot.waitUntil(lambda: page.page.findChildren(QLabel) != [], timeout=3000)
    words = " ".join(label.accessibleName() for label in page.page.findChildren(QLabel))
    for _, entries in MENUS:
        for command in entries:
            if isinstance(command, Command) and command.keys:
                assert command.text.replace("&", "") in words, command.id


def test_an_enter_pressed_too_soon_runs_nothing(window, qtbot):
    """The first of all commands begins a new case: not what an empty line asks for."""
    window.command_list()
    found, before = window._commands_found, window.desk.case
    qtbot.keyClick(found.field, Qt.Key.Key_Return)
    assert found.isVisible() and window.desk.case is before
    qtbot.keyClick(found.field, Qt.Key.Key_Down)
    assert found.list.currentItem().text(0) == rows(found)[0][0]
