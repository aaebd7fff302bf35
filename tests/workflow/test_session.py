"""What a session promises: durable edits, undo, history, one writer at a time."""

import hashlib
import json
import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from case_folders import open_to_all, without_rights

from radmeasure.errors import CaseError, InputError
from radmeasure.files import case_lock
from radmeasure.model.case import FilmEntry
from radmeasure.model.edits import (
    AcceptSuggestion,
    AddFilm,
    CorrectSuggestion,
    Place,
    RemoveFilm,
    SetIdentity,
    SetLabel,
    SetRole,
    SetSuggestions,
    SetUncertainty,
    Several,
    StartFrom,
    accept_all,
)
from radmeasure.model.landmarks import Landmarks
from radmeasure.model.tooth import Tooth
from radmeasure.workflow.case_places import unsaved_cases, unsaved_folder
from radmeasure.workflow.session import Session

FILM = b"stands for the bytes of a film"


@pytest.fixture
def path(quick_folder):
    return quick_folder / "case.radcase"


@pytest.fixture
def session(path):
    with Session.create(path, author="ab") as made:
        made.add_film(FILM, "before.png")
        yield made


@pytest.fixture
def film_id(session):
    return session.case.films[0].film_id


def _apex(film_id, x=812.5, y=1403.25):
    return Place(film_id, "11", "apex", "single", (x, y))


def _apex_of(session, film_id):
    return session.case.chart(film_id, "11").landmarks.get("apex", "single")


# -- edits ------------------------------------------------------------------
def test_an_edit_is_in_the_file_before_apply_returns(session, film_id, path):
    """Read by plain SQLite the moment apply returns, with full syncing switched on."""
    session.apply(_apex(film_id))
    rows = sqlite3.connect(path).execute("SELECT edit, author FROM events").fetchall()
    assert json.loads(rows[-1][0])["value"] == [812.5, 1403.25]
    assert rows[-1][1] == "ab"
    synchronous = session._file._connection.execute("PRAGMA synchronous").fetchone()[0]
    assert synchronous == 3  # EXTRA, https://sqlite.org/pragma.html#pragma_synchronous


def test_an_edit_that_does_not_fit_changes_nothing(session, film_id):
    """The error names the entry; case and history stay as they were."""
    before, events = session.case, len(session.history())
    with pytest.raises(InputError, match="no film 'film-none'"):
        session.apply(_apex("film-none"))
    with pytest.raises(InputError, match=r"unknown (landmark|point)"):
        session.apply(Place(film_id, "11", "apexx", "single", (1.0, 2.0)))
    with pytest.raises(InputError, match="finite"):
        session.apply(_apex(film_id, x=float("nan")))
    with pytest.raises(InputError, match="ISO 3950"):
        session.apply(Place(film_id, "19", "cej_mesial", None, (1.0, 2.0)))
    assert session.case is before and len(session.history()) == events


def test_an_edit_that_changes_nothing_is_no_event(session, film_id):
    session.apply(_apex(film_id))
    events = len(session.history())
    session.apply(_apex(film_id))
    assert len(session.history()) == events


def test_several_edits_are_one_step_or_none(session, film_id):
    """'Confirm all' is undone as one; a wrong member leaves nothing of the others."""
    good = Several("both", (SetLabel("x"), _apex(film_id)))
    bad = Several("both", (SetLabel("y"), _apex("film-none")))
    with pytest.raises(InputError):
        session.apply(bad)
    assert session.case.label == ""
    session.apply(good)
    assert session.case.label == "x" and _apex_of(session, film_id)
    session.undo()
    assert session.case.label == "" and session.case.charts == {}


def test_nudges_of_one_landmark_are_one_step(session, film_id):
    """A second landmark, a pause, or an undo begins a new step."""
    session.apply(_apex(film_id, x=1.0))
    for x in (2.0, 3.0, 4.0):
        session.apply(_apex(film_id, x=x), merge=True)
    other = Place(film_id, "11", "foramen", "single", (1.0, 1.0))
    session.apply(other, merge=True)
    assert len(session.history()) == 6  # each is in the history all the same
    session.undo()
    assert _apex_of(session, film_id) == (4.0, 1403.25)
    session.undo()
    assert session.case.charts == {}
    session.redo()
    session.apply(_apex(film_id, x=5.0), merge=True)
    session.undo()
    assert _apex_of(session, film_id) == (4.0, 1403.25)
    session.redo()
    session._last_edit_at -= 10  # a pause
    session.apply(_apex(film_id, x=6.0), merge=True)
    session.undo()
    assert _apex_of(session, film_id) == (5.0, 1403.25)


def test_subscribers_hear_each_change_with_both_cases(session, film_id):
    heard = []
    stop = session.subscribe(heard.append)
    before = session.case
    session.apply(_apex(film_id))
    assert (heard[-1].kind, heard[-1].before, heard[-1].after) == ("edit", before, session.case)
    session.undo()
    session.redo()
    assert [change.kind for change in heard] == ["edit", "undo", "redo"]
    assert "apex" in heard[-1].words
    stop()
    session.undo()
    assert len(heard) == 3


def test_undo_and_redo_survive_a_restart(session, film_id, path):
    session.apply(_apex(film_id, x=1.0))
    session.apply(_apex(film_id, x=2.0))
    session.undo()
    session.close()
    with Session.open(path) as again:
        assert _apex_of(again, film_id) == (1.0, 1403.25)
        assert "apex" in again.undo_words and "(2.0" in again.redo_words
        again.redo()
        assert _apex_of(again, film_id) == (2.0, 1403.25)
        again.undo()
        again.undo()
        assert again.case.charts == {}


def test_nothing_to_undo_says_so(path):
    with Session.create(path) as session:
        assert not session.can_undo and not session.can_redo
        with pytest.raises(CaseError, match="nothing to undo"):
            session.undo()
        with pytest.raises(CaseError, match="nothing to redo"):
            session.redo()


# -- films ----------------------------------------------------------------
def test_a_film_keeps_its_very_bytes(session, film_id, path):
    entry = session.case.film(film_id)
    assert entry.sha256 == hashlib.sha256(FILM).hexdigest()
    assert session.film_bytes(film_id) == FILM
    session.close()
    with Session.open(path) as again:
        assert again.film_bytes(film_id) == FILM


def test_a_removed_film_comes_back_with_undo(session, film_id):
    session.apply(_apex(film_id))
    session.apply(RemoveFilm(film_id))
    assert session.case.films == () and session.case.charts == {}
    with pytest.raises(CaseError, match="no film"):
        session.film_bytes(film_id)
    assert session.undo_words == "Film before.png removed"
    session.undo()
    assert session.film_bytes(film_id) == FILM and _apex_of(session, film_id)


def test_the_same_film_is_not_added_twice(session):
    with pytest.raises(InputError, match=r"already, as before\.png"):
        session.add_film(FILM, "again.png")


def test_no_case_names_a_film_it_does_not_hold(session):
    entry = FilmEntry("film-x", "x.png", "0" * 64)
    for edit in (AddFilm(entry), Several("", (AddFilm(entry),))):
        with pytest.raises(InputError, match="without its bytes"):
            session.apply(edit)


def test_a_whole_case_with_its_films_can_start_another(session, film_id, quick_folder):
    """How a copy without history begins: one event, the same case."""
    session.apply(_apex(film_id))
    with Session.create(quick_folder / "other.radcase") as other:
        other.apply(StartFrom(session.case), films=[FILM])
        assert other.case == session.case and len(other.history()) == 1
        assert other.film_bytes(film_id) == FILM


def test_a_damaged_film_is_named_and_the_rest_of_the_case_opens(session, film_id, path):
    """One bit of the stored film is turned behind SQLite's back: the digest finds it."""
    session.apply(_apex(film_id))
    session.close()
    data = bytearray(path.read_bytes())
    data[data.index(FILM) + 5] ^= 1
    path.write_bytes(data)
    with Session.open(path) as again:
        assert any("before.png is damaged" in note for note in again.notes)
        assert _apex_of(again, film_id) == (812.5, 1403.25)
        with pytest.raises(CaseError, match="damaged"):
            again.film_bytes(film_id)


def test_a_film_is_decoded_once_and_kept(session, tmp_path):
    """Through the film reader; a PNG made here with Pillow."""
    from PIL import Image

    Image.new("L", (30, 40), 128).save(tmp_path / "grey.png")
    entry = session.add_film((tmp_path / "grey.png").read_bytes(), "grey.png")
    film = session.film(entry.film_id)
    assert (film.width, film.height) == (30, 40) and film.sha256 == entry.sha256
    assert session.film(entry.film_id) is film


# -- history ---------------------------------------------------------------
def _suggestions():
    made = Landmarks(Tooth("11"), points={"cej_mesial": (10.0, 20.0)}, u_px={"apex": 1.5})
    made = made.with_placed("apex", (100.0, 900.0), "single")
    return made.with_placed("canal", ((100.0, 100.0), (100.0, 900.0)), "single")


def test_history_says_who_did_what_and_what_does_not_count(session, film_id, path):
    session.apply(SetRole(film_id, "recall"))
    session.author = "cd"
    session.apply(_apex(film_id))
    session.undo()
    rows = session.history()
    assert [row.author for row in rows] == ["ab", "ab", "cd", "cd"]
    assert [row.counts for row in rows] == [True, True, False, True]
    assert rows[1].words == "Film before.png is 'recall'"
    assert rows[2].words == "Tooth 11: apex placed at (812.5, 1403.2)"
    assert rows[3].words.startswith("Taken back: Tooth 11: apex")
    assert all(row.when[:2] == "20" for row in rows)


def test_history_knows_accepted_and_corrected_suggestions(session, film_id):
    session.apply(SetSuggestions(film_id, "11", _suggestions()))
    session.apply(AcceptSuggestion(film_id, "11", "cej_mesial"))
    session.apply(CorrectSuggestion(film_id, "11", "apex", "single", (101.0, 905.0)))
    words = [row.words for row in session.history()]
    assert "suggested mesial CEJ accepted" in words[-2]
    assert "suggested apex corrected to (101.0, 905.0)" in words[-1]
    kinds = [row.edit.KIND for row in session.history()]
    assert kinds[-2:] == ["accept", "correct"]


def test_a_landmarks_earlier_places_are_listed(session, film_id):
    session.apply(SetSuggestions(film_id, "11", _suggestions()))
    session.apply(accept_all(session.case, film_id, "11"))
    session.apply(_apex(film_id))
    session.undo()
    session.apply(SetLabel("unrelated"))
    moments = session.landmark_history(film_id, "11", "apex", "single")
    assert [moment.value for moment in moments] == [
        None,
        (100.0, 900.0),
        (812.5, 1403.25),
        (100.0, 900.0),
    ]
    assert [moment.suggested for moment in moments] == [(100.0, 900.0), None, None, None]
    assert moments[1].words == "Tooth 11: suggested apex accepted"
    assert moments[3].words.startswith("Taken back: ")


def test_a_suggestions_uncertainty_goes_when_a_hand_moves_the_landmark(session, film_id):
    """An accepted apex is known to 1.5 px; one that was moved by hand is not."""
    session.apply(SetSuggestions(film_id, "11", _suggestions()))
    session.apply(accept_all(session.case, film_id, "11"))
    chart = session.case.chart(film_id, "11")
    assert chart.landmarks.stated_u_px("apex", "single") == 1.5
    assert chart.suggested is None and "single.apex" in chart.accepted
    session.apply(_apex(film_id))
    chart = session.case.chart(film_id, "11")
    assert chart.landmarks.stated_u_px("apex", "single") is None
    assert "single.apex" not in chart.accepted


def test_a_stated_uncertainty_stays_when_a_hand_moves_the_landmark(session, film_id):
    session.apply(_apex(film_id))
    session.apply(SetUncertainty(film_id, "11", "apex", "single", 2.0))
    session.apply(_apex(film_id, x=5.0))
    assert session.case.chart(film_id, "11").landmarks.stated_u_px("apex", "single") == 2.0


def test_confirming_all_never_overrules_a_placed_landmark(session, film_id):
    session.apply(_apex(film_id))
    session.apply(SetSuggestions(film_id, "11", _suggestions()))
    session.apply(accept_all(session.case, film_id, "11"))
    assert _apex_of(session, film_id) == (812.5, 1403.25)
    assert session.case.chart(film_id, "11").landmarks.get("canal", "single")


# -- identity ----------------------------------------------------------------
def test_identity_is_in_no_name_no_title_and_no_sentence(session, film_id):
    """Only the field itself holds it."""
    session.apply(SetIdentity("name", "Somebody Invented"))
    session.apply(_apex(film_id))
    shown = [session.title, session.suggested_name, session.path.name, session.undo_words]
    shown += [row.words for row in session.history()]
    assert not any("Invented" in text for text in shown)
    assert session.title == "tooth 11" and "11" in session.suggested_name
    assert session.case.identity["name"] == "Somebody Invented"


# -- automatic files, copies, other names ------------------------------------------
def test_a_new_case_is_never_only_in_memory(tmp_path, monkeypatch):
    """It lives in the data folder from the first edit; untouched it leaves nothing behind."""
    monkeypatch.setenv("RADMEASURE_DATA", str(tmp_path / "data"))
    with Session.create() as session:
        assert session.automatic and session.path.parent == unsaved_folder()
    assert unsaved_cases() == []
    session = Session.create()
    session.add_film(FILM, "before.png")
    session._file.close()  # as a crash would
    session._lock.release()
    (left,) = unsaved_cases()
    with Session.open(left) as again:
        assert len(again.case.films) == 1
        again.save_as(tmp_path / "kept.radcase")
        assert again.path == tmp_path / "kept.radcase" and not again.automatic
        again.apply(SetLabel("goes on"))
    assert unsaved_cases() == []
    with Session.open(tmp_path / "kept.radcase") as kept:
        assert kept.case.label == "goes on" and kept.can_undo


def test_save_copy_holds_all_history_and_the_session_stays(session, film_id, quick_folder):
    session.apply(_apex(film_id))
    copy = quick_folder / "copy.radcase"
    session.save_copy(copy)
    session.apply(SetLabel("after the copy"))
    with Session.open(copy) as other:
        assert other.case.label == "" and other.film_bytes(film_id) == FILM
        other.undo()
        assert other.case.charts == {}
    with pytest.raises(CaseError, match="exists already"):
        session.save_copy(copy)
    session.save_copy(copy, overwrite=True)
    assert sorted(p.name for p in quick_folder.iterdir() if "copy" in p.name) == ["copy.radcase"]


def test_save_as_of_a_named_case_leaves_the_old_one(session, quick_folder, path):
    session.save_as(quick_folder / "new.radcase")
    session.apply(SetLabel("new"))
    with Session.open(path) as old:
        assert old.case.label == "" and not old.read_only


def test_a_case_is_not_saved_over_one_that_is_open(session, path, quick_folder):
    with Session.create(quick_folder / "b.radcase") as other:
        with pytest.raises(CaseError, match="is open"):
            other.save_copy(path, overwrite=True)
        with pytest.raises(CaseError, match="is open"):
            other.save_as(path, overwrite=True)
        other.apply(SetLabel("still works"))


def test_a_case_moved_away_while_open_takes_no_edit_it_would_lose(session, film_id, path):
    """Somebody renames the file: an edit would go where nobody looks, so it is refused."""
    session.apply(_apex(film_id))
    path.rename(path.with_name("elsewhere.radcase"))
    with pytest.raises(CaseError, match="moved or deleted"):
        session.apply(SetLabel("lost?"))
    assert session.case.label == "" and _apex_of(session, film_id)
    session.save_as(path.with_name("again.radcase"))
    session.apply(SetLabel("safe"))


# -- the window's state ---------------------------------------------------------
def test_the_window_finds_everything_where_it_was(session, path):
    """Remembered state is no edit and no undo step."""
    events = len(session.history())
    session.remember("job", "post plan")
    session.remember("zoom", {"film": 1.5})
    assert len(session.history()) == events
    session.close()
    with Session.open(path) as again:
        assert again.remembered() == {"job": "post plan", "zoom": {"film": 1.5}}
        assert again.job == "post plan"


# -- a full disk ------------------------------------------------------------------
def test_on_a_full_disk_the_screen_shows_what_the_disk_holds(session, film_id):
    """Nothing is told, nothing is in the history; with room again the same edit works."""
    heard = []
    session.subscribe(heard.append)
    before, events = session.case, session.history()
    connection = session._file._connection
    (pages,) = connection.execute("PRAGMA page_count").fetchone()
    connection.execute(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(CaseError, match="not saved, because the disk is full"):
        session.apply(SetLabel("x" * 50_000))
    with pytest.raises(CaseError, match="disk is full"):
        session.add_film(b"y" * 50_000, "later.png")
    assert session.case is before and session.history() == events and heard == []
    connection.execute("PRAGMA max_page_count = 1000000")
    session.apply(SetLabel("x" * 50_000))
    session.add_film(b"y" * 50_000, "later.png")
    assert len(session.history()) == len(events) + 2


# -- two windows -----------------------------------------------------------------
def test_the_second_window_looks_follows_and_says_who_has_it(session, film_id, path):
    with Session.open(path) as second:
        assert second.read_only and second.holder.pid == os.getpid()
        assert str(os.getpid()) in second.why_read_only
        with pytest.raises(CaseError, match="has this case open"):
            second.apply(SetLabel("not mine"))
        heard = []
        second.subscribe(heard.append)
        session.apply(_apex(film_id))
        assert second.refresh() and not second.refresh()
        assert second.case == session.case and [c.kind for c in heard] == ["refresh"]
        session.undo()
        second.refresh()
        assert second.case == session.case


def test_the_second_window_takes_over_only_when_the_first_is_gone(session, film_id, path):
    with Session.open(path) as second:
        with pytest.raises(CaseError, match="has this case open"):
            second.take_over()
        session.apply(_apex(film_id))
        session.close()
        second.take_over()
        assert not second.read_only and second.why_read_only == ""
        second.undo()
        assert second.case.charts == {}


def test_a_killed_holder_is_gone_and_the_next_window_says_what_happened(session, path):
    """Another process holds the case and is killed; its lock file is left behind."""
    session.close()
    code = (
        "import sys, time; from radmeasure.workflow.session import Session;"
        f"s = Session.open({str(path)!r}); s.author; print('open', flush=True); time.sleep(60)"
    )
    root = Path(__file__).parents[2]
    child = subprocess.Popen(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, text=True, cwd=root
    )
    assert child.stdout.readline() == "open\n"
    with Session.open(path) as second:
        assert second.holder.pid == child.pid
        child.kill()
        child.wait()
        child.stdout.close()
        second.take_over()
        assert not second.read_only
    child_lock = case_lock.lock_path(path)
    assert not child_lock.exists()


def test_a_session_after_a_crash_says_that_nothing_is_lost(session, path):
    session._file.close()
    os.close(session._lock._handle)  # the system does this when a process dies
    session._lock = None
    with Session.open(path) as again:
        assert again.notes == ["the last session ended without closing; all it showed is here"]
        assert not again.read_only


def test_two_writers_cannot_overwrite_each_other_even_without_a_lock(session, film_id, path):
    """Somebody deletes the lock file: the numbering of the history still guards it."""
    case_lock.lock_path(path).unlink()
    with Session.open(path) as second:
        assert not second.read_only
        second.apply(_apex(film_id))
        heard = []
        session.subscribe(heard.append)
        with pytest.raises(CaseError, match="changed from elsewhere"):
            session.apply(SetLabel("blind"))
        assert [change.kind for change in heard] == ["refresh"]
        assert session.case == second.case  # and now shows what the other did
        session.apply(SetLabel("seen"))
        assert [row.seq for row in session.history()] == [1, 2, 3]


# -- read-only ---------------------------------------------------------------------
def test_a_read_only_file_opens_to_look_at(session, film_id):
    with open_to_all() as folder:
        copy = folder / "copy.radcase"
        session.save_copy(copy)
        copy.chmod(0o444)
        folder.chmod(0o777)
        with without_rights(), Session.open(copy) as looking:
            assert looking.read_only and "read-only" in looking.why_read_only
            assert looking.film_bytes(film_id) == FILM
            with pytest.raises(CaseError, match="read-only"):
                looking.apply(SetLabel("no"))
            assert looking.notes == ["the file or its medium is read-only"]
        assert [p.name for p in folder.iterdir()] == ["copy.radcase"]


def test_a_read_only_folder_opens_to_look_at(session, film_id):
    """As on a read-only medium: no lock file and no journal can stand beside the case."""
    with open_to_all() as folder:
        copy = folder / "copy.radcase"
        session.save_copy(copy)
        copy.chmod(0o666)
        folder.chmod(0o555)
        with without_rights(), Session.open(copy) as looking:
            assert looking.read_only and looking.film_bytes(film_id) == FILM
            assert looking.notes == ["copy.radcase is open for reading only (Permission denied)"]
            with pytest.raises(CaseError, match=r"(was not|cannot be) written"):
                looking.save_copy(folder / "another.radcase")
        folder.chmod(0o755)


def test_opened_for_reading_only_leaves_the_file_untouched(session, path):
    session.close()
    before = path.read_bytes()
    with Session.open(path, read_only=True) as looking:
        assert looking.read_only
        assert looking.why_read_only == "the case was opened to look at only"
        looking.remember("job", "recall")  # without effect
    assert path.read_bytes() == before and len(list(path.parent.iterdir())) == 1
