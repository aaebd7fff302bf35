"""The order of edits, undos and redos, and the case at each step.

Events come as the log of a case file holds them. Edits are parsed, and cases
computed, only when somebody asks: a long log opens as fast as its last
snapshot.
"""

import json
from dataclasses import dataclass
from functools import cached_property

from radmeasure.errors import CaseError
from radmeasure.model.case import Case
from radmeasure.model.case_json import case_from_json
from radmeasure.model.edits import from_json

EDIT, UNDO, REDO = "edit", "undo", "redo"


@dataclass(frozen=True)
class Event:
    """One line of the log.

    Attributes
    ----------
    seq : int
        1, 2, 3 ... without gaps.
    step : int
        Undo step; the events of one nudge series share it. An undo or redo
        names the step it took back or brought back.
    kind : str
        'edit', 'undo' or 'redo'.
    time : str
        UTC, ISO 8601.
    author, program : str
        Who, with which version of the program.
    edit : str or None
        JSON text of the edit.
    """

    seq: int
    step: int
    kind: str
    time: str = ""
    author: str = ""
    program: str = ""
    edit: str | None = None

    @cached_property
    def parsed(self):
        """The edit this event records; None for undo and redo."""
        return None if self.edit is None else from_json(json.loads(self.edit))


class _Step:
    """An undo step: its events, and the case after it once known."""

    def __init__(self):
        self.events = []
        self.case = None
        self.snapshot = None  # gives the case after this step when called

    @property
    def number(self):
        return self.events[0].step

    def add(self, event, case):
        self.events.append(event)
        self.case, self.snapshot = case, None

    @property
    def known(self):
        return self.case is not None or self.snapshot is not None

    def resolve(self, before):
        """Work out the case after this step from the one ``before`` it."""
        if self.case is None and self.snapshot is not None:
            self.case = self.snapshot()
        if self.case is None:
            for event in self.events:
                before = _replayed(event, before)
            self.case = before
        return self.case


def _replayed(event, case):
    try:
        return event.parsed.apply(case)
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        why = getattr(error, "what", None) or repr(error)
        raise CaseError(
            f"edit {event.seq} of {event.time} cannot be replayed: {why}",
            f"open the case with radmeasure {event.program}",
        ) from error


class Timeline:
    """Where a case stands in its own history.

    Parameters
    ----------
    events : iterable of Event
        The log so far.
    snapshots : mapping of seq to callable
        ``snapshots[seq]()`` gives the case after event ``seq``.
    """

    def __init__(self, events=(), snapshots=None):
        self.events = []
        self._done, self._undone = [], []
        self._edit_seqs = set()
        for event in events:
            self.record(event)
            if snapshots and event.seq in snapshots and self._done:
                self._done[-1].snapshot = snapshots[event.seq]

    @property
    def last(self):
        """The last event, None for none."""
        return self.events[-1] if self.events else None

    @property
    def seq(self):
        """Number of the last event, 0 for none."""
        return len(self.events)

    @property
    def to_undo(self):
        """Events of the step the next undo takes back; empty for none."""
        return tuple(self._done[-1].events) if self._done else ()

    @property
    def to_redo(self):
        """Events of the step the next redo brings back; empty for none."""
        return tuple(self._undone[-1].events) if self._undone else ()

    @property
    def taken_back(self):
        """Sequence numbers of the edits that do not count now."""
        return self._edit_seqs - {e.seq for step in self._done for e in step.events}

    @property
    def case(self):
        """The case as it stands.

        Raises
        ------
        CaseError
            An edit of the log cannot be replayed.
        """
        count = len(self._done)
        known = next((i for i in range(count, 0, -1) if self._done[i - 1].known), 0)
        case = Case()
        for step in self._done[max(known - 1, 0) : count]:
            case = step.resolve(case)
        return case

    def record(self, event, case=None):
        """Take in the next event; ``case`` is the case after an edit, where already known."""
        if event.seq != self.seq + 1:
            raise CaseError(f"event {event.seq} of the history follows {self.seq}")
        if event.kind == EDIT:
            self._record_edit(event, case)
        elif event.kind == UNDO:
            self._move(self._done, self._undone, event)
        else:
            self._move(self._undone, self._done, event)
        self.events.append(event)

    def _record_edit(self, event, case):
        merges = self.last and self.last.kind == EDIT and self.last.step == event.step
        if not merges:
            self._done.append(_Step())
        self._done[-1].add(event, case)
        self._undone.clear()
        self._edit_seqs.add(event.seq)

    @staticmethod
    def _move(source, target, event):
        if not source or source[-1].number != event.step:
            raise CaseError(f"event {event.seq} ({event.kind}) does not fit the history")
        target.append(source.pop())


def load_timeline(log):
    """The timeline of anything that has ``events()`` and ``snapshots()``, such as a case file.

    Snapshots are JSON texts by event number; they are read only when needed.
    """
    found = {
        seq: lambda text=text: case_from_json(json.loads(text))
        for seq, text in log.snapshots().items()
    }
    return Timeline(log.events(), found)
