"""Two films side by side: chosen, linked, and held against each other figure by figure."""

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QComboBox, QLabel
from window_hands import SAMPLES

from radmeasure.files.landmarks_json import read_landmarks
from radmeasure.gui.camera import centred
from radmeasure.model import edits
from radmeasure.workflow.samples import sample

TOOTH = "13"


def charted(film_id, marks):
    """Everything of a landmark file as one edit."""
    chart = (film_id, TOOTH)
    yield edits.SetScale(*chart, marks.scale)
    for root, name, value in marks.placed():
        yield edits.Place(*chart, name, root, value)


@pytest.fixture
def recall(hands, window):
    """Juniper: both films in one case, every landmark of its files on them, the later shown."""
    window.suggesting.automatic = False
    window.open_sample(sample("Juniper"))
    hands.settle()
    for film in window.desk.case.films:
        marks = read_landmarks((SAMPLES / film.name).with_suffix(".landmarks.json"))
        window.desk.apply(edits.Several("laid out", tuple(charted(film.film_id, marks))))
    window.desk.set_tooth(TOOTH)
    window.desk.set_job("recall")
    hands.settle()
    return hands


def ids(window):
    return [film.film_id for film in window.desk.case.films]


def beside(recall, window):
    window.commands["show_beside"].setChecked(True)
    recall.settle()
    recall.qtbot.wait(30)


def apex_seen(canvas):
    """Where the apex stands on the screen, from the middle of the canvas."""
    at = canvas.to_widget(canvas.desk.landmarks.get("apex", "single"))
    return at.x() - canvas.width() / 2, at.y() - canvas.height() / 2


def test_linked_films_show_the_same_place_of_the_tooth(recall, window):
    """Zoomed on the apex of one, the apex of the other is in the middle too; panned, both move."""
    beside(recall, window)
    canvas, other = window.canvas, window.beside
    shown = window.desk.turned.to_shown(window.desk.landmarks.get("apex", "single"))
    canvas.set_camera(centred(canvas.film_size, (canvas.width(), canvas.height()), shown, 2.0))
    # The films were taken at other angles: 0.1 mm of residual, some px on the screen.
    assert apex_seen(other) == pytest.approx((0, 0), abs=8)
    before = apex_seen(other)
    canvas.pan(40, -25)
    assert np.subtract(apex_seen(other), before) == pytest.approx((40, -25), abs=1)
    assert other.camera.zoom == pytest.approx(2.0, rel=0.05)


def test_the_film_beside_leads_as_well(recall, window):
    beside(recall, window)
    window.beside.zoom_by(1.5)
    assert apex_seen(window.canvas) == pytest.approx(apex_seen(window.beside), abs=8)


def test_unlinked_films_move_on_their_own(recall, window):
    beside(recall, window)
    window.commands["link_views"].setChecked(False)
    before = window.beside.camera
    window.canvas.pan(40, 0)
    window.canvas.zoom_by(2.0)
    assert window.beside.camera == before


def test_films_are_linked_when_one_is_turned(recall, window):
    """How a film is turned on the screen changes nothing about which place is which."""
    beside(recall, window)
    window.turn_right()
    recall.settle()
    window.canvas.zoom_by(1.2)
    lies = window.link._alignment(window.canvas, window.beside)
    for name, root in (("apex", "single"), ("cej_mesial", None)):
        here, there = (
            canvas.desk.turned.to_shown(canvas.desk.landmarks.get(name, root))
            for canvas in (window.canvas, window.beside)
        )
        assert lies(here) == pytest.approx(there, abs=4)
    assert apex_seen(window.beside) != pytest.approx((0, 0), abs=1)


def test_ctrl_click_in_the_strip_puts_a_film_beside(recall, window, qtbot):
    earlier = ids(window)[0]
    item = next(
        window.films.item(i)
        for i in range(window.films.count())
        if window.films.item(i).data(Qt.ItemDataRole.UserRole) == earlier
    )
    at = window.films.visualItemRect(item).center()
    qtbot.mouseClick(
        window.films.viewport(),
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.ControlModifier,
        QPoint(at),
    )
    recall.settle()
    assert window.beside.isVisible() and window.exhibit.film_id == earlier
    assert window.desk.film_id != earlier


def page(recall, window):
    leaf = window.leaves.turn_to("changes")
    recall.settle()
    recall.qtbot.waitUntil(lambda: any("±" in text for text in told(leaf)), timeout=10000)
    assert leaf.findChild(QComboBox) is not None
    return leaf


def told(leaf):
    labels = [label for label in leaf.findChildren(QLabel) if label.isVisibleTo(leaf)]
    return [label.accessibleName() or label.text() for label in labels]


def row(leaf, start):
    """The table's row that starts so, as a screen reader is told it."""
    table = next(text for text in told(leaf) if text.count("±") > 3)
    return next(line for line in table.split("; ") if line.startswith(start))


def test_readings_of_both_visits_stand_side_by_side(recall, window):
    """Earlier, later, change and its uncertainty, and whether it is more than error."""
    leaf = page(recall, window)
    lesion = row(leaf, "Radiolucency diameter")
    stated = lesion.count("±") + lesion.count(" to ")  # an interval where it is not even
    assert stated == 3 and lesion.endswith("more than error")
    assert row(leaf, "CEJ to crest, distal").endswith("within error")
    text = " ".join(told(leaf))
    assert "laid over each other" in text and "independent" in text


def test_the_order_of_the_films_stays_when_the_other_one_is_shown(recall, window):
    """A change is later minus earlier, whichever film is in work."""
    first = row(page(recall, window), "Radiolucency diameter")
    window.desk.show_film(ids(window)[0])
    recall.settle()
    assert row(page(recall, window), "Radiolucency diameter") == first


def test_the_film_of_the_table_is_shown_beside_on_demand(recall, window):
    leaf = page(recall, window)
    leaf.two_films.beside_wanted.emit(ids(window)[0])
    recall.settle()
    assert window.beside.isVisible() and window.exhibit.film_id == ids(window)[0]
