"""The history of a case, readable: who changed what when, and where a landmark was before."""

from dataclasses import dataclass
from datetime import datetime

from radmeasure.model.edits import AddFilm, Edit, Several, StartFrom
from radmeasure.model.timeline import EDIT, REDO, UNDO, Timeline


@dataclass(frozen=True)
class HistoryRow:
    """One event of the log in words.

    Attributes
    ----------
    seq : int
    time : str
        UTC, ISO 8601; :attr:`when` is local.
    author : str
    kind : str
        'edit', 'undo' or 'redo'.
    words : str
    counts : bool
        False for an edit that is taken back at present.
    edit : Edit or None
        The edit made, taken back or brought back.
    """

    seq: int
    time: str
    author: str
    kind: str
    words: str
    counts: bool
    edit: Edit

    @property
    def when(self):
        """Local date and time, to the minute."""
        return local_time(self.time)


@dataclass(frozen=True)
class LandmarkMoment:
    """A moment at which a landmark, or the suggestion for it, became another.

    ``value`` and ``suggested`` are (x, y) px or a tuple of such, None for none.
    """

    seq: int
    time: str
    author: str
    words: str
    value: tuple | None
    suggested: tuple | None


def local_time(text):
    """'2026-03-01T08:30:00.000Z' as local '2026-03-01 09:30'; unreadable text as it is."""
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        return text
    return moment.astimezone().strftime("%Y-%m-%d %H:%M")


def flat(edit):
    """Every single edit inside ``edit``, in order."""
    if not isinstance(edit, Several):
        return [edit]
    return [single for inner in edit.edits for single in flat(inner)]


def history_rows(events, taken_back=frozenset()):
    """Rows for a list of events, oldest first."""
    names, steps, rows = {}, {}, []
    for event in events:
        if event.kind == EDIT:
            edit = event.parsed
            steps[event.step] = edit  # the last edit of a step stands for it
            _learn_names(edit, names)
        edit = steps[event.step]
        words = _prefix(event.kind) + edit.worded(names)
        counts = event.seq not in taken_back
        row = HistoryRow(event.seq, event.time, event.author, event.kind, words, counts, edit)
        rows.append(row)
    return rows


def _learn_names(edit, names):
    for single in flat(edit):
        entries = ()
        if isinstance(single, AddFilm):
            entries = (single.entry,)
        elif isinstance(single, StartFrom):
            entries = single.case.films
        names.update((entry.film_id, entry.name) for entry in entries)


def _prefix(kind):
    return {UNDO: "Taken back: ", REDO: "Brought back: "}.get(kind, "")


def landmark_moments(events, film_id, tooth, name, root=None):
    """Every place a landmark ever had and every suggestion for it, oldest first.

    The whole log is replayed: what counts is what stood on the film, whatever
    edit, undo or redo put it there.
    """
    timeline, moments, before = Timeline(), [], (None, None)
    rows = history_rows(events)
    for event, row in zip(events, rows):
        timeline.record(event)
        now = _stood(timeline.case.chart(film_id, tooth), name, root)
        if now != before:
            words = _prefix(event.kind) + _about(row.edit, name, root).sentence
            moments.append(LandmarkMoment(event.seq, event.time, event.author, words, *now))
        before = now
    return moments


def _stood(chart, name, root):
    if chart is None:
        return None, None
    suggested = chart.suggested.get(name, root) if chart.suggested else None
    return chart.landmarks.get(name, root), suggested


def _about(edit, name, root):
    """Of several edits made at once, the one about this landmark."""
    for single in flat(edit):
        if (getattr(single, "name", None), getattr(single, "root", None)) == (name, root):
            return single
    return edit
