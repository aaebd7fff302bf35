"""What a screen reader is given: roles and words of the drawn parts, and what changes.

The roles and events were also seen arriving at an AT-SPI client (docs/accessibility.md).
"""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QWidget
from test_explanations import _cedar

from radmeasure.gui import spoken
from radmeasure.model import edits

NAME, WORDS = QAccessible.Text.Name, QAccessible.Text.Description


class Reader:
    """Stands for QAccessible with a reader listening."""

    AnnouncementPoliteness = QAccessible.AnnouncementPoliteness

    def __init__(self):
        self.heard, self.urgent = [], []

    def isActive(self):
        return True

    def updateAccessibility(self, event):
        self.heard.append(event.message())
        self.urgent.append(event.politeness() == self.AnnouncementPoliteness.Assertive)


@pytest.fixture
def reader(monkeypatch):
    found = Reader()
    monkeypatch.setattr(spoken, "QAccessible", found)
    return found


@pytest.fixture
def planned(hands, window):
    _cedar(hands, window)
    hands.settle()
    return window


def interface(widget):
    return QAccessible.queryAccessibleInterface(widget)


def test_film_and_chart_are_pictures_with_words(planned):
    film, chart = interface(planned.canvas), interface(planned.levels.chart)
    assert film.role() == chart.role() == QAccessible.Role.Graphic
    assert film.text(NAME) == "Film" and chart.text(NAME) == "Level chart"
    placed = sum(1 for _ in planned.desk.landmarks.placed())
    assert f"marks placed: {placed}" in film.text(WORDS)
    assert planned.desk.entry.name in film.text(WORDS)
    for handle in planned.levels.chart.handles:
        assert planned.levels.chart._words(handle) in chart.text(WORDS)


def test_the_table_is_the_twin_of_the_film(planned, qtbot):
    """Every mark on the film is a row with its name, state and place, and every row has a name."""
    table = planned.leaves.turn_to("landmarks")
    qtbot.wait(30)
    spoken_of = interface(table)
    cells = [spoken_of.child(i) for i in range(spoken_of.childCount())]
    words = [cell.text(NAME) for cell in cells if cell.role() == QAccessible.Role.Cell]
    assert all(words)
    rows = [words[i : i + 5] for i in range(0, len(words), 5)]
    for root, name, value in planned.desk.landmarks.placed():
        row = rows[table.rows.rows.index((name, root))]
        assert row[1] == "placed"
        if isinstance(value[0], float):
            assert [float(cell) for cell in row[2:4]] == pytest.approx(value, abs=0.051)
    heads = [c.text(NAME) for c in cells if c.role() == QAccessible.Role.RowHeader]
    assert heads == [row[0] for row in rows]


def test_a_nudged_mark_says_where_it_is(planned, hands, reader):
    planned.desk.select(("apex", "single"))
    planned.canvas.setFocus()
    hands.key(Qt.Key.Key_Right)
    x, y = planned.desk.value("apex", "single")[0]
    assert f"apex: {x:.1f}, {y:.1f}" in reader.heard


def test_the_chart_says_what_the_arrows_made(planned, hands, reader):
    chart = planned.levels.chart
    chart.setFocus()
    handle = chart.handles[0]
    hands.key(Qt.Key.Key_Up)
    hands.settle()
    assert f"Depth of the post: {handle.value + 0.1:.1f} mm" in reader.heard


def test_what_is_said_is_spoken_and_trouble_interrupts(window, reader):
    window.desk.said.emit("It is done.", False)
    window.desk.said.emit("It went wrong.", True)
    assert reader.heard[-2:] == ["It is done.", "It went wrong."]
    assert reader.urgent[-2:] == [False, True]


def test_the_command_found_is_spoken(window, hands, reader):
    window.command_list()
    hands.key(Qt.Key.Key_Down)
    hands.key(Qt.Key.Key_Down)
    assert reader.heard[-1].startswith("Open film or case")


def test_an_answer_of_the_worksheet_is_part_of_the_question(planned, qtbot):
    sheet = planned.leaves.turn_to("worksheet")
    qtbot.wait(50)
    question = next(iter(sheet._questions.values()))
    assert interface(question).text(WORDS) == ""
    qtbot.keyClicks(question, "y")
    assert interface(question).text(WORDS) == "y  yes"


def test_no_markup_is_read_out(window, hands):
    """Names and descriptions are words, whatever the window shows them with."""
    window.desk.apply(edits.SetLabel("Cedar"))
    _cedar(hands, window)
    for page in ("record", "entries", "worksheet", "ways", "landmarks", "history", "cases"):
        window.leaves.turn_to(page)
        for widget in window.findChildren(QWidget):
            if widget.isVisible() and (found := interface(widget)) is not None:
                for part in (NAME, WORDS):
                    assert "<" not in found.text(part), (page, found.text(part))
