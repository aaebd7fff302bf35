"""Undo and redo over every kind of edit, across restarts and windows, as a state machine."""

import json
import random
import tempfile
from collections import Counter
from pathlib import Path

import pytest
from case_folders import memory_disk
from edit_makers import MAKERS, films_of, random_edit
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from radmeasure.model import case_json
from radmeasure.model.case import Case
from radmeasure.model.edits import KINDS, Place, from_json
from radmeasure.model.timeline import Timeline
from radmeasure.workflow import session as session_module
from radmeasure.workflow.session import Session


def test_the_makers_know_every_kind_of_edit():
    """A new edit cannot be forgotten by the tests below."""
    assert set(MAKERS) == set(KINDS)


class Editing(RuleBasedStateMachine):
    """The model is two plain lists of cases: what was done, and what was taken back."""

    @initialize()
    def begin(self):
        self.folder = tempfile.TemporaryDirectory(dir=memory_disk())
        self.path = Path(self.folder.name, "case.radcase")
        self.session = Session.create(self.path, author="ab")
        self.watcher = Session.open(self.path)
        self.session.add_film(b"not looked at here", "first.png")
        self.watcher.refresh()
        self.done, self.undone = [Case(), self.session.case], []
        self.events = 1

    def _expect(self, edit):
        """What the model holds after ``edit``: nothing new when it changes nothing."""
        after = edit.apply(self.done[-1])
        if after != self.done[-1]:
            self.done.append(after)
            self.undone.clear()
            self.events += 1
        return after

    @rule(seed=st.integers(0, 2**32), count=st.integers(1, 8))
    def edit(self, seed, count):
        """A few edits, every kind as likely as any other that fits."""
        rng = random.Random(seed)
        for kind in rng.choices(sorted(MAKERS), k=count):
            edit = random_edit(self.session.case, rng, kind)
            if edit is not None:
                assert from_json(json.loads(json.dumps(edit.to_json()))) == edit
                assert edit.sentence
                expected = self._expect(edit)
                assert self.session.apply(edit, films=films_of(edit)) == expected

    @precondition(lambda self: self.session.case.films)
    @rule(start=st.integers(0, 500), count=st.integers(1, 4))
    def nudge(self, start, count):
        """A series of nudges is one step; the first of a series begins a new one."""
        film = self.session.case.films[0].film_id
        self.session.apply(Place(film, "11", "apex", "single", (start + 0.5, 0.25)))
        first = self.session.case
        if first != self.done[-1]:
            self.done.append(first)
            self.undone.clear()
            self.events += 1
            for n in range(1, count + 1):
                edit = Place(film, "11", "apex", "single", (start + 0.5, 0.25 + n))
                self.session.apply(edit, merge=True)
                self.events += 1
            self.done[-1] = self.session.case

    @precondition(lambda self: len(self.done) > 1)
    @rule(count=st.integers(1, 6))
    def undo(self, count=1):
        for _ in range(min(count, len(self.done) - 1)):
            self.undone.append(self.done.pop())
            assert self.session.undo() == self.done[-1]
            self.events += 1

    @precondition(lambda self: self.undone)
    @rule(count=st.integers(1, 6))
    def redo(self, count=1):
        for _ in range(min(count, len(self.undone))):
            self.done.append(self.undone.pop())
            assert self.session.redo() == self.done[-1]
            self.events += 1

    @rule()
    def restart(self):
        self.session.close()
        self.session = Session.open(self.path, author="cd")
        assert self.session.notes == []

    @rule()
    def restart_without_closing_well(self):
        """As a crash leaves it: no snapshot, the lock let go by the system."""
        self.session._file.close()
        self.session._lock.release()
        self.session = Session.open(self.path)

    @rule()
    def look_from_the_other_window(self):
        self.watcher.refresh()
        assert self.watcher.case == self.session.case
        assert self.watcher.read_only and not self.watcher.can_undo

    @invariant()
    def the_case_is_what_the_model_says(self):
        if hasattr(self, "session"):
            assert self.session.case == self.done[-1]
            assert self.session.can_undo == (len(self.done) > 1)
            assert self.session.can_redo == bool(self.undone)
            assert len(self.session.history()) == self.events
            text = json.dumps(case_json.case_to_json(self.session.case))
            assert case_json.case_from_json(json.loads(text)) == self.session.case

    def teardown(self):
        if hasattr(self, "session"):
            self.undo(count=len(self.done))  # all the way back, also behind a snapshot
            self.session.close()
            self.watcher.close()
            self.folder.cleanup()


@pytest.fixture(autouse=True)
def _frequent_snapshots(monkeypatch):
    """So that short runs cross snapshots too."""
    monkeypatch.setattr(session_module, "SNAPSHOT_EVERY", 5)


class TestEditing(Editing.TestCase):
    settings = settings(
        max_examples=60,
        stateful_step_count=40,
        deadline=None,
        derandomize=True,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
    )


def test_a_long_day_of_every_kind_of_edit(quick_folder):
    """2000 steps from one seed: undo, redo and restarts always give back the same cases."""
    rng, seen = random.Random(20260301), Counter()
    path = quick_folder / "case.radcase"
    session = Session.create(path)
    done, undone = [session.case], []
    for _ in range(2000):
        action = rng.choices(("edit", "undo", "redo", "restart"), (70, 17, 10, 1))[0]
        if action == "edit":
            edit = random_edit(session.case, rng, rng.choice(sorted(MAKERS)))
            if edit is not None and edit.apply(done[-1]) != done[-1]:
                done.append(session.apply(edit, films=films_of(edit)))
                undone.clear()
                seen[edit.KIND] += 1
        elif action == "undo" and len(done) > 1:
            undone.append(done.pop())
            session.undo()
        elif action == "redo" and undone:
            done.append(undone.pop())
            session.redo()
        elif action == "restart":
            session.close()
            session = Session.open(path)
        assert session.case == done[-1]
    assert set(seen) == set(KINDS)
    replayed = Timeline(session._file.events())  # from the very beginning, no snapshot
    assert replayed.case == session.case
    session.close()
