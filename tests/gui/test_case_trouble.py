"""Trouble with a case: a clear word in the window, nothing lost, the work goes on."""

import sqlite3

import pytest
from case_folders import open_to_all, without_rights
from window_hands import SAMPLES

from radmeasure.workflow.session import Session


@pytest.fixture
def working(hands, window):
    """A case in work with one landmark."""
    window.suggesting.automatic = False
    hands.open(SAMPLES / "alder.png")
    window.desk.set_tooth("11")
    window.desk.place("apex", "single", (250.0, 330.0))
    hands.settle()
    return hands


def test_a_case_of_a_newer_version_is_refused_and_left_alone(working, window, tmp_path):
    """The case on the desk stays there."""
    path = tmp_path / "newer.radcase"
    window.desk.session.save_copy(path)
    with sqlite3.connect(path) as connection:
        connection.execute("PRAGMA user_version = 999")
    connection.close()
    before, case, own = path.read_bytes(), window.desk.case, window.desk.session.path
    working.open(path)
    assert "newer radmeasure" in window.notice.text and "update" in window.notice.text
    assert window.desk.case is case and window.desk.session.path == own
    assert path.read_bytes() == before


def test_a_file_that_is_no_case_is_refused(working, window, tmp_path):
    path = tmp_path / "letter.radcase"
    path.write_text("Dear colleague")
    working.open(path)
    assert "letter.radcase" in window.notice.text
    assert window.desk.landmarks.get("apex", "single") == (250.0, 330.0)


def test_a_damaged_film_is_refused_and_the_one_shown_stays(working, window, tmp_path):
    path = tmp_path / "half.dcm"
    path.write_bytes((SAMPLES / "cedar.dcm").read_bytes()[:20000])
    film = window.desk.film
    working.open(path)
    assert "half.dcm" in window.notice.text and window.desk.film is film


def test_on_a_full_disk_the_mark_goes_back_and_the_window_says_why(working, window):
    """Nothing is shown that is not kept; with room again the same act works."""
    connection = window.desk.session._file._connection
    (pages,) = connection.execute("PRAGMA page_count").fetchone()
    connection.execute(f"PRAGMA max_page_count = {pages}")
    line = tuple((200.0 + k, 300.0 + 0.37 * k) for k in range(2000))  # more than a free page
    assert not window.desk.place("canal", "single", line)
    assert "disk is full" in window.notice.text
    assert window.desk.landmarks.get("canal", "single") is None
    with Session.open(window.desk.session.path, read_only=True) as disk:
        assert disk.case == window.desk.case
    connection.execute("PRAGMA max_page_count = 1000000")
    assert window.desk.place("canal", "single", line)
    assert window.desk.landmarks.get("canal", "single") == line


def test_on_a_read_only_medium_the_case_can_be_looked_at(working, window):
    """Everything is shown; an act is refused with the reason and a way out."""
    placed = window.desk.landmarks
    with open_to_all() as folder:
        path = folder / "copy.radcase"
        window.desk.session.save_copy(path)
        path.chmod(0o444)
        with without_rights():
            looking = Session.open(path)
        window.desk.begin(looking)
        working.settle()
        assert looking.read_only and window.desk.landmarks == placed
        assert not window.desk.place("apex", "single", (10.0, 20.0))
        assert "read-only" in window.notice.text and "save a copy" in window.notice.text
        assert window.desk.landmarks == placed
        window.close()


def test_another_case_takes_the_place_of_the_one_in_work(working, window, tmp_path):
    """The one before is closed with all its edits and free for others."""
    path, own = tmp_path / "copy.radcase", window.desk.session.path
    window.desk.session.save_copy(path)
    placed = window.desk.landmarks
    working.open(path)
    assert window.desk.session.path == path and window.desk.landmarks == placed
    with Session.open(own) as closed:
        assert not closed.read_only
        assert closed.case.charts == window.desk.case.charts
