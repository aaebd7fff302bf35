"""The case file: one SQLite database that holds the films and every edit.

SQLite as application file format: each edit is one transaction, on disk when
the call returns (docs/case-file.md; docs/decisions/ says why a rollback
journal). Nobody opens the file by other means while it is open here: on
POSIX, closing a second handle would drop SQLite's own locks.
"""

import contextlib
import hashlib
import json
import shutil
import sqlite3
import threading
from operator import attrgetter
from pathlib import Path

from radmeasure.errors import CaseError
from radmeasure.files.case_connection import (
    READ_ERRORS,
    copy_database,
    open_error,
    whole_file,
    write_error,
)
from radmeasure.model.timeline import Event

SUFFIX = ".radcase"
KEPT_SNAPSHOTS = 2
_CHUNK = 1 << 20
# SQLite finds the start of a piece by reading through all before it, so pieces read
# one by one are few.
_READ_CHUNK = 8 << 20
_stated = attrgetter("seq", "step", "kind", "time", "author", "program", "edit")


def _link(previous, event):
    """Digest of an event and, through ``previous``, of every one before it."""
    text = json.dumps([previous, *_stated(event)])
    return hashlib.sha256(text.encode()).hexdigest()


def _digest(text):
    return hashlib.sha256(text.encode()).hexdigest()


# Films are read and written piece by piece: one call for all of it would hold up every
# other thread of the program while 50 MB are copied.
def _digest_of(chunks):
    digest = hashlib.sha256()
    for chunk in chunks:
        digest.update(chunk)
    return digest.hexdigest()


def _put_film(connection, sha256, data):
    """Add a film unless it is there; part of the transaction under way."""
    row = (sha256, len(data))
    added = connection.execute("INSERT OR IGNORE INTO films VALUES (?, zeroblob(?))", row)
    if not added.rowcount:
        return
    with connection.blobopen("films", "bytes", added.lastrowid) as blob:
        for start in range(0, len(data), _CHUNK):
            blob.write(data[start : start + _CHUNK])


class CaseFile:
    """An open case file; made by ``case_opening``.

    All methods may be called from any thread. Failures raise CaseError and
    leave the file as it was.

    Attributes
    ----------
    path : Path
    writable : bool
    notes : list of str
        What happened at opening that the user should know.
    """

    def __init__(self, path, connection, writable, notes=(), private=None):
        self.path, self.writable, self.notes = Path(path), writable, list(notes)
        self._connection = connection
        self._private = private  # a folder of our own that goes at closing
        self._thread_lock = threading.RLock()
        if writable:
            # Between edits the one file is the whole case. TRUNCATE costs as little as PERSIST,
            # and notices a file that was moved away without losing hold of it.
            connection.execute("PRAGMA journal_mode = TRUNCATE")

    def close(self):
        with self._thread_lock:
            if self._connection is None:
                return
            if self.writable:
                with contextlib.suppress(sqlite3.Error):  # leaves an empty journal at worst
                    self._connection.execute("PRAGMA journal_mode = DELETE")
            self._connection.close()
            self._connection = None
            if self._private:
                shutil.rmtree(self._private, ignore_errors=True)

    # -- reading ------------------------------------------------------------
    @contextlib.contextmanager
    def _reading(self):
        with self._thread_lock:
            if self._connection is None:
                raise CaseError("the case is closed", "open it again")
            try:
                yield self._connection
            except READ_ERRORS as error:
                raise open_error(self.path, error) from error

    def events(self, after=0):
        """Events of the log with a number above ``after``, in order.

        Raises
        ------
        CaseError
            An event does not fit the digest chain: the file is damaged.
        """
        with self._reading() as connection:
            rows = connection.execute(
                "SELECT seq, step, kind, time, author, program, edit, chain FROM events"
                " WHERE seq > ? ORDER BY seq",
                (after,),
            ).fetchall()
            return self._checked(rows, after, self._chain(connection, after))

    def _checked(self, rows, after, chain):
        events = []
        for *stated, stated_chain in rows:
            event = Event(*stated)
            chain = _link(chain, event)
            if chain != stated_chain or event.seq != after + len(events) + 1:
                raise CaseError(
                    f"{self.path.name} is damaged: its history cannot be trusted from"
                    f" edit {event.seq} ({event.time}) on",
                    "open your latest copy; this file is unchanged",
                )
            events.append(event)
        return events

    @staticmethod
    def _chain(connection, seq):
        """The chain at event ``seq``; it begins with the id of the case."""
        query, values = "SELECT chain FROM events WHERE seq = ?", (seq,)
        if seq == 0:
            query, values = "SELECT value FROM about WHERE key = 'id'", ()
        row = connection.execute(query, values).fetchone()
        return row[0] if row else ""

    def snapshots(self):
        """Mapping of event number to the JSON text of the case after it; only whole ones."""
        with self._reading() as connection:
            rows = connection.execute("SELECT seq, content, sha256 FROM snapshots").fetchall()
            return {seq: content for seq, content, sha256 in rows if _digest(content) == sha256}

    def about(self, key):
        """'id' or 'created' of the case; '' when not stated."""
        with self._reading() as connection:
            row = connection.execute("SELECT value FROM about WHERE key = ?", (key,)).fetchone()
        return row[0] if row else ""

    def holds_film(self, sha256):
        with self._reading() as connection:
            found = connection.execute("SELECT 1 FROM films WHERE sha256 = ?", (sha256,))
            return found.fetchone() is not None

    def film_bytes(self, sha256):
        """Original bytes of a film, checked against their digest.

        Raises
        ------
        CaseError
            No such film, or its bytes are not those that were added.
        """
        with self._reading() as connection:
            row = connection.execute(
                "SELECT rowid FROM films WHERE sha256 = ?", (sha256,)
            ).fetchone()
        chunks = () if row is None else tuple(self._chunks(row[0]))
        if row is None:
            raise CaseError(f"the case does not hold film {sha256[:12]}", "add the film again")
        if _digest_of(chunks) != sha256:
            raise CaseError(
                f"the stored film {sha256[:12]} is damaged (its digest differs)",
                "add the film again from its source",
            )
        return b"".join(chunks)

    def damaged_films(self):
        """Digests of stored films whose bytes do not fit them; reads every film."""
        damaged = []
        with self._reading() as connection:
            films = connection.execute("SELECT rowid, sha256 FROM films").fetchall()
        for rowid, sha256 in films:
            if _digest_of(self._chunks(rowid)) != sha256:
                damaged.append(sha256)
        return damaged

    def _chunks(self, rowid):
        """The bytes of a film; others may use the file between two pieces."""
        start = 0
        while True:
            with (
                self._reading() as connection,
                connection.blobopen("films", "bytes", rowid, readonly=True) as blob,
            ):
                blob.seek(start)
                chunk = blob.read(_READ_CHUNK)
            if not chunk:
                return
            start += len(chunk)
            yield chunk

    def view(self):
        """The remembered state of the window: mapping of key to JSON value."""
        with self._reading() as connection:
            rows = connection.execute("SELECT key, value FROM view").fetchall()
            return {key: json.loads(value) for key, value in rows}

    # -- writing ------------------------------------------------------------
    @contextlib.contextmanager
    def _writing(self):
        """One transaction: on disk when it ends, or nothing of it ever was."""
        with self._thread_lock:
            if self._connection is None:
                raise CaseError("the case is closed", "open it again")
            if not self.writable:
                raise CaseError("the case is open for reading only", "save a copy and work on it")
            try:
                self._connection.execute("BEGIN IMMEDIATE")
                yield self._connection
                self._connection.execute("COMMIT")
            except sqlite3.Error as error:
                self._roll_back()
                raise write_error(error) from error
            except BaseException:
                self._roll_back()
                raise

    def _roll_back(self):
        # After some failures SQLite has rolled back by itself; a second time is an error.
        if self._connection.in_transaction:
            with contextlib.suppress(sqlite3.Error):
                self._connection.execute("ROLLBACK")

    def append(self, event, films=(), snapshot=None):
        """Add one event, with the films it brings, durably.

        Parameters
        ----------
        event : Event
            Its ``seq`` must be the next number: else somebody else wrote.
        films : iterable of (sha256, bytes)
        snapshot : str, optional
            JSON of the case after the event.
        """
        with self._writing() as connection:
            (last,) = connection.execute("SELECT coalesce(max(seq), 0) FROM events").fetchone()
            if event.seq != last + 1:
                raise CaseError(
                    "not saved: the case was changed from elsewhere meanwhile",
                    "look at its state now and do it again",
                )
            for sha256, data in films:
                _put_film(connection, sha256, data)
            chain = _link(self._chain(connection, last), event)
            connection.execute(
                "INSERT INTO events VALUES (?, ?, ?, ?, ?, ?, ?, ?)", (*_stated(event), chain)
            )
            if snapshot is not None:
                self._put_snapshot(connection, event.seq, snapshot)

    def add_snapshot(self, seq, content):
        with self._writing() as connection:
            self._put_snapshot(connection, seq, content)

    @staticmethod
    def _put_snapshot(connection, seq, content):
        row = (seq, content, _digest(content))
        connection.execute("INSERT OR REPLACE INTO snapshots VALUES (?, ?, ?)", row)
        connection.execute(
            "DELETE FROM snapshots WHERE seq NOT IN"
            " (SELECT seq FROM snapshots ORDER BY seq DESC LIMIT ?)",
            (KEPT_SNAPSHOTS,),
        )

    def remember(self, key, value):
        """Keep one entry of the window's state; not part of the history."""
        with self._writing() as connection:
            connection.execute(
                "INSERT OR REPLACE INTO view VALUES (?, ?)", (key, json.dumps(value))
            )

    def copy_to(self, target, overwrite=False):
        """Write a whole copy of the case as it is now; ``target`` appears complete or not at all.

        Raises
        ------
        CaseError
            The target exists (unless ``overwrite``), or cannot be written.
        """
        with whole_file(target, overwrite) as half, self._reading() as connection:
            copy_database(connection, half)
