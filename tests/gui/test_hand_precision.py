"""A drag, a nudge and an undo are exact; greys and zoom leave the film's values alone."""

import numpy as np
import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QImage
from window_hands import SAMPLES, drag, wheel

from radmeasure.gui.camera import Camera
from radmeasure.workflow.session import Session

SHIFT, CTRL = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def ready(hands, window):
    """A film at twice its size with one landmark placed on it."""
    window.suggesting.automatic = False
    hands.open(SAMPLES / "alder.png")
    window.desk.set_tooth("11")
    window.canvas.set_camera(Camera(2.0, 100.25, 200.5))
    window.desk.place("apex", "single", (250.3, 330.7))
    hands.settle()
    return hands


def test_drag_moves_by_exactly_what_the_pointer_moved(ready, window):
    """No jump at the press: (60, -35) screen px at zoom 2 are (30, -17.5) film px."""
    before = window.desk.landmarks.get("apex", "single")
    start = window.canvas.to_widget(before) + QPointF(3, 2)
    drag(window.canvas, start, start + QPointF(60, -35))
    after = window.desk.landmarks.get("apex", "single")
    assert np.subtract(after, before) == pytest.approx((30.0, -17.5), abs=1e-9)


def test_shift_drags_at_a_fifth_of_the_speed(ready, window):
    before = window.desk.landmarks.get("apex", "single")
    start = window.canvas.to_widget(before)
    drag(window.canvas, start, start + QPointF(50, 0), modifiers=SHIFT)
    after = window.desk.landmarks.get("apex", "single")
    assert np.subtract(after, before) == pytest.approx((5.0, 0.0), abs=1e-9)


@pytest.mark.parametrize(("modifiers", "step"), [(None, 1.0), (CTRL, 0.1), (SHIFT, 10.0)])
def test_arrows_nudge_by_a_pixel_a_tenth_and_ten(ready, window, modifiers, step):
    before = window.desk.landmarks.get("apex", "single")
    window.canvas.setFocus()
    window.desk.select(("apex", "single"))
    ready.key(Qt.Key.Key_Right, *(() if modifiers is None else (modifiers,)))
    after = window.desk.landmarks.get("apex", "single")
    assert np.subtract(after, before) == pytest.approx((step, 0.0), abs=1e-9)


def test_nudge_goes_the_way_the_arrow_points_on_a_turned_film(ready, window):
    """After a quarter turn clockwise, right on the screen is up on the film."""
    window.desk.turn(1)
    before = window.desk.landmarks.get("apex", "single")
    window.canvas.setFocus()
    window.desk.select(("apex", "single"))
    ready.key(Qt.Key.Key_Right)
    after = window.desk.landmarks.get("apex", "single")
    assert np.subtract(after, before) == pytest.approx((0.0, -1.0), abs=1e-9)


def test_undo_and_redo_are_exact(ready, window):
    """Drag, then back, then on again: the same floats and the same evaluation."""
    first = window.desk.landmarks
    value = window.desk.evaluation.reading("tooth_length", "single")
    start = window.canvas.to_widget(first.get("apex", "single"))
    drag(window.canvas, start, start + QPointF(13, 7))
    moved = window.desk.landmarks
    ready.key(Qt.Key.Key_Z, CTRL)
    assert window.desk.landmarks == first
    ready.settle()
    assert window.desk.evaluation.reading("tooth_length", "single").missing == value.missing
    ready.key(Qt.Key.Key_Y, CTRL)
    assert window.desk.landmarks == moved


def test_a_series_of_nudges_is_one_undo_step(ready, window):
    first = window.desk.landmarks
    window.canvas.setFocus()
    window.desk.select(("apex", "single"))
    for _ in range(7):
        ready.key(Qt.Key.Key_Down)
    window.desk.undo()
    assert window.desk.landmarks == first


@pytest.mark.parametrize(
    ("name", "quarter_turns"), [("canal", 0), ("root_wall_mesial", 1), ("lesion", 0)]
)
def test_a_nudged_line_keeps_its_shape_and_stays_on_the_film(ready, window, name, quarter_turns):
    """Pushed against the film's edge it stops there whole; undo, redo and the file agree."""
    desk, film = window.desk, window.desk.film
    right = film.width - 80
    line = ((right - 20.25, 30.0), (right, 70.75), (right - 5.0, 130.0))
    desk.place(name, "single", line)
    desk.turn(quarter_turns)
    window.canvas.setFocus()
    desk.select((name, "single"))
    for _ in range(3):
        ready.key(Qt.Key.Key_Right, SHIFT | CTRL)
    moved = np.array(desk.landmarks.get(name, "single"))
    assert np.diff(moved, axis=0) == pytest.approx(np.diff(line, axis=0), abs=1e-9)
    # Right on the screen: the film's own right edge, or its top after a quarter turn.
    edge = moved[:, 1].min() if quarter_turns else moved[:, 0].max()
    assert edge == pytest.approx(0 if quarter_turns else film.width - 1, abs=1e-9)
    desk.undo()
    assert desk.landmarks.get(name, "single") == line
    desk.redo()
    assert np.array_equal(desk.landmarks.get(name, "single"), moved)
    ready.settle()
    path, key = desk.session.path, (desk.film_id, desk.tooth)
    window.close()
    with Session.open(path) as again:
        kept = again.case.chart(*key).landmarks.get(name, "single")
    assert np.array_equal(kept, moved)


def test_escape_breaks_a_drag_off(ready, window):
    from window_hands import move, press

    first = window.desk.landmarks
    start = window.canvas.to_widget(first.get("apex", "single"))
    press(window.canvas, start)
    move(window.canvas, start + QPointF(40, 40))
    assert window.desk.landmarks != first
    window.canvas.setFocus()
    ready.key(Qt.Key.Key_Escape)
    assert window.desk.landmarks == first and window.desk.preview is None


def test_wheel_keeps_the_film_under_the_pointer(ready, window):
    canvas, at = window.canvas, QPointF(333, 222)
    before = canvas.to_film(at)
    for _ in range(5):
        wheel(canvas, at)
    assert canvas.camera.zoom == pytest.approx(2.0 * 1.0015**600)
    assert canvas.to_film(at) == pytest.approx(before, abs=1e-9)


def test_actual_size_shows_each_film_pixel_exactly(ready, window):
    """At one film pixel a screen pixel, what is drawn is the grey table of the film's values."""
    canvas = window.canvas
    canvas.show_marks = False
    canvas.clearFocus()
    canvas.set_camera(Camera(1.0, 60.0, 80.0))
    drag(canvas, QPointF(300, 300), QPointF(340, 320), Qt.MouseButton.RightButton)
    canvas._refined()
    film = window.desk.film
    image = canvas.grab().toImage().convertToFormat(QImage.Format.Format_Grayscale8)
    shown = np.frombuffer(image.constBits(), np.uint8)
    shown = shown.reshape(image.height(), image.bytesPerLine())
    expected = canvas.grey.levels()[film.pixels[180:480, 160:460]]
    assert canvas.grey.window is not None
    assert np.array_equal(shown[100:400, 100:400], expected)


def test_landmarks_follow_turns_and_mirroring(ready, window):
    """The mark stays on its film pixel; the film's own pixels are untouched."""
    raw = window.desk.film.pixels.copy()
    place = window.desk.landmarks.get("apex", "single")
    for act in (window.turn_right, window.mirror, window.turn_left, window.mirror):
        act()
        x, y = (int(c) for c in window.desk.turned.to_shown(place))
        column, row = round(place[0]), round(place[1])
        assert window.canvas.picture.levels[0][y, x] == raw[row, column]
        assert window.desk.landmarks.get("apex", "single") == place
    assert np.array_equal(window.desk.film.pixels, raw)
    entry = window.desk.entry
    assert (entry.turns, entry.mirrored) == (0, False)


def test_a_second_click_on_the_same_place_adds_nothing_to_a_line(ready, window):
    """A double click begins a line as one click does; nothing is lost, nothing stops."""
    desk = window.desk
    desk.choose("canal", "single")
    at = (200.0, 300.0)
    ready.click(at)
    ready.click(at)
    assert desk.first_vertex is not None and desk.value("canal", "single")[0] is None
    ready.click((210.0, 340.0))
    ready.click((210.0, 340.0))
    assert len(desk.value("canal", "single")[0]) == 2


def test_a_line_pulled_into_nothing_stays_as_it_was(ready, window):
    """Both ends on one place are no line: it is said, and the line is shown where it is kept."""
    desk, said = window.desk, []
    line = ((0.0, 0.0), (60.0, 80.0))
    desk.place("canal", "single", line)
    desk.said.connect(lambda words, trouble: said.append((words, trouble)))
    desk.drag("canal", "single", ((0.0, 0.0), (0.0, 0.0)))
    assert not desk.place("canal", "single", ((0.0, 0.0), (0.0, 0.0)), lead=False)
    assert said and all(trouble for _, trouble in said)
    assert desk.preview is None and desk.value("canal", "single")[0] == line
    shown = [i.points for i in window.canvas.overlay.items if i.name == "canal"]
    assert len(shown[0]) == 2 and shown[0][0] != shown[0][1]


def test_a_mark_dragged_about_and_back_leaves_full_numbers(ready, window):
    """Nothing was changed, so nothing is told; yet what the drag tried out is over."""
    from window_hands import move, press, release

    desk, canvas = window.desk, window.canvas
    desk.place("coronal_reference", None, (260.0, 600.0))
    ready.settle()
    kept = desk.landmarks
    start = canvas.to_widget(kept.get("apex", "single"))
    press(canvas, start)
    for at in (start + QPointF(30, 30), start):
        move(canvas, at)
    release(canvas, start)
    assert desk.preview is None and desk.landmarks == kept
    ready.settle()
    assert desk.evaluated_in_full
