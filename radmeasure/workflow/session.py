"""A case in work: every edit is on disk before anybody sees it.

One :class:`Session` per open case. A front reads ``session.case``, calls
:meth:`Session.apply`, :meth:`Session.undo` and :meth:`Session.redo`, and hears
of every change through :meth:`Session.subscribe`. There is no saving: what the
screen shows is in the file.
"""

import contextlib
import hashlib
import json
import threading
import time
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from radmeasure import __version__
from radmeasure.errors import CaseError, InputError
from radmeasure.files.case_opening import create_case_file, open_case_file
from radmeasure.model import case_json
from radmeasure.model.case import Case
from radmeasure.model.timeline import EDIT, REDO, UNDO, Event, load_timeline
from radmeasure.workflow.case_places import automatic_path, lock_target, try_lock
from radmeasure.workflow.film_shelf import FilmShelf
from radmeasure.workflow.session_films import SessionFilms
from radmeasure.workflow.session_places import SessionPlaces
from radmeasure.workflow.session_state import SessionState
from radmeasure.workflow.session_view import SessionView

# A snapshot of the whole case this often, so that opening need not replay all.
SNAPSHOT_EVERY = 128
# Edits of one landmark that follow each other within this time are one undo step.
MERGE_WITHIN_S = 2.0


@dataclass(frozen=True)
class Change:
    """What subscribers hear.

    Attributes
    ----------
    kind : str
        'edit', 'undo', 'redo', 'refresh' (another window wrote), 'access'
        (read-only or not), 'file' (saved under another name).
    before, after : Case
    words : str
        One sentence for the status line.
    """

    kind: str
    before: Case
    after: Case
    words: str = ""


class Session(SessionState, SessionFilms, SessionPlaces, SessionView):
    """One open case. Make it with :meth:`create` or :meth:`open`.

    Attributes
    ----------
    author : str
        Name or initials written beside each edit from now on; may be empty.
    notes : list of str
        What happened at opening, one sentence each, for the status line.
    holder : radmeasure.files.case_lock.Holder or None
        Who has the case open for writing, when it is not this session.
    """

    def __init__(self, file, lock, author="", holder=None, why=""):
        self.author, self.holder = author, holder
        self._why = why or "the file or its medium is read-only; save a copy to work on it"
        self._file, self._lock = file, lock
        self.notes = list(file.notes)
        self._guard = threading.RLock()
        self._view, self._unwritten = file.view(), set()
        self._view_guard = threading.Lock()
        self._subscribers = []
        self._films = FilmShelf()
        self._last_edit_at = float("-inf")
        self._timeline = load_timeline(file)
        self._case = self._timeline.case
        self._film_names = {}
        self._learn_names()
        self._damaged = frozenset(file.damaged_films())
        for entry in self._case.films:
            if entry.sha256 in self._damaged:
                self.notes.append(f"film {entry.name} is damaged in the file and is not shown")

    # -- beginning and ending -------------------------------------------------
    @classmethod
    def create(cls, path=None, author=""):
        """A new case; without ``path`` in an automatic file of the data folder.

        Raises
        ------
        CaseError
            The file exists or cannot be written.
        """
        path = automatic_path() if path is None else Path(path).absolute()
        lock = lock_target(path)
        try:
            return cls(create_case_file(path), lock, author)
        except BaseException:
            lock.release()
            raise

    @classmethod
    def open(cls, path, author="", read_only=False):
        """Open a case; for reading only when somebody else has it or the medium is read-only.

        ``read_only`` and ``why_read_only`` tell which; ``notes`` say what happened.

        Raises
        ------
        CaseError
            Not a case, damaged, from a newer version, or not readable.
        """
        path = Path(path).absolute()
        if not path.is_file():  # before a lock file is made for nothing
            raise CaseError(f"there is no case file {path.name}", "check the name and the drive")
        lock, holder, note = (None, None, "") if read_only else try_lock(path)
        try:
            file = open_case_file(path, writable=lock is not None)
            why = "the case was opened to look at only" if read_only else ""
            session = cls(file, lock if file.writable else None, author, holder, why)
        except BaseException:
            if lock:
                lock.release()
            raise
        if lock and not file.writable:
            lock.release()
        if note:
            session.notes.append(note)
        return session

    def close(self):
        """Close the file; an automatic case nothing was ever done in goes away."""
        with self._guard:
            if self._file is None:
                return
            empty = not self._timeline.seq and self.automatic and not self.read_only
            if not self.read_only and not empty:
                self._keep_snapshot()
                with contextlib.suppress(CaseError):  # no edit is concerned
                    self.write_view()
            self._file.close()
            if empty:
                self.path.unlink(missing_ok=True)
            self._path, self._file = self.path, None
            if self._lock:
                self._lock.release()
                self._lock = None

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.close()

    def _keep_snapshot(self):
        try:
            if self._timeline.seq not in self._file.snapshots() and self._timeline.seq:
                self._file.add_snapshot(self._timeline.seq, _text(self._case))
        except CaseError:
            pass  # a convenience for the next opening; the edits themselves are safe

    def subscribe(self, callback):
        """Call ``callback(change)`` after every change; returns the function that ends it."""
        self._subscribers.append(callback)
        return lambda: self._subscribers.remove(callback)

    def _tell(self, kind, before, words=""):
        self._learn_names()
        change = Change(kind, before, self._case, words)
        for callback in tuple(self._subscribers):
            callback(change)

    # -- changing -----------------------------------------------------------------
    def apply(self, edit, merge=False, films=()):
        """Make an edit; it is on disk when this returns.

        Parameters
        ----------
        edit : radmeasure.model.edits.Edit
        merge : bool
            Join the last undo step when that was an edit of the same thing a
            moment ago (a series of nudges).
        films : iterable of bytes
            The films the edit brings into the case, if any.

        Returns
        -------
        Case
            The case after the edit; unchanged when the edit changes nothing.

        Raises
        ------
        InputError
            The edit does not fit the case.
        CaseError
            It could not be written. The case is as it was before.
        """
        with self._guard:
            before, after = self._case, edit.apply(self._case)
            if after == before:
                return before
            brought = {hashlib.sha256(data).hexdigest(): data for data in films}
            self._check_films(after, brought)
            text = json.dumps(edit.to_json(), allow_nan=False, separators=(",", ":"))
            event = self._event(EDIT, self._step_for(edit, merge), text)
            snapshot = None if event.seq % SNAPSHOT_EVERY else _text(after)
            self._write(event, brought.items(), snapshot)
            self._timeline.record(event, after)
            self._case, self._last_edit_at = after, time.monotonic()
            self._learn_names()
        self._tell(EDIT, before, edit.worded(self._film_names))
        return after

    def _check_films(self, after, brought):
        """No case may name a film whose bytes it does not hold."""
        if after.films == self._case.films:
            return
        for entry in after.films:
            if entry.sha256 not in brought and not self._file.holds_film(entry.sha256):
                raise InputError(f"film {entry.name} comes without its bytes", "use add_film")

    def _step_for(self, edit, merge):
        last, key = self._timeline.last, edit.merge_key
        soon = time.monotonic() - self._last_edit_at < MERGE_WITHIN_S
        if merge and soon and key and last.kind == EDIT and last.parsed.merge_key == key:
            return last.step
        return self._timeline.seq + 1

    def undo(self):
        """Take the last step back, durably; returns the case.

        Raises
        ------
        CaseError
            Nothing to take back, or it could not be written.
        """
        return self._move(UNDO, self._timeline.to_undo, "nothing to undo")

    def redo(self):
        """Bring the step taken back last again, durably; returns the case."""
        return self._move(REDO, self._timeline.to_redo, "nothing to redo")

    def _move(self, kind, step, otherwise):
        with self._guard:
            if not step:
                raise CaseError(otherwise)
            before = self._case
            event = self._event(kind, step[0].step)
            self._write(event)
            self._timeline.record(event)
            self._case = self._timeline.case
        self._tell(kind, before, f"{kind.capitalize()}: {self._sentence(step)}")
        return self._case

    def _event(self, kind, step, text=None):
        author = str(self.author).encode("utf-8", "replace").decode()
        return Event(self._timeline.seq + 1, step, kind, _now(), author, __version__, text)

    def _write(self, event, films=(), snapshot=None):
        if self.read_only:
            raise CaseError(f"not saved: {self.why_read_only}")
        try:
            self._file.append(event, films, snapshot)
        except CaseError:
            self.refresh()  # the screen shows what the disk holds, whatever went wrong
            raise


def _text(case):
    return json.dumps(case_json.case_to_json(case), allow_nan=False, separators=(",", ":"))


def _now():
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
