"""Maple: interrupted, the power fails, the same case in the next room. Nothing is lost."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtWidgets import QPushButton
from window_hands import SAMPLES

from radmeasure.gui.camera import Camera
from radmeasure.workflow.session import Session

PLACED = {"coronal_reference": (300.0, 700.0), "cej_mesial": (380.0, 480.0), "apex": (310.5, 95.25)}


@pytest.fixture
def interrupted(tmp_path, quick_folder, monkeypatch):
    """Path of a case whose window was killed, as by a power cut, in the middle of a drag."""
    monkeypatch.setenv("RADMEASURE_DATA", str(quick_folder))
    case = Path(quick_folder) / "unsaved" / "interrupted.radcase"
    case.parent.mkdir(exist_ok=True)
    child = subprocess.Popen(
        [
            sys.executable,
            str(Path(__file__).with_name("maple_child.py")),
            str(tmp_path / "child.ini"),
            str(case),
            str(SAMPLES / "cedar.dcm"),
        ],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
    )
    try:
        assert child.stdout.readline() == "ready\n"
        for name, (x, y) in PLACED.items():
            child.stdin.write(f"{name} {x} {y}\n")
            child.stdin.flush()
            assert child.stdout.readline() == f"ack {name}\n"
        child.stdin.close()
        assert child.stdout.readline() == "dragging\n"
    finally:
        child.kill()
        child.wait()
        child.stdout.close()
    return case


def settled(window, qtbot):
    qtbot.waitUntil(
        lambda: not window.opening.busy and not window.background.busy and window.desk.settled,
        timeout=20000,
    )


def test_after_a_power_cut_everything_is_where_it_was(interrupted, make_window, qtbot):
    """Every acknowledged edit is there, the broken-off drag is not; film, tooth, job, part
    of the film and page as they were; the next window says what happened."""
    window = make_window(Session.open(interrupted))
    settled(window, qtbot)
    desk = window.desk
    assert {n: desk.landmarks.get(n, r) for r, n, _ in desk.landmarks.placed()} == PLACED
    assert "ended without closing" in window.notice.text
    assert desk.film is not None and desk.tooth == "11" and desk.job.id == "post plan"
    assert window.canvas.camera == Camera(1.5, 40.0, 60.0)
    assert window.leaves.current == "entries"
    desk.undo()
    assert desk.landmarks.get("apex", "single") is None
    desk.redo()
    assert desk.landmarks.get("apex", "single") == PLACED["apex"]


def test_a_fresh_start_offers_to_go_on_with_it(interrupted, make_window, qtbot):
    """Nobody need know where the case is: the empty window names it, one press opens it."""
    window = make_window()
    qtbot.waitUntil(lambda: window.practice is not None, timeout=10000)
    buttons = window.welcome.findChildren(QPushButton)
    (button,) = (b for b in buttons if "tooth 11" in b.text())
    button.click()
    settled(window, qtbot)
    assert window.desk.session.path == interrupted
    assert window.desk.landmarks.get("apex", "single") == PLACED["apex"]


@pytest.fixture
def two_rooms(hands, window, make_window, qtbot):
    """The same case in two windows: (who has it, who looks)."""
    window.suggesting.automatic = False
    hands.open(SAMPLES / "cedar.dcm")
    window.desk.set_tooth("11")
    window.desk.place("apex", "single", PLACED["apex"])
    other = make_window(Session.open(window.desk.session.path))
    settled(other, qtbot)
    return window, other


def test_the_second_window_says_who_has_the_case_and_follows(two_rooms, qtbot):
    clinician, nurse = two_rooms
    assert f"process {os.getpid()}" in nurse.notice.text and nurse.notice.trouble
    assert nurse.desk.landmarks.get("apex", "single") == PLACED["apex"]
    clinician.desk.place("cej_mesial", None, PLACED["cej_mesial"])
    qtbot.waitUntil(
        lambda: nurse.desk.landmarks.get("cej_mesial") == PLACED["cej_mesial"], timeout=10000
    )
    clinician.desk.undo()
    qtbot.waitUntil(lambda: nurse.desk.landmarks.get("cej_mesial") is None, timeout=10000)


def test_an_edit_in_the_second_window_is_refused_with_the_reason(two_rooms, qtbot):
    clinician, nurse = two_rooms
    before = clinician.desk.session.history()
    assert not nurse.desk.place("cej_mesial", None, PLACED["cej_mesial"])
    assert "has this case open" in nurse.notice.text
    assert nurse.desk.landmarks == clinician.desk.landmarks
    assert clinician.desk.session.history() == before


def test_the_second_window_goes_on_once_the_first_is_closed(two_rooms, qtbot):
    """It says that the case is free; taken over, it can be changed there, nothing missing."""
    clinician, nurse = two_rooms
    placed = clinician.desk.landmarks
    clinician.close()
    qtbot.waitUntil(lambda: "free now" in nurse.notice.text, timeout=10000)
    nurse.take_over()
    assert not nurse.desk.session.read_only and nurse.desk.landmarks == placed
    assert "can be changed here now" in nurse.notice.text  # not that it could be taken over
    assert nurse.desk.place("cej_mesial", None, PLACED["cej_mesial"])
    assert nurse.desk.landmarks.get("cej_mesial") == PLACED["cej_mesial"]
