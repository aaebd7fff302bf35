"""Dialogs for files: where they open, and that they stop nothing."""

from pathlib import Path

import pytest
from PySide6.QtCore import QStandardPaths, Qt
from PySide6.QtWidgets import QFileDialog
from window_hands import SAMPLES


@pytest.fixture
def shown(monkeypatch):
    """The dialogs that were shown, newest last."""
    found = []
    monkeypatch.setattr(QFileDialog, "show", lambda dialog: found.append(dialog))
    return found


def folder(dialog):
    return Path(dialog.directory().absolutePath())


def test_they_open_where_a_person_keeps_files_then_in_the_folder_used_last(
    window, hands, shown, tmp_path, monkeypatch
):
    """Not where the program was started from, which is the program's own business."""
    documents = tmp_path / "documents"
    documents.mkdir()
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    monkeypatch.chdir(elsewhere)
    monkeypatch.setattr(QStandardPaths, "writableLocation", lambda _: str(documents))
    hands.open(SAMPLES / "alder.dcm")
    for name in ("open", "save_as", "save_copy", "write_pdf"):
        getattr(window, name)()
        dialog = shown[-1]
        assert folder(dialog) == documents, name
        assert dialog.windowModality() == Qt.WindowModality.NonModal
    used = tmp_path / "used"
    used.mkdir()
    dialog.setDirectory(str(used))
    dialog.accepted.emit()
    window.write_dicom()
    assert folder(shown[-1]) == used
    used.rmdir()  # a stick that was pulled out
    window.open()
    assert folder(shown[-1]) == documents
    for dialog in shown:
        dialog.close()


def test_a_case_with_films_is_not_called_new(window, hands):
    """Opened again another day it is anything but new."""
    assert "New case" in window.strip._words()
    hands.open(SAMPLES / "alder.dcm")
    assert "New case" not in window.strip._words()
