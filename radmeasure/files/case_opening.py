"""Makes, opens and checks case files; migrates older ones and keeps the original."""

import contextlib
import shutil
import sqlite3
import tempfile
import uuid
from datetime import UTC, datetime
from pathlib import Path

from radmeasure.errors import CaseError
from radmeasure.files import case_schema
from radmeasure.files.case_connection import (
    READ_ERRORS,
    code_of,
    connect,
    copy_database,
    open_error,
    whole_file,
)
from radmeasure.files.case_file import CaseFile


def create_case_file(path):
    """A new, empty case file; it appears at ``path`` complete or not at all.

    Raises
    ------
    CaseError
        The file exists already, or cannot be written.
    """
    with whole_file(path) as half, contextlib.closing(sqlite3.connect(half)) as connection:
        connection.isolation_level = None
        connection.execute("PRAGMA synchronous = EXTRA")
        connection.execute("BEGIN IMMEDIATE")
        case_schema.bring_up(connection, 0)
        created = datetime.now(UTC).isoformat(timespec="seconds")
        about = (("id", uuid.uuid4().hex), ("created", created))
        connection.executemany("INSERT INTO about VALUES (?, ?)", about)
        connection.execute("COMMIT")
    return CaseFile(path, connect(path), writable=True)


def open_case_file(path, writable=True):
    """Open a case file, checked; an older version is migrated and the original kept beside.

    Parameters
    ----------
    path : path
    writable : bool
        False opens for reading only. True falls back to reading only when the
        file or its medium does not let itself be written; ``notes`` says so.

    Raises
    ------
    CaseError
        Not a case, damaged, from a newer version, or not readable.
    """
    path = Path(path)
    if not path.is_file():
        raise CaseError(f"there is no case file {path.name}", "check the name and the drive")
    opening = _Opening(path)
    try:
        opening.connect()
        opening.check()
        writable = writable and opening.lets_write()
        opening.migrate(writable)
        return opening.finish(writable)
    except READ_ERRORS as error:
        opening.give_up()
        raise open_error(path, error) from error
    except BaseException:
        opening.give_up()
        raise


class _Opening:
    """The steps of opening one file, with what must be undone when one fails."""

    def __init__(self, path):
        self.path, self.notes = path, []
        self.connection, self.private = None, None

    def connect(self):
        try:
            self.connection = connect(self.path)  # reads, and clears up after a crash
        except sqlite3.OperationalError as error:
            stuck = code_of(error).startswith(("SQLITE_READONLY", "SQLITE_CANTOPEN"))
            if not stuck or not self._journal.exists():
                raise
            self._work_on_copy()

    @property
    def _journal(self):
        return self.path.with_name(self.path.name + "-journal")

    def _work_on_copy(self):
        """An edit was cut short and the medium is read-only: clear up in a copy of our own."""
        copy = self._private_path()
        shutil.copyfile(self.path, copy)
        shutil.copyfile(self._journal, f"{copy}-journal")
        self.connection = connect(copy)

    def _private_path(self):
        self.private = tempfile.mkdtemp(prefix="radmeasure-")
        return Path(self.private, "case")

    def check(self):
        name = self.path.name
        (application,) = self.connection.execute("PRAGMA application_id").fetchone()
        if application != case_schema.APPLICATION_ID:
            raise CaseError(f"{name} is not a case file", "choose a file saved by radmeasure")
        (self.version,) = self.connection.execute("PRAGMA user_version").fetchone()
        if self.version > case_schema.version():
            raise CaseError(
                f"{name} was written by a newer radmeasure (case format {self.version}; "
                f"this one knows up to {case_schema.version()})",
                "update radmeasure; the file was not touched",
            )
        if self.connection.execute("PRAGMA quick_check(1)").fetchone() != ("ok",):
            raise CaseError(f"{name} is damaged", "open your latest copy; this file is unchanged")
        self._check_structure()

    def _check_structure(self):
        """A file from elsewhere may hold anything: only the tables we know are let in."""
        with contextlib.closing(sqlite3.connect(":memory:")) as fresh:
            case_schema.bring_up(fresh, 0, self.version)
            expected = case_schema.structure(fresh)
        if case_schema.structure(self.connection) != expected:
            raise CaseError(
                f"{self.path.name} does not have the tables of a case file",
                "choose a file saved by radmeasure",
            )

    def lets_write(self):
        """Probe with a write that is rolled back: rights alone do not tell of the medium."""
        allowed = self.private is None
        try:
            self.connection.execute("BEGIN IMMEDIATE")
            self.connection.execute(f"PRAGMA user_version = {self.version}")
        except sqlite3.Error as error:
            if code_of(error).startswith(("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_IOERR")):
                allowed = False
            elif not code_of(error).startswith("SQLITE_FULL"):  # then each edit will say so
                raise
        if self.connection.in_transaction:
            self.connection.execute("ROLLBACK")
        if not allowed:
            self.notes.append("the file or its medium is read-only")
        return allowed

    def migrate(self, writable):
        if self.version == case_schema.version():
            return
        if writable:
            kept = self._free_name()
            with whole_file(kept) as half:
                copy_database(self.connection, half)
            self.notes.append(
                f"brought from case format {self.version} to {case_schema.version()}; "
                f"the original is kept as {kept.name}"
            )
        elif self.private is None:
            copy = self._private_path()
            copy_database(self.connection, copy)
            self.connection.close()
            self.connection = connect(copy)
        self.connection.execute("BEGIN IMMEDIATE")
        case_schema.bring_up(self.connection, self.version)
        self.connection.execute("COMMIT")

    def _free_name(self):
        """``name (format 1).radcase`` beside the case, numbered when taken."""
        number, extra = 1, f"format {self.version}"
        while True:
            kept = self.path.with_name(f"{self.path.stem} ({extra}){self.path.suffix}")
            if not kept.exists():
                return kept
            number += 1
            extra = f"format {self.version}, {number}"

    def finish(self, writable):
        if not writable:
            self.connection.execute("PRAGMA query_only = ON")
        return CaseFile(self.path, self.connection, writable, self.notes, self.private)

    def give_up(self):
        if self.connection is not None:
            self.connection.close()
        if self.private:
            shutil.rmtree(self.private, ignore_errors=True)
