"""The practice list: finds cases, can be made anew, keeps identity out unless told."""

import contextlib
from dataclasses import replace

import pytest

from radmeasure.files.practice_list import CaseSummary, PracticeList, read_summary
from radmeasure.model.edits import (
    ChoosePlan,
    SetIdentity,
    SetLabel,
    SetRecall,
    SetVisit,
    StartChart,
)
from radmeasure.workflow import practice as practice_flow
from radmeasure.workflow.practice import Listing
from radmeasure.workflow.session import Session


@pytest.fixture
def practice(quick_folder):
    with contextlib.closing(PracticeList(quick_folder / "list" / "practice.sqlite")) as made:
        yield made


def _summary(name, **stated):
    return CaseSummary(path=f"/cases/{name}.radcase", label=name, **stated)


CEDAR = _summary(
    "Cedar", teeth=("11",), changed="2026-02-10T10:00:00Z", job="post plan", visits=("2026-02-01",)
)
FIR = _summary(
    "Fir",
    teeth=("36", "37"),
    changed="2026-03-01T10:00:00Z",
    job="recall",
    recalls=(("36", "2027-02-10"), ("37", "2027-08-01")),
)
ELM = _summary(
    "Elm",
    teeth=("25",),
    changed="2026-01-05T10:00:00Z",
    job="recall",
    recalls=(("25", "2026-09-01"),),
)


def _names(found):
    return [summary.label for summary in found]


def test_cases_are_found_by_what_is_remembered_of_them(practice):
    """Any words of label, tooth, its name, job and dates, in any order and case."""
    for summary in (CEDAR, FIR, ELM):
        practice.put(summary)
    assert practice.find("cedar") == [CEDAR]
    assert _names(practice.find("36")) == ["Fir"]
    assert _names(practice.find("molar LEFT mandibular")) == ["Fir"]
    assert _names(practice.find("post PLAN 11")) == ["Cedar"]
    assert _names(practice.find("2026-02")) == ["Cedar"]
    assert practice.find("cedar fir") == [] and practice.find("100%_'") == []
    assert _names(practice.find(tooth="25")) == ["Elm"]
    assert _names(practice.find(job="recall")) == ["Fir", "Elm"]
    assert _names(practice.find(since="2026-02-01")) == ["Fir", "Cedar"]


def test_recalls_due_are_listed_first_due_first(practice):
    for summary in (CEDAR, FIR, ELM):
        practice.put(summary)
    assert _names(practice.find(order="recall")) == ["Elm", "Fir", "Cedar"]
    assert _names(practice.find(due_by="2026-12-31", order="recall")) == ["Elm"]
    assert _names(practice.find(order="label")) == ["Cedar", "Elm", "Fir"]


def test_a_case_is_listed_once_and_can_be_forgotten(practice):
    practice.put(CEDAR)
    practice.put(replace(CEDAR, label="Cedar, second look"))
    assert _names(practice.find()) == ["Cedar, second look"]
    practice.forget(CEDAR.path)
    assert practice.find() == []


def test_the_list_survives_and_two_windows_share_it(practice):
    practice.put(CEDAR)
    with contextlib.closing(PracticeList(practice.path)) as second:
        assert second.find() == [CEDAR] and not second.made_anew
        second.put(FIR)
    assert _names(practice.find()) == ["Fir", "Cedar"]


@pytest.mark.parametrize("content", [b"no database", b"", bytes(9000)])
def test_a_list_that_cannot_be_read_is_made_anew(quick_folder, content):
    path = quick_folder / "practice.sqlite"
    path.write_bytes(content)
    with contextlib.closing(PracticeList(path)) as practice:
        assert practice.made_anew and practice.find() == []
        practice.put(CEDAR)
    with contextlib.closing(PracticeList(path)) as practice:
        assert practice.find() == [CEDAR] and not practice.made_anew


# -- identity ------------------------------------------------------------------
NAMED = replace(CEDAR, identity=(("name", "Somebody Invented"),))


def test_identity_is_not_in_the_file_unless_chosen(practice):
    """Looked for in the very bytes."""
    practice.put(NAMED)
    assert practice.find() == [CEDAR] and practice.find("invented") == []
    assert b"nvented" not in practice.path.read_bytes()


def test_identity_is_kept_when_chosen_and_wiped_when_no_longer(quick_folder):
    path = quick_folder / "practice.sqlite"
    with contextlib.closing(PracticeList(path, with_identity=True)) as practice:
        practice.put(NAMED)
        assert practice.find("invented") == [NAMED]
    assert b"nvented" in path.read_bytes()
    with contextlib.closing(PracticeList(path)) as practice:
        assert practice.find() == [CEDAR]
    assert b"nvented" not in path.read_bytes()


# -- from the cases ----------------------------------------------------------------
def _case(path, label):
    with Session.create(path) as session:
        entry = session.add_film(label.encode(), f"{label}.png", "recall", "2026-03-01")
        session.apply(StartChart(entry.film_id, "36"))
        session.apply(SetLabel(label))
        session.apply(SetRecall("36", "2027-03-01"))
        session.apply(SetIdentity("name", "Somebody Invented"))


def test_a_case_file_gives_its_own_entry_and_stays_untouched(quick_folder):
    path = quick_folder / "a.radcase"
    _case(path, "Larch")
    before = path.read_bytes()
    summary = read_summary(path)
    assert (summary.label, summary.teeth, summary.films) == ("Larch", ("36",), 1)
    assert (summary.job, summary.recall_due) == ("recall", "2027-03-01")
    assert summary.visits == ("2026-03-01",) and summary.present
    assert path.read_bytes() == before


def test_the_list_is_rebuilt_from_the_cases(practice, quick_folder):
    """Sub-folders, unsaved cases and known places; what cannot be read is named."""
    (quick_folder / "sub").mkdir()
    (quick_folder / "unsaved").mkdir()
    _case(quick_folder / "sub" / "a.radcase", "Larch")
    _case(quick_folder / "unsaved" / "b.radcase", "Rowan")
    (quick_folder / "sub" / "bad.radcase").write_bytes(b"no case")
    practice.put(CEDAR)  # no longer there
    seen = []
    failed = practice.rebuild(
        [quick_folder / "sub"], quick_folder / "unsaved", lambda done, total: seen.append(total)
    )
    assert sorted(_names(practice.find())) == ["Larch", "Rowan"]
    assert [s.automatic for s in practice.find(order="label")] == [False, True]
    assert [(path[-11:], "not a case file" in why) for path, why in failed] == [
        ("bad.radcase", True)
    ]
    assert seen == [3, 3, 3]
    practice.rebuild([])  # known places are looked at again
    assert sorted(_names(practice.find())) == ["Larch", "Rowan"]


def test_stopping_a_rebuild_leaves_the_old_list(practice, quick_folder):
    _case(quick_folder / "a.radcase", "Larch")
    practice.put(CEDAR)

    def stop(done, total):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        practice.rebuild([quick_folder], progress=stop)
    assert practice.find() == [CEDAR]


# -- in step with a session -----------------------------------------------------------
@pytest.fixture
def data(quick_folder, monkeypatch):
    monkeypatch.setenv("RADMEASURE_DATA", str(quick_folder / "data"))
    with contextlib.closing(practice_flow.open_practice_list()) as made:
        yield made


def test_a_case_in_work_is_listed_from_its_first_edit(data, quick_folder):
    """Automatic ones too: an unsaved case is found again after a crash."""
    with Session.create() as session:
        listing = Listing(session, data)
        assert data.find() == []  # nothing in it yet: it would go away at closing
        session.apply(SetLabel("Maple"))
        assert _names(data.find()) == ["Maple"] and data.find()[0].automatic
        session.apply(ChoosePlan("36", "depth_mm", 7.0))
        session.remember("job", "post plan")
        session.apply(SetRecall("36", "2027-03-01"))
        (summary,) = data.find("maple 36")
        assert (summary.job, summary.recall_due) == ("post plan", "2027-03-01")
        session.save_as(quick_folder / "maple.radcase")
        (summary,) = data.find()
        assert summary.path.endswith("maple.radcase") and not summary.automatic
        session.undo()
        assert data.find()[0].recall_due == ""
        listing.stop()
        session.apply(SetLabel("not heard"))
        assert _names(data.find()) == ["Maple"] and listing.trouble == ""


def test_nudges_do_not_write_the_list_again_and_again(data, quick_folder):
    with Session.create(quick_folder / "a.radcase") as session:
        entry = session.add_film(b"film", "a.png")
        listing = Listing(session, data)
        listed = data.find()
        session.apply(SetVisit(entry.film_id, "2026-03-01"))
        assert data.find() != listed
        listed = data.find()
        session.apply(SetIdentity("number", "1"))
        session.apply(SetIdentity("number", ""))  # only the time of change differs now
        changed = session.changed
        assert data.find()[0].changed <= changed
        listing.stop()
        assert data.find()[0].changed == changed


def test_trouble_with_the_list_does_not_stop_the_work(data, quick_folder):
    with Session.create(quick_folder / "a.radcase") as session:
        listing = Listing(session, data)
        data.close()
        session.apply(SetLabel("goes on"))
        assert session.case.label == "goes on"
        assert "not brought up to date" in listing.trouble


def test_a_lost_list_comes_back_with_the_unsaved_cases(data, monkeypatch):
    with Session.create() as session:
        session.apply(SetLabel("Maple"))
    data.close()
    data.path.unlink()
    with contextlib.closing(practice_flow.open_practice_list()) as again:
        assert _names(again.find()) == ["Maple"]
