"""A class marked from the window: beside the work, to be cancelled, with a word at the end."""

import json
from pathlib import Path

import pytest
from class_made import student, teacher
from PySide6.QtWidgets import QApplication, QFileDialog


@pytest.fixture
def school(tmp_path):
    folder = teacher(tmp_path / "films")
    student(folder, "ash", 1, 0.15, films=("birch", "cedar"))
    return folder


def test_the_menu_asks_for_folder_and_place_and_marks_beside(window, qtbot, school, monkeypatch):
    shown = []
    monkeypatch.setattr(QFileDialog, "show", lambda dialog: shown.append(dialog))
    window.commands["mark_class"].trigger()
    assert shown[0].fileMode() == QFileDialog.FileMode.Directory
    shown[0].fileSelected.emit(str(school))
    out = school.parent / "marked"
    shown[1].fileSelected.emit(str(out))
    marking = window.marking
    assert marking.isVisible() and not marking.isModal()
    assert QApplication.activeModalWidget() is None
    qtbot.waitUntil(lambda: marking.task is None, timeout=60000)
    assert window.notice.text == "Class marked, results in marked"
    assert json.loads((out / "class.json").read_text())["format"] == "radmeasure.class"
    assert "ash" in marking.summary.toPlainText() and str(out) in marking.words.text()
    assert marking.bar.isHidden() and marking.button.text() == "Close"
    marking.button.click()
    qtbot.waitUntil(lambda: window.marking is None, timeout=3000)
    for dialog in shown:
        dialog.close()


def test_what_could_not_be_marked_stays_in_sight(window, qtbot, school):
    (school / "ash" / "broken.json").write_text("{")
    window.mark_class_to(str(school), str(school.parent / "marked"))
    marking = window.marking
    qtbot.waitUntil(lambda: marking.task is None, timeout=60000)
    assert window.notice.text == "Class marked, results in marked; not marked: 1"
    assert window.notice.trouble
    assert "ash/broken.json" in marking.summary.toPlainText()


def test_cancelled_it_writes_nothing_and_the_work_goes_on(window, qtbot, school):
    out = school.parent / "marked"
    window.mark_class_to(str(school), str(out))
    window.marking.button.click()
    qtbot.waitUntil(lambda: window.notice.text != "", timeout=30000)
    assert window.notice.text == "Marking stopped"
    assert sorted(p.name for p in school.parent.iterdir() if p.is_dir()) == ["films"]
    qtbot.waitUntil(lambda: window.marking is None, timeout=3000)


def test_a_folder_without_films_is_said_in_the_notice(window, qtbot, tmp_path):
    (tmp_path / "empty").mkdir()
    window.mark_class_to(str(tmp_path / "empty"), str(tmp_path / "marked"))
    qtbot.waitUntil(lambda: window.notice.trouble, timeout=10000)
    assert "holds no film with its truth" in window.notice.text
    qtbot.waitUntil(lambda: window.marking is None, timeout=3000)
    assert not Path(tmp_path / "marked").exists()


def test_the_window_may_be_closed_meanwhile(window, qtbot, school):
    window.mark_class_to(str(school), str(school.parent / "marked"))
    window.close()
    assert not (school.parent / "marked").exists()
    assert not [p for p in school.parent.iterdir() if p.name.startswith(".radmeasure")]
