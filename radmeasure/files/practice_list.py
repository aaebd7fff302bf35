"""The practice list: a local index of cases, searchable, made anew from the cases at any time.

It holds what finds a case again (label, teeth, dates, job, next recall) and
no identity, unless the user chose that. Losing it loses nothing.
"""

import contextlib
import json
import sqlite3
import threading
from dataclasses import dataclass, fields
from pathlib import Path

from radmeasure.errors import CaseError
from radmeasure.files.case_file import SUFFIX
from radmeasure.files.case_opening import open_case_file
from radmeasure.model.timeline import load_timeline
from radmeasure.model.tooth import Tooth

# Raised when the table below changes; an older index is made anew.
_VERSION = 1
_TABLE = """
CREATE TABLE IF NOT EXISTS cases (
    path TEXT PRIMARY KEY,
    created TEXT NOT NULL,
    changed TEXT NOT NULL,
    recall_due TEXT NOT NULL,
    label TEXT NOT NULL,
    job TEXT NOT NULL,
    words TEXT NOT NULL,
    identity TEXT NOT NULL,
    content TEXT NOT NULL
)
"""
# What the list can be sorted by, and how; empty recalls come last.
ORDERS = {
    "changed": "changed DESC",
    "created": "created DESC",
    "recall": "recall_due = '', recall_due, changed DESC",
    "label": "label COLLATE NOCASE, changed DESC",
    "job": "job, changed DESC",
}


@dataclass(frozen=True)
class CaseSummary:
    """A case as the practice list shows it.

    Attributes
    ----------
    path : str
    label : str
    teeth : tuple of str
    created, changed : str
        UTC, ISO 8601.
    job : str
        The job last worked on, or the role of the newest film.
    recalls : tuple of (tooth, ISO date)
        Sorted by date.
    visits : tuple of str
    films : int
    automatic : bool
        True for a case that was never given a place.
    identity : tuple of (field, value)
        Empty unless the list was told to keep identity.
    """

    path: str
    label: str = ""
    teeth: tuple = ()
    created: str = ""
    changed: str = ""
    job: str = ""
    recalls: tuple = ()
    visits: tuple = ()
    films: int = 0
    automatic: bool = False
    identity: tuple = ()

    @property
    def recall_due(self):
        """Date of the earliest recall; '' for none."""
        return self.recalls[0][1] if self.recalls else ""

    @property
    def present(self):
        """False when the case is no longer where it was."""
        return Path(self.path).is_file()


def summary_of(case, path, *, created="", changed="", job="", automatic=False):
    """What the list says of a :class:`~radmeasure.model.case.Case`."""
    return CaseSummary(
        path=str(Path(path).absolute()),
        label=case.label,
        teeth=case.teeth,
        created=created,
        changed=changed or created,
        job=job or (case.films[-1].role if case.films else ""),
        recalls=tuple(sorted(case.recalls.items(), key=lambda item: (item[1], item[0]))),
        visits=tuple(sorted({film.visit for film in case.films if film.visit})),
        films=len(case.films),
        automatic=automatic,
        identity=tuple(sorted(case.identity.items())),
    )


def read_summary(path, automatic=False):
    """Read a case file just far enough to list it; nothing is written or migrated.

    Raises
    ------
    CaseError
        The file cannot be opened as a case.
    """
    with contextlib.closing(open_case_file(path, writable=False)) as file:
        timeline = load_timeline(file)
        changed = timeline.last.time if timeline.last else ""
        return summary_of(
            timeline.case,
            path,
            created=file.about("created"),
            changed=changed,
            job=str(file.view().get("job", "")),
            automatic=automatic,
        )


def _search_words(summary):
    teeth = [Tooth(fdi) for fdi in summary.teeth]
    parts = [summary.label, summary.job, summary.changed[:10], summary.created[:10]]
    parts += [*summary.visits, *(date for _, date in summary.recalls), Path(summary.path).stem]
    parts += [f"{tooth.fdi} {tooth.name}" for tooth in teeth]
    parts += [value for _, value in summary.identity]
    return " ".join(parts).casefold()


class PracticeList:
    """The index, in a database of its own.

    Parameters
    ----------
    path : path
        The index file; made when missing, replaced when unreadable.
    with_identity : bool
        Keep and search identity fields. Opening with False wipes what was kept.
    """

    def __init__(self, path, with_identity=False):
        self.path, self.with_identity = Path(path), with_identity
        self._guard = threading.RLock()
        self.path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        self.made_anew = False
        """True when there was no usable index: the caller should :meth:`rebuild`."""
        try:
            self._connection = self._connect()
        except sqlite3.DatabaseError:
            self._connection = self._start_anew()
        if not with_identity:
            self._wipe_identity()

    def close(self):
        self._connection.close()

    def _connect(self):
        existed = self.path.exists()
        connection = sqlite3.connect(self.path, isolation_level=None, check_same_thread=False)
        try:
            connection.execute("PRAGMA secure_delete = ON")
            # The list can be made anew: a power cut may cost its last entry, not our time.
            connection.execute("PRAGMA synchronous = NORMAL")
            (version,) = connection.execute("PRAGMA user_version").fetchone()
            if existed and version != _VERSION:
                raise sqlite3.DatabaseError("another version of the list")
            connection.execute(_TABLE)
            connection.execute(f"PRAGMA user_version = {_VERSION}")
        except sqlite3.Error:
            connection.close()
            raise
        self.made_anew = not existed
        return connection

    def _start_anew(self):
        for extra in ("", "-journal"):
            Path(f"{self.path}{extra}").unlink(missing_ok=True)
        return self._connect()

    def _wipe_identity(self):
        rows = self._rows("SELECT content FROM cases WHERE identity != ''")
        for summary in rows:
            self.put(summary)
        if rows:
            self._connection.execute("VACUUM")

    # -- entries ------------------------------------------------------------
    def put(self, summary):
        """List a case, or bring its entry up to date."""
        if not self.with_identity:
            summary = _without_identity(summary)
        stated = {f.name: getattr(summary, f.name) for f in fields(summary)}
        row = (
            summary.path,
            summary.created,
            summary.changed,
            summary.recall_due,
            summary.label,
            summary.job,
            _search_words(summary),
            json.dumps(summary.identity) if summary.identity else "",
            json.dumps(stated),
        )
        with self._guard:
            self._connection.execute(
                f"INSERT OR REPLACE INTO cases VALUES ({', '.join('?' * len(row))})", row
            )

    def forget(self, path):
        """Take a case off the list; the case file itself is not touched."""
        with self._guard:
            self._connection.execute(
                "DELETE FROM cases WHERE path = ?", (str(Path(path).absolute()),)
            )

    def find(self, text="", *, tooth=None, job=None, due_by=None, since=None, order="changed"):
        """Cases that fit all that is given.

        Parameters
        ----------
        text : str
            Words that must all occur in label, teeth (designation or name),
            job, dates or file name.
        tooth : str, optional
            ISO 3950 designation.
        job : str, optional
        due_by : str, optional
            ISO date: only cases with a recall due on or before it.
        since : str, optional
            ISO date: only cases changed on or after it.
        order : str
            A key of :data:`ORDERS`.

        Returns
        -------
        list of CaseSummary
        """
        where, values = ["1"], []
        for word in text.casefold().split():
            where.append("instr(words, ?)")
            values.append(word)
        for clause, value in (
            ("job = ?", job),
            ("recall_due != '' AND recall_due <= ?", due_by),
            ("changed >= ?", since),
        ):
            if value:
                where.append(f"({clause})")
                values.append(value)
        query = f"SELECT content FROM cases WHERE {' AND '.join(where)} ORDER BY {ORDERS[order]}"
        found = self._rows(query, values)
        return [summary for summary in found if tooth is None or tooth in summary.teeth]

    def _rows(self, query, values=()):
        with self._guard:
            rows = self._connection.execute(query, values).fetchall()
        return [_summary_from(json.loads(content)) for (content,) in rows]

    # -- from the cases -------------------------------------------------------
    def rebuild(self, folders, automatic_folder=None, progress=None):
        """Make the list anew from the case files in ``folders`` and those it knew of.

        Parameters
        ----------
        folders : iterable of path
            Searched with their sub-folders.
        automatic_folder : path, optional
            Cases in it count as never given a place; searched too.
        progress : callable, optional
            ``progress(done, total)``; may raise to stop, which leaves the old list.

        Returns
        -------
        list of (path, reason)
            Files that look like cases and cannot be listed.
        """
        automatic = Path(automatic_folder).absolute() if automatic_folder else None
        paths = self._paths_in([*folders, *([automatic] if automatic else [])])
        summaries, failed = [], []
        for done, path in enumerate(paths):
            if progress:
                progress(done, len(paths))
            try:
                summaries.append(read_summary(path, automatic=path.parent == automatic))
            except CaseError as error:
                failed.append((str(path), error.one_line))
        with self._guard:
            self._connection.execute("BEGIN IMMEDIATE")
            self._connection.execute("DELETE FROM cases")
            for summary in summaries:
                self.put(summary)
            self._connection.execute("COMMIT")
        return failed

    def _paths_in(self, folders):
        paths = {Path(summary.path) for summary in self.find()}
        for folder in folders:
            paths.update(Path(folder).absolute().rglob(f"*{SUFFIX}"))
        return sorted(path for path in paths if path.is_file())


def _without_identity(summary):
    stated = {f.name: getattr(summary, f.name) for f in fields(summary)}
    return CaseSummary(**{**stated, "identity": ()})


def _summary_from(stated):
    pairs = ("recalls", "identity")
    read = {k: tuple(v) if isinstance(v, list) else v for k, v in stated.items()}
    read.update({key: tuple(map(tuple, read[key])) for key in pairs})
    return CaseSummary(**read)
