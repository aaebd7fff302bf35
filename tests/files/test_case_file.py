"""The case file against a world that is not kind: damage, versions, full disks, cut power."""

import contextlib
import hashlib
import json
import random
import resource
import shutil
import sqlite3
from pathlib import Path

import pytest
from case_folders import open_to_all, without_rights

from radmeasure.errors import CaseError
from radmeasure.files import case_schema
from radmeasure.files.case_opening import create_case_file, open_case_file
from radmeasure.model.edits import SetLabel
from radmeasure.model.timeline import Event, load_timeline

FILM = bytes(range(256)) * 400
SHA256 = hashlib.sha256(FILM).hexdigest()


def _event(seq, label):
    edit = f'{{"kind":"set_label","label":"{label}"}}'
    return Event(seq, seq, "edit", "2026-03-01T09:00:00.000Z", "ab", "0.1.0", edit)


@pytest.fixture
def path(quick_folder):
    """A closed case of twenty edits, one film and one snapshot."""
    made = quick_folder / "case.radcase"
    with contextlib.closing(create_case_file(made)) as file:
        file.append(_event(1, "first"), films=[(SHA256, FILM)])
        for seq in range(2, 21):
            file.append(_event(seq, f"label {seq}"))
        file.add_snapshot(20, '{"label": "label 20"}')
    return made


def _label(path):
    with contextlib.closing(open_case_file(path)) as file:
        return load_timeline(file).case.label


def _raw(path, *statements):
    """Change the file behind the program's back."""
    with contextlib.closing(sqlite3.connect(path)) as connection:
        for statement in statements:
            connection.execute(statement)
        connection.commit()


# -- one file ---------------------------------------------------------------
def test_a_closed_case_is_one_file(path):
    """Nothing stands beside it, so what is copied or mailed is all of it."""
    assert [p.name for p in path.parent.iterdir()] == ["case.radcase"]


def test_between_edits_an_open_case_is_whole_in_its_one_file(path, quick_folder):
    """The rollback journal is empty between edits: the main file alone is the case."""
    with contextlib.closing(open_case_file(path)) as file:
        file.append(_event(21, "just now"))
        alone = quick_folder / "mailed.radcase"
        alone.write_bytes(path.read_bytes())
        assert Path(f"{path}-journal").stat().st_size == 0
    assert _label(alone) == "just now"


def test_other_programs_see_what_it_is(path):
    """Application id at byte 68 and version at byte 60, big-endian: SQLite file format, 1.3."""
    data = path.read_bytes()
    assert data[:16] == b"SQLite format 3\0"
    assert data[68:72] == b"RmCf"
    assert int.from_bytes(data[60:64], "big") == case_schema.version()


def test_the_history_cannot_be_rewritten_by_a_slip(path):
    """Not even by another program that means well."""
    for statement in ("UPDATE events SET author = 'x'", "DELETE FROM events WHERE seq = 20"):
        with pytest.raises(sqlite3.IntegrityError, match="history of a case is never"):
            _raw(path, statement)


def test_a_case_is_never_created_over_a_file(path):
    with pytest.raises(CaseError, match="exists already"):
        create_case_file(path)
    assert _label(path) == "label 20"


# -- not a case, damaged -----------------------------------------------------
@pytest.mark.parametrize(
    "content", [b"", b"not a case", b"\x89PNG\r\n\x1a\n" + bytes(5000), bytes(100_000)]
)
def test_a_file_that_is_no_case_is_refused_and_left_alone(quick_folder, content):
    other = quick_folder / "other.radcase"
    other.write_bytes(content)
    with pytest.raises(CaseError, match="not a case file"):
        open_case_file(other)
    assert other.read_bytes() == content
    assert len(list(quick_folder.iterdir())) == 1


def test_another_programs_database_is_refused_and_left_alone(quick_folder):
    other = quick_folder / "other.db"
    _raw(other, "CREATE TABLE addresses (name)")
    before = other.read_bytes()
    with pytest.raises(CaseError, match="not a case file"):
        open_case_file(other)
    assert other.read_bytes() == before


def test_a_folder_or_nothing_is_refused(quick_folder):
    for name in (".", "missing.radcase"):
        with pytest.raises(CaseError, match="there is no case file"):
            open_case_file(quick_folder / name)


def test_a_case_with_foreign_tables_or_triggers_is_refused(path):
    """A file from elsewhere may not bring code of its own."""
    _raw(path, "CREATE TRIGGER t AFTER INSERT ON events BEGIN DELETE FROM films; END")
    with pytest.raises(CaseError, match="tables of a case file"):
        open_case_file(path)


def test_a_truncated_case_is_refused_clearly(path):
    """At every length that cuts the file short, in steps of a page and a bit."""
    data = path.read_bytes()
    for length in range(0, len(data) - 1, 4501):
        path.write_bytes(data[:length])
        with pytest.raises(CaseError, match=r"case\.radcase (is|cannot|does|states)"):
            open_case_file(path)
        assert path.read_bytes() == data[:length]


def test_a_changed_number_in_the_history_is_found(path):
    """SQLite cannot see a turned bit within a text; the digest chain does."""
    data = path.read_bytes()
    assert data.count(b'"label 13"') == 1
    path.write_bytes(data.replace(b'"label 13"', b'"label 33"'))
    with (
        contextlib.closing(open_case_file(path)) as file,
        pytest.raises(CaseError, match="cannot be trusted from edit 13"),
    ):
        file.events()


def test_a_changed_snapshot_is_not_used(path):
    data = path.read_bytes()
    assert data.count(b'{"label": "label 20"}') == 1
    path.write_bytes(data.replace(b'{"label": "label 20"}', b'{"label": "label 90"}'))
    assert _label(path) == "label 20"


def test_any_damage_is_refused_or_changes_nothing(path):
    """200 times a few random bytes: a clear CaseError, or exactly the case and the film."""
    data, rng, refused = path.read_bytes(), random.Random(77), 0
    for _ in range(200):
        hurt = bytearray(data)
        for _ in range(rng.randrange(1, 20)):
            hurt[rng.randrange(len(hurt) if rng.random() < 0.5 else 40_000)] = rng.randrange(256)
        path.write_bytes(hurt)
        try:
            with contextlib.closing(open_case_file(path)) as file:
                assert load_timeline(file).case.label == "label 20"
                assert file.film_bytes(SHA256) == FILM
        except CaseError as error:
            assert error.what and "\n" not in error.one_line
            refused += 1
        for extra in path.parent.iterdir():
            assert extra.name in ("case.radcase", "case.radcase-journal")
            extra.unlink()
    assert 20 < refused < 200


# -- versions ------------------------------------------------------------------
def test_a_newer_version_is_refused_with_a_clear_word(path):
    newer = case_schema.version() + 1
    _raw(path, f"PRAGMA user_version = {newer}", "ALTER TABLE about ADD COLUMN later TEXT")
    before = path.read_bytes()
    with pytest.raises(CaseError) as caught:
        open_case_file(path)
    assert "newer radmeasure" in caught.value.what and "update radmeasure" in caught.value.do
    assert f"case format {newer}" in caught.value.what
    assert path.read_bytes() == before


@pytest.fixture
def next_version(monkeypatch):
    """As if the next version of the program had one more column."""
    script = "ALTER TABLE about ADD COLUMN note TEXT NOT NULL DEFAULT '';\n"
    monkeypatch.setattr(case_schema, "MIGRATIONS", [*case_schema.MIGRATIONS, script])
    return monkeypatch


def test_an_older_version_is_migrated_and_the_original_kept(path, next_version):
    with contextlib.closing(open_case_file(path)) as file:
        (note,) = file.notes
        assert "the original is kept as case (format 1).radcase" in note
        assert load_timeline(file).case.label == "label 20"
        file.append(_event(21, "after"))
    assert _label(path) == "after"
    next_version.undo()
    kept = path.with_name("case (format 1).radcase")
    assert _label(kept) == "label 20"  # the older program opens it still
    with pytest.raises(CaseError, match="newer radmeasure"):
        open_case_file(path)


def test_an_original_kept_before_is_not_overwritten(path, next_version):
    path.with_name("case (format 1).radcase").write_bytes(b"kept long ago")
    with contextlib.closing(open_case_file(path)) as file:
        assert "case (format 1, 2).radcase" in file.notes[0]
    assert path.with_name("case (format 1).radcase").read_bytes() == b"kept long ago"


def test_an_older_version_opened_to_look_at_is_not_touched(path, next_version):
    before = path.read_bytes()
    with contextlib.closing(open_case_file(path, writable=False)) as file:
        assert load_timeline(file).case.label == "label 20"
    assert path.read_bytes() == before and len(list(path.parent.iterdir())) == 1


def test_a_migration_that_fails_leaves_the_case_as_it_was(path, monkeypatch):
    """Half of it has run when it fails: all of it is taken back."""
    script = "CREATE TABLE half (x);\nINSERT INTO nowhere VALUES (1);\n"
    migrations = [*case_schema.MIGRATIONS]
    monkeypatch.setattr(case_schema, "MIGRATIONS", [*migrations, script])
    with pytest.raises(CaseError, match="cannot be opened"):
        open_case_file(path)
    monkeypatch.setattr(case_schema, "MIGRATIONS", migrations)
    assert _label(path) == "label 20"


# -- full disk -----------------------------------------------------------------
def test_a_full_disk_costs_only_the_edit_that_did_not_fit(path):
    """SQLITE_FULL by PRAGMA max_page_count; with room again, work goes on."""
    with contextlib.closing(open_case_file(path)) as file:
        (pages,) = file._connection.execute("PRAGMA page_count").fetchone()
        file._connection.execute(f"PRAGMA max_page_count = {pages}")
        with pytest.raises(CaseError) as caught:
            file.append(_event(21, "x" * 100_000))
        assert "the disk is full" in caught.value.what and "make room" in caught.value.do
        assert "everything before it is safe" in caught.value.what
        assert load_timeline(file).case.label == "label 20"
        file._connection.execute("PRAGMA max_page_count = 1000000")
        file.append(_event(21, "room again"))
    assert _label(path) == "room again"


def test_a_failing_write_costs_only_the_edit(path):
    """A limit on file size (RLIMIT_FSIZE) makes the system itself refuse the write."""
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    with contextlib.closing(open_case_file(path)) as file:
        resource.setrlimit(resource.RLIMIT_FSIZE, (path.stat().st_size, limits[1]))
        try:
            with pytest.raises(CaseError, match=r"not saved, because the (disk|medium)"):
                file.append(_event(21, "x" * 100_000))
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, limits)
        assert load_timeline(file).case.label == "label 20"
        file.append(_event(21, "room again"))
    assert _label(path) == "room again"


def test_a_copy_that_does_not_fit_leaves_nothing_and_spares_the_old(path, quick_folder):
    target = quick_folder / "target.radcase"
    target.write_bytes(b"stood here before")
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    with contextlib.closing(open_case_file(path)) as file:
        resource.setrlimit(resource.RLIMIT_FSIZE, (10_000, limits[1]))
        try:
            with pytest.raises(CaseError, match=r"target\.radcase was not written"):
                file.copy_to(target, overwrite=True)
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, limits)
    assert target.read_bytes() == b"stood here before"
    assert sorted(p.name for p in quick_folder.iterdir()) == ["case.radcase", "target.radcase"]


# -- cut short -------------------------------------------------------------------
def _cut_short(path, folder):
    """A copy taken in the middle of a write: the file half changed, its journal beside it."""
    with contextlib.closing(open_case_file(path)) as file:
        connection = file._connection
        connection.execute("PRAGMA cache_spill = 1")
        connection.execute("PRAGMA cache_size = 1")
        connection.execute("BEGIN IMMEDIATE")
        connection.execute("UPDATE about SET value = value || 'half'")
        for n in range(200):  # more than the cache holds: pages reach the file before the commit
            connection.execute("INSERT INTO view VALUES (?, ?)", (f"k{n}", "x" * 500))
        copy = folder / "cut.radcase"
        shutil.copy(path, copy)
        shutil.copy(f"{path}-journal", f"{copy}-journal")
        assert copy.stat().st_size > 0 and Path(f"{copy}-journal").stat().st_size > 512
        connection.execute("ROLLBACK")
    return copy


def test_a_copy_taken_in_the_middle_of_a_write_opens_as_before_it(path, quick_folder):
    copy = _cut_short(path, quick_folder)
    assert _label(copy) == "label 20"
    with contextlib.closing(open_case_file(copy)) as file:
        assert file.view() == {} and not file.damaged_films()


def test_a_write_cut_short_on_a_read_only_medium_still_opens(path):
    """Nothing can be cleared up there: it is cleared up in a copy of our own that goes again."""
    with open_to_all() as folder:
        copy = _cut_short(path, folder)
        for found in folder.iterdir():
            found.chmod(0o444)
        folder.chmod(0o555)
        try:
            with without_rights(), contextlib.closing(open_case_file(copy)) as file:
                private = Path(file._private)
                assert private.exists() and not file.writable
                assert load_timeline(file).case.label == "label 20"
                assert file.view() == {}
            assert not private.exists()
        finally:
            folder.chmod(0o755)


def test_the_edit_the_tests_use_is_the_programs_own():
    """The hand-written JSON above is what the program writes."""
    assert json.loads(_event(1, "x").edit) == SetLabel("x").to_json()
