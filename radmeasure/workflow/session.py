"""A case in work: every edit is on disk before anybody sees it.

One :class:`Session` per open case. A front reads ``session.case``, calls
:meth:`Session.apply`, :meth:`Session.undo` and :meth:`Session.redo`, and hears
of every change through :meth:`Session.subscribe`. There is no saving: what the
screen shows is in the file.
"""

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
from radmeasure.model import case_json, edits
from radmeasure.model.case import Case, FilmEntry
from radmeasure.model.timeline import EDIT, REDO, UNDO, Event, load_timeline
from radmeasure.workflow.case_places import (
    automatic_path,
    held_words,
    lock_target,
    suggested_name,
    try_lock,
    unsaved_folder,
)
from radmeasure.workflow.film_shelf import FilmShelf
from radmeasure.workflow.history import history_rows, landmark_moments

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


class Session:
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

    # -- state ------------------------------------------------------------------
    @property
    def case(self):
        """The current, immutable :class:`~radmeasure.model.case.Case`."""
        return self._case

    @property
    def path(self):
        return self._path if self._file is None else self._file.path

    @property
    def automatic(self):
        """True while the case lives in the data folder, not in a place the user chose."""
        return self.path.parent == unsaved_folder()

    @property
    def title(self):
        """For the window: the label, else teeth, else 'new case'; never identity."""
        teeth = ", ".join(self._case.teeth)
        return self._case.label or (f"tooth {teeth}" if teeth else "new case")

    @property
    def case_id(self):
        """Random, made with the case; it stands in the case file and nowhere else."""
        return self._file.about("id")

    @property
    def created(self):
        """UTC, ISO 8601."""
        return self._file.about("created")

    @property
    def changed(self):
        """When the last event was written: UTC, ISO 8601; '' for never."""
        return self._timeline.last.time if self._timeline.last else ""

    @property
    def job(self):
        """The job last remembered under 'job'; '' for none."""
        return str(self.remembered().get("job", ""))

    @property
    def suggested_name(self):
        """A file name for 'save as': date and teeth; never label or identity."""
        return suggested_name(self._case.teeth)

    @property
    def read_only(self):
        return self._lock is None

    @property
    def why_read_only(self):
        """One sentence, '' when the case can be changed."""
        if not self.read_only:
            return ""
        if self.holder:
            return held_words(self.holder)
        return self._why

    @property
    def can_undo(self):
        return not self.read_only and bool(self._timeline.to_undo)

    @property
    def can_redo(self):
        return not self.read_only and bool(self._timeline.to_redo)

    @property
    def undo_words(self):
        """What the next undo takes back, as a sentence; '' for nothing."""
        return self._sentence(self._timeline.to_undo)

    @property
    def redo_words(self):
        return self._sentence(self._timeline.to_redo)

    def _sentence(self, step):
        return step[-1].parsed.worded(self._film_names) if step else ""

    def _learn_names(self):
        """Sentences call a film by name also after it was removed."""
        self._film_names.update({entry.film_id: entry.name for entry in self._case.films})

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

    # -- history ----------------------------------------------------------------------
    def history(self):
        """Every event since the beginning as HistoryRow, oldest first."""
        return history_rows(self._timeline.events, self._timeline.taken_back)

    def landmark_history(self, film_id, tooth, name, root=None):
        """Every place a landmark had, as LandmarkMoment, oldest first."""
        return landmark_moments(self._timeline.events, film_id, tooth, name, root)

    # -- films ----------------------------------------------------------------------
    def add_film(self, data, name, role="before", visit=""):
        """Add a film by the bytes of its file; returns its FilmEntry.

        Nothing is decoded here: open the film first, so that only films the
        program can show get into a case.

        Raises
        ------
        InputError
            The case has this film already, or the role is unknown.
        CaseError
            It could not be written.
        """
        sha256 = hashlib.sha256(data).hexdigest()
        for entry in self._case.films:
            if entry.sha256 == sha256:
                raise InputError(f"{name} is in this case already, as {entry.name}")
        entry = FilmEntry(f"film-{sha256[:8]}", name, sha256, role, visit)
        self.apply(edits.AddFilm(entry), films=[data])
        return entry

    def film_bytes(self, film_id):
        """The original bytes of a film, their digest checked.

        Raises
        ------
        CaseError
            No such film, or it is damaged.
        """
        return self._file.film_bytes(self._entry(film_id).sha256)

    def film(self, film_id):
        """The decoded :class:`~radmeasure.model.film.Film`; the last few are kept at hand.

        May be called from a worker thread.

        Raises
        ------
        CaseError, FilmError
            The film is not in the case, is damaged, or cannot be decoded.
        """
        return self._films.film(self._entry(film_id), self._file.film_bytes)

    def keep_at_hand(self, film):
        """A film of the case that somebody has just decoded need not be decoded again."""
        self._films.put(film.sha256, film)

    def _entry(self, film_id):
        try:
            return self._case.film(film_id)
        except KeyError:
            raise CaseError(f"the case has no film {film_id!r}") from None

    # -- the window's own state ---------------------------------------------------------
    def remember(self, key, value):
        """Keep a JSON value of the window (job, zoom, shown film); no edit, no undo.

        Without effect on a read-only case.
        """
        with self._guard:
            if not self.read_only and self.remembered().get(key) != value:
                self._file.remember(key, value)

    def remembered(self):
        """Everything kept by :meth:`remember`, as a dict."""
        return self._file.view()

    # -- other places and other windows ---------------------------------------------------
    def save_copy(self, path, overwrite=False):
        """Write a copy with all history; the session stays on its own file.

        Raises
        ------
        CaseError
            The target exists, is open, or cannot be written.
        """
        lock = lock_target(Path(path))
        try:
            self._file.copy_to(path, overwrite)
        finally:
            lock.release()

    def save_as(self, path, overwrite=False):
        """Go on under another name; an automatic file moves there, a named one stays as it is."""
        path = Path(path).absolute()
        with self._guard:
            lock = lock_target(path)
            try:
                self._file.copy_to(path, overwrite)
                file = open_case_file(path)
            except BaseException:
                lock.release()
                raise
            moved = self.path if self.automatic and not self.read_only else None
            self._swap(file, lock)
            if moved:
                moved.unlink(missing_ok=True)
        self._tell("file", self._case, f"The case is now {path.name}")

    def _swap(self, file, lock):
        """Go on with ``file``, under ``lock``."""
        self._file.close()
        if self._lock:
            self._lock.release()
        self._file, self._lock, self.holder = file, lock, None

    def refresh(self):
        """Take in what another window wrote; True when there was something."""
        with self._guard:
            before = self._case
            if not self._catch_up():
                return False
        self._tell("refresh", before, "Another window changed the case")
        return True

    def _catch_up(self):
        try:
            events = self._file.events(after=self._timeline.seq)
        except CaseError:
            return False
        for event in events:
            self._timeline.record(event)
        self._case = self._timeline.case
        return bool(events)

    def take_over(self):
        """Become the one who writes; only when the holder is gone.

        Raises
        ------
        CaseError
            The holder still has the case open, or the medium is read-only.
        """
        with self._guard:
            if not self.read_only:
                return
            lock, self.holder, note = try_lock(self.path)
            if lock is None:
                raise CaseError(note or self.why_read_only, "close it there, then take it over")
            try:
                file = open_case_file(self.path)
                if not file.writable:
                    file.close()
                    raise CaseError(self.why_read_only)
            except BaseException:
                lock.release()
                raise
            before = self._case
            self._swap(file, lock)
            self._catch_up()
        self._tell("access", before, "The case can be changed here now")


def _text(case):
    return json.dumps(case_json.case_to_json(case), allow_nan=False, separators=(",", ":"))


def _now():
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
