"""The tables of a case file, version by version (docs/case-file.md)."""

import sqlite3

# "RmCf"; tells a case file from any other SQLite database.
APPLICATION_ID = 0x526D4366

_V1 = """
CREATE TABLE about (
    key TEXT PRIMARY KEY,
    value TEXT NOT NULL
);
CREATE TABLE events (
    seq INTEGER PRIMARY KEY,
    step INTEGER NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('edit', 'undo', 'redo')),
    time TEXT NOT NULL,
    author TEXT NOT NULL,
    program TEXT NOT NULL,
    edit TEXT CHECK ((kind = 'edit') = (edit IS NOT NULL)),
    chain TEXT NOT NULL
);
CREATE TRIGGER events_stay BEFORE DELETE ON events
BEGIN SELECT RAISE(ABORT, 'the history of a case is never shortened'); END;
CREATE TRIGGER events_never_change BEFORE UPDATE ON events
BEGIN SELECT RAISE(ABORT, 'the history of a case is never rewritten'); END;
CREATE TABLE films (
    sha256 TEXT PRIMARY KEY,
    bytes BLOB NOT NULL
);
CREATE TABLE snapshots (
    seq INTEGER PRIMARY KEY REFERENCES events,
    content TEXT NOT NULL,
    sha256 TEXT NOT NULL
);
CREATE TABLE view (
    key TEXT PRIMARY KEY,
    value TEXT NOT NULL
);
"""

# MIGRATIONS[n] makes version n + 1 from version n; from version 0, an empty file.
MIGRATIONS = [_V1]


def version():
    """The version this program writes."""
    return len(MIGRATIONS)


def bring_up(connection, since, to=None):
    """Run the migrations from version ``since``, inside the caller's transaction."""
    to = version() if to is None else to
    for script in MIGRATIONS[since:to]:
        for statement in _statements(script):
            connection.execute(statement)
    connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    connection.execute(f"PRAGMA user_version = {to}")


def _statements(script):
    """Split a script; unlike ``executescript`` this does not end the transaction."""
    statement = ""
    for line in script.strip().splitlines():
        statement += line + "\n"
        if sqlite3.complete_statement(statement):
            yield statement
            statement = ""


def structure(connection):
    """The tables and triggers of a database, to compare."""
    rows = connection.execute("SELECT type, name, sql FROM sqlite_master WHERE sql IS NOT NULL")
    return {(kind, name, " ".join(sql.split())) for kind, name, sql in rows}
