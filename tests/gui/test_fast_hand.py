"""A hand faster than the search of a film: what the film calls for is taken up all the same."""

import threading

import pytest
from window_hands import SAMPLES, move, press, release

from radmeasure.gui import referencing

CORONAL, APEX = (410.0, 700.0), (400.0, 250.0)


@pytest.fixture
def held_up(monkeypatch):
    """The search of a film waits until this event is set."""
    go, search = threading.Event(), referencing._find_all

    def late(report, film):
        assert go.wait(60)
        return search(report, film)

    monkeypatch.setattr(referencing, "_find_all", late)
    yield go
    go.set()


@pytest.fixture
def desk(window, hands, qtbot, held_up):
    """Birch, which shows no file, just opened; its tooth is known, its search is not over."""
    window.suggesting.automatic = False
    window.opening.open([SAMPLES / "birch.png"])
    qtbot.waitUntil(lambda: window.desk.film_id is not None and not window.opening.busy)
    window.desk.set_tooth("21")
    assert window.referencing.at_work and window.desk.job.id == "length check"
    return window.desk


def test_the_job_follows_though_marks_were_placed_meanwhile(desk, hands, held_up):
    """Job and the film's role come late, marks and the selected mark stay."""
    desk.place("coronal_reference", None, CORONAL)
    desk.place("apex", "single", APEX, lead=False)
    held_up.set()
    hands.settle()
    assert desk.job.id == "filling check" and desk.entry.role == "filling check"
    assert desk.landmarks.get("coronal_reference") == CORONAL
    assert desk.selected == ("apex", "single")
    assert desk.want.key not in (("file_stop", "single"), ("file_tip", "single"))


def test_a_drag_is_finished_before_the_job_changes(desk, window, hands, qtbot, held_up):
    """The mark under the hand is not taken from it."""
    desk.place("apex", "single", APEX)
    at = hands.at(APEX)
    press(window.canvas, at)
    move(window.canvas, at + hands.at((440.0, 250.0)) - hands.at(CORONAL))
    assert desk.preview is not None
    held_up.set()
    qtbot.waitUntil(lambda: not window.referencing.at_work, timeout=20000)
    assert desk.job.id == "length check" and desk.preview is not None
    release(window.canvas, at)
    hands.settle()
    assert desk.job.id == "filling check" and desk.preview is None


def test_who_marks_a_file_keeps_the_length_check(desk, hands, held_up):
    """What is placed tells what the person is about."""
    desk.place("file_tip", "single", APEX)
    held_up.set()
    hands.settle()
    assert desk.job.id == "length check"


def test_what_was_found_while_another_film_was_shown_is_told_later(desk, window, hands, held_up):
    """A search that ended too late for its film is not lost."""
    film = desk.film_id
    desk.show_film(None)
    window.referencing._keep(film, [])  # was on its way when the film was put away
    assert desk.job.id == "length check"
    desk.show_film(film)
    held_up.set()
    hands.settle()
    assert desk.film_id == film and desk.job.id == "filling check"
