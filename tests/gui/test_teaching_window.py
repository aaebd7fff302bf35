"""The teaching copy in the window: every film is looked at, boxes are drawn by hand."""

import numpy as np
import pytest
from made_films import dataset, file_bytes
from PySide6.QtCore import QPointF, Qt
from PySide6.QtWidgets import QApplication
from window_hands import drag, move, press, release, wheel

from radmeasure.files.film import read_film
from radmeasure.model import edits
from radmeasure.workflow.session import Session

SHIFT = Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def copy(make_window, qtbot, tmp_path):
    """The teaching copy's window on a case of two films, the first turned and mirrored."""
    session = Session.create(tmp_path / "case.radcase")
    for grey in (900, 800):
        pixels = np.full((300, 200), grey, np.uint16)
        film = dataset(pixels, WindowCenter=1000, WindowWidth=2000)
        session.add_film(file_bytes(film), f"smith {grey}.dcm")
    first = session.case.films[0]
    session.apply(edits.SetOrientation(first.film_id, 1, True))
    window = make_window(session)
    window.commands["teaching_copy"].trigger()
    qtbot.waitExposed(window.teaching)
    _shown(qtbot, window.teaching)
    return window.teaching


def _shown(qtbot, copy):
    qtbot.waitUntil(copy.look.isEnabled, timeout=5000)


def _corner(view, film_corner):
    """Widget position of an outer pixel corner of the film."""
    x, y = film_corner
    return QPointF(*view.camera.to_widget(view.turned.to_shown((x - 0.5, y - 0.5)))).toPoint()


def test_films_are_looked_at_masked_and_written(copy, qtbot, tmp_path):
    """Nothing can be written before both films are confirmed; the box is black in the copy."""
    assert not copy.write.isEnabled()
    drag(copy.view, _corner(copy.view, (10, 20)), _corner(copy.view, (80, 90)))
    ((x, y, width, height),) = copy.view.boxes
    pixel = 1 / copy.view.camera.zoom
    assert abs(x - 10) <= 1 + pixel
    assert abs(y - 20) <= 1 + pixel
    assert abs(x + width - 80) <= 1 + pixel
    assert abs(y + height - 90) <= 1 + pixel
    copy.look.click()
    assert not copy.write.isEnabled()
    copy.forth.click()
    _shown(qtbot, copy)
    assert copy.view.boxes == ()
    assert not copy.look.isChecked()
    copy.look.click()
    assert copy.write.isEnabled()
    copy.write_to(str(tmp_path / "out"))
    qtbot.waitUntil(lambda: copy._task is None and (tmp_path / "out").is_dir(), timeout=10000)
    pixels = read_film(tmp_path / "out" / "film-1.dcm").pixels
    blank = np.zeros((300, 200), bool)
    blank[y : y + height, x : x + width] = True
    assert (pixels[blank] == 0).all()
    assert (pixels[~blank] == 900).all()
    assert (read_film(tmp_path / "out" / "film-2.dcm").pixels == 800).all()
    assert not [p for p in (tmp_path / "out").iterdir() if "smith" in p.name]


def test_drawing_takes_the_confirmation_back(copy, qtbot):
    """Who changes the boxes must look again; coming back finds the boxes as they were."""
    copy.look.click()
    drag(copy.view, _corner(copy.view, (10, 20)), _corner(copy.view, (80, 90)))
    assert not copy.look.isChecked()
    boxes = copy.view.boxes
    for button in (copy.forth, copy.back):
        button.click()
        _shown(qtbot, copy)
    assert copy.view.boxes == boxes
    copy.away.click()
    assert copy.view.boxes == ()


def test_boxes_by_key(copy, qtbot):
    """N, arrows, Shift and arrows, Delete do what the mouse does; a box stays on the film."""
    view = copy.view
    view.setFocus()
    qtbot.keyClick(view, Qt.Key.Key_N)
    ((x, y, width, height),) = view.boxes
    qtbot.keyClick(view, Qt.Key.Key_Right)
    ((x1, y1, *_),) = view.boxes
    # turned right and mirrored: right on the screen runs along the film's rows or columns
    assert sorted((abs(x1 - x), abs(y1 - y))) == [0, 8]
    qtbot.keyClick(view, Qt.Key.Key_Down, SHIFT)
    ((_, _, width1, height1),) = view.boxes
    assert sorted((abs(width1 - width), abs(height1 - height))) == [0, 8]
    for _ in range(60):
        qtbot.keyClick(view, Qt.Key.Key_Right)
    ((x2, y2, width2, height2),) = view.boxes
    assert x2 >= 0
    assert y2 >= 0
    assert x2 + width2 <= 200
    assert y2 + height2 <= 300
    qtbot.keyClick(view, Qt.Key.Key_Delete)
    assert view.boxes == ()


def test_a_click_takes_a_box_in_hand_and_the_wheel_enlarges(copy):
    view = copy.view
    drag(view, _corner(view, (10, 20)), _corner(view, (80, 90)))
    drag(view, _corner(view, (100, 200)), _corner(view, (150, 250)))
    at = _corner(view, (40, 50))
    move(view, at, Qt.MouseButton.NoButton)
    press(view, at)
    release(view, at)
    assert view.chosen == 0
    zoom = view.camera.zoom
    wheel(view, at)
    assert view.camera.zoom > zoom
    view.take_away()
    assert len(view.boxes) == 1


def test_the_screen_shows_what_the_copy_will(copy):
    """Under a box the film is black on the screen, with an edge to find it by."""
    view = copy.view
    drag(view, _corner(view, (10, 20)), _corner(view, (80, 90)))
    inside, outside = _corner(view, (45, 55)), _corner(view, (150, 200))
    image = view.grab().toImage()
    ratio = image.devicePixelRatio()
    assert image.pixelColor(inside * ratio).lightness() == 0
    assert image.pixelColor(outside * ratio).lightness() > 30


def test_it_goes_with_its_case(copy, qtbot):
    """A film added is to be looked at too; another case closes the window."""
    window = copy.parent()
    copy.look.click()
    window.desk.session.add_film(file_bytes(dataset(np.zeros((50, 40), np.uint16))), "third.dcm")
    qtbot.waitUntil(lambda: len(copy.films) == 3, timeout=2000)
    assert sum(copy.seen.values()) == 1
    window.commands["new_case"].trigger()
    qtbot.waitUntil(lambda: window.teaching is None, timeout=2000)
    QApplication.processEvents()
