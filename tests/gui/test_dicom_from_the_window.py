"""DICOM objects from the window, with what was entered of the patient and nothing else."""

import pydicom
from PySide6.QtWidgets import QLineEdit
from window_hands import SAMPLES

from radmeasure.files.landmarks_json import read_landmarks
from radmeasure.model import edits
from radmeasure.model.case import Chart


def fields_of(page, label):
    found = page.page.findChildren(QLineEdit)
    return [f for f in found if f.accessibleName() == label and f.isVisible()]


def test_a_picture_file_becomes_dicom_with_what_was_entered(hands, tmp_path, qtbot):
    """Name, number, birth date and sex from the page of entries reach every object."""
    window = hands.window
    hands.open(str(SAMPLES / "birch.png"))
    desk = window.desk
    marks = read_landmarks(SAMPLES / "birch.landmarks.json")
    fdi = marks.tooth.fdi
    desk.apply(edits.StartFrom(desk.case.with_chart(desk.film_id, fdi, Chart(marks))))
    page = window.leaves.turn_to("entries")
    page.refresh()
    for label, text in (
        ("Name", "Sample^Ash"),
        ("Number", "S-7"),
        ("Born on", "1971-03-02"),
        ("Sex", "F"),
    ):
        qtbot.waitUntil(lambda label=label: len(fields_of(page, label)) == 1, timeout=2000)
        (field,) = fields_of(page, label)
        field.setFocus()
        qtbot.keyClicks(field, text)
        field.editingFinished.emit()
        page.refresh()
    assert dict(desk.case.identity)["number"] == "S-7"
    window.write_dicom_to(str(tmp_path / "out"))
    qtbot.waitUntil(lambda: not window.background.busy, timeout=30000)
    assert "DICOM objects written" in window.notice.text
    paths = sorted((tmp_path / "out").iterdir())
    kinds = {p.stem.split("-", 2)[2] for p in paths}
    assert kinds == {"film", "report", "presentation", "document", f"capture-{fdi}"}
    for path in paths:
        made = pydicom.dcmread(path)
        assert (made.PatientName, made.PatientID) == ("Sample^Ash", "S-7")
        assert (made.PatientBirthDate, made.PatientSex) == ("19710302", "F")
