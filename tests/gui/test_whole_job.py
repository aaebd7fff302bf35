"""The main job from the film to the record, by mouse and by keyboard alone."""

import json

import pytest
from PySide6.QtCore import Qt
from window_hands import SAMPLES

from radmeasure.workflow.session import Session

CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier


def truth(name):
    return json.loads((SAMPLES / f"{name}.landmarks.json").read_text())


def test_post_plan_by_mouse(hands, window, qtbot):
    """Cedar: opened, scaled, two clicks, suggestions kept; the record tells depth and clash."""
    marks = truth("cedar")
    window.desk.set_job("post plan")
    hands.open(SAMPLES / "cedar.dcm")
    if window.desk.want.kind == "tooth":
        hands.type("11")
    ball = next(e for e in marks["scale"] if e["from"] == "sphere")
    if window.desk.pending is None:
        centre = [sum(p[i] for p in ball["points"]) / len(ball["points"]) for i in (0, 1)]
        window.desk.choose("scale")
        hands.click(centre)
        hands.settle()
    hands.type("5")
    hands.key(Qt.Key.Key_1)
    hands.click(marks["points"]["coronal_reference"])
    hands.click(marks["roots"]["single"]["points"]["apex"])
    hands.type("10.5")
    hands.settle()
    assert window.desk.suggested is not None
    hands.key(Qt.Key.Key_Return, CTRL)
    hands.settle()
    record = " ".join(hands.sentences())
    assert "Post space safe to" in record and "Scale from a sphere of 5 mm" in record
    assert window.desk.evaluation.post_space[0].deepest is not None
    assert hands.actions <= 14


def test_length_check_by_mouse_without_suggestions(hands, window):
    """Alder by hand: every landmark clicked where it is; the working length is right."""
    marks = truth("alder")
    window.suggesting.automatic = False
    hands.open(SAMPLES / "alder.png")
    hands.type(marks["tooth"])
    hands.type("21")
    root = marks["roots"]["single"]["points"]
    for place in (marks["points"]["coronal_reference"], root["apex"]):
        hands.click(place)
    window.desk.drop_suggestions()
    for name in ("file_stop", "file_tip"):
        hands.click(root[name])
    hands.settle()
    assert window.desk.want is None
    assert hands.actions <= 8
    reading = window.desk.evaluation.reading("working_length", "single")
    true = json.loads((SAMPLES / "alder.truth.json").read_text())["values"]
    low, high = reading.quantity.interval95
    assert low <= true["working_length|single|None"] <= high


def test_whole_job_by_keyboard_alone(hands, window, qtbot, settings):
    """No mouse at all: the cross walks to each place, Enter keeps, Backspace skips."""
    marks = truth("alder")
    hands.open(SAMPLES / "alder.png")
    window.canvas.setFocus()
    hands.type(marks["tooth"])
    hands.type("21")
    for place in (
        marks["points"]["coronal_reference"],
        marks["roots"]["single"]["points"]["apex"],
    ):
        walk(hands, window, place)
        hands.key(Qt.Key.Key_Return)
    hands.settle()
    hands.key(Qt.Key.Key_Return, CTRL)
    hands.settle()
    while window.desk.want is not None:
        want = window.desk.want
        places = marks["roots"]["single"]["points"] | marks["points"]
        if want.kind == "point" and want.name in places:
            walk(hands, window, places[want.name])
            hands.key(Qt.Key.Key_Return)
        else:
            hands.key(Qt.Key.Key_Backspace)
    hands.settle()
    assert any("Working length" in s for s in hands.sentences())
    placed = window.desk.landmarks.points["coronal_reference"]
    wanted = marks["points"]["coronal_reference"]
    assert placed == pytest.approx(wanted, abs=0.06)


def walk(hands, window, place):
    """Bring the keyboard's cross to a place: tens, ones and tenths."""
    hands.key(Qt.Key.Key_Right)  # the cross appears
    for axis, (back, on) in enumerate(
        ((Qt.Key.Key_Left, Qt.Key.Key_Right), (Qt.Key.Key_Up, Qt.Key.Key_Down))
    ):
        for step, modifiers in ((50.0, CTRL | SHIFT), (10.0, SHIFT), (1.0, None), (0.1, CTRL)):
            while True:
                here = window.desk.turned.to_film(window.canvas.cursor_at)[axis]
                away = place[axis] - here
                if abs(away) < step * 0.5 + 1e-6:
                    break
                arguments = () if modifiers is None else (modifiers,)
                hands.key(on if away > 0 else back, *arguments)


def test_case_comes_back_as_it_was(hands, window, make_window, qtbot):
    """Nothing is saved by hand; the case opened again shows the same landmarks and record."""
    marks = truth("alder")
    hands.open(SAMPLES / "alder.png")
    hands.type(marks["tooth"])
    hands.type("21")
    window.suggesting.automatic = False
    hands.click(marks["points"]["coronal_reference"])
    before, path = window.desk.landmarks, window.desk.session.path
    window.close()
    again = make_window(Session.open(path))
    qtbot.waitUntil(lambda: again.desk.film is not None, timeout=5000)
    assert again.desk.landmarks == before
    assert again.desk.tooth == marks["tooth"] and again.desk.job.id == "length check"
