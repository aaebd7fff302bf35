"""What a DICOM film says of itself, in the running window: offered, noted, never taken silently."""

import numpy as np
import pytest
from drawn_tooth import DrawnRoot, DrawnTooth
from made_films import dataset, file_bytes, picture, teeth
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton

from radmeasure.model import edits
from radmeasure.model.case import Chart
from radmeasure.model.landmarks import Detector
from radmeasure.workflow import report
from radmeasure.workflow.session import Session

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def opened(hands, tmp_path):
    """``opened(**attributes)`` puts a film with these attributes on the desk."""

    def open_(name="film.dcm", pixels=None, **attributes):
        path = tmp_path / name
        film = dataset(picture(600, 450) if pixels is None else pixels, **attributes)
        path.write_bytes(file_bytes(film))
        hands.open(str(path))
        return hands.window

    return open_


def entries_of(window):
    """The page of entries, shown: its words and its buttons."""
    page = window.leaves.turn_to("entries")
    page.refresh()
    words = [w.accessibleName() for w in page.page.findChildren(object) if hasattr(w, "text")]
    return words, {b.text(): b for b in page.page.findChildren(QPushButton)}


def buttons_of(window):
    """Buttons of the next line."""
    return [b for b in window.next_line.findChildren(QPushButton) if b.isVisible()]


def test_a_stated_magnification_is_offered_and_never_applied(opened, qtbot):
    """Until the button is pressed the scale is the pitch over the usual magnification."""
    window = opened(
        ImagerPixelSpacing=[0.02, 0.02],
        EstimatedRadiographicMagnificationFactor="1.12",
        **teeth(("SCT", "422653006")),
    )
    assert "1.12" in window.notice.text
    assert "not applied" in window.notice.text
    window.desk.place("coronal_reference", None, (200.0, 80.0))
    window.desk.place("apex", "single", (210.0, 500.0))
    qtbot.waitUntil(lambda: window.desk.settled, timeout=10000)
    assert window.desk.chart.landmarks.scale == ()
    assert window.desk.evaluation.scale.across.value == pytest.approx(0.02 / 1.05)
    assert any("1.12" in note for note in window.desk.evaluation.scale.notes)
    _, buttons = entries_of(window)
    (offer,) = [b for text, b in buttons.items() if "1.12" in text]
    qtbot.mouseClick(offer, LEFT)
    (entry,) = window.desk.chart.landmarks.scale
    assert isinstance(entry, Detector)
    assert (entry.mm_per_px, entry.magnification) == (pytest.approx(0.02), 1.12)
    qtbot.waitUntil(lambda: window.desk.settled, timeout=10000)
    assert window.desk.evaluation.scale.across.value == pytest.approx(0.02 / 1.12)
    assert not [text for text in entries_of(window)[1] if "1.12" in text]


@pytest.mark.parametrize(
    ("scheme", "value", "fdi"),
    [
        ("SCT", "422653006", "11"),
        ("SRT", "T-54282", "11"),  # older code of the same tooth
        ("SCT", "22120004", "11"),  # before 2021: either dentition
    ],
)
def test_the_tooth_a_film_names_is_taken_up_and_said(opened, scheme, value, fdi):
    """Old and new codes; nothing stands in the case before something is placed."""
    window = opened(**teeth((scheme, value)))
    assert window.desk.tooth == fdi
    assert f"tooth {fdi}" in window.notice.text
    assert ("older code" in window.notice.text) == (value == "22120004")
    assert not window.desk.case.charts


def test_of_several_teeth_one_is_chosen(opened, qtbot):
    """A film of two teeth asks which; a button of the next line answers."""
    codes = ("422653006", "424399000")
    window = opened(**teeth(*(("SCT", code) for code in codes)))
    named = window.desk.film.tooth_fdi
    assert len(named) == 2
    assert window.desk.tooth == ""
    buttons = buttons_of(window)
    assert [b.text() for b in buttons] == [f"tooth {fdi}" for fdi in named]
    qtbot.mouseClick(buttons[1], LEFT)
    assert window.desk.tooth == named[1]


def test_the_date_of_exposure_gives_the_visit(opened):
    window = opened(AcquisitionDate="20260704")
    assert window.desk.entry.visit == "2026-07-04"
    opened("second.dcm", picture(600, 450, seed=2), AcquisitionDate=None, StudyDate="20260808")
    assert window.desk.entry.visit == "2026-08-08"


def test_the_film_is_shown_the_way_it_says(opened):
    """An upside-down film is turned; landmarks keep to the stored pixels."""
    window = opened(PatientOrientation=["R", "H"], ImageLaterality="R")
    assert (window.desk.entry.turns, window.desk.entry.mirrored) == (2, False)
    assert "upside down" in window.notice.text


def test_a_contradiction_in_the_spacing_is_downgraded_with_a_message(opened):
    """A claimed calibration whose spacing is the detector's own counts as uncorrected."""
    window = opened(
        ImagerPixelSpacing=[0.02, 0.02],
        PixelSpacing=[0.02, 0.02],
        PixelSpacingCalibrationType="FIDUCIAL",
        PixelSpacingCalibrationDescription="ball",
    )
    assert "taken as uncorrected" in window.notice.text
    assert window.desk.film.spacing.basis == "detector"
    words, _ = entries_of(window)
    assert any("taken as uncorrected" in w for w in words)
    assert any("not corrected for magnification" in w for w in words)


def test_a_refused_spacing_gives_no_millimetres_and_says_why(opened, qtbot):
    window = opened(
        ImagerPixelSpacing=[0.02, 0.02], PixelSpacing=[0.03, 0.03], **teeth(("SCT", "422653006"))
    )
    window.desk.place("coronal_reference", None, (200.0, 80.0))
    window.desk.place("apex", "single", (210.0, 500.0))
    qtbot.waitUntil(lambda: window.desk.settled, timeout=10000)
    assert window.desk.evaluation.scale.along is None
    assert any("diverging beam cannot give" in w for w in entries_of(window)[0])


def test_a_spacing_of_unknown_basis_waits_for_a_person(opened, qtbot):
    """No millimetres until somebody says what the spacing is; the next line offers both."""
    window = opened(PixelSpacing=[0.03, 0.03], **teeth(("SCT", "422653006")))
    window.desk.place("coronal_reference", None, (200.0, 80.0))
    window.desk.place("apex", "single", (210.0, 500.0))
    qtbot.waitUntil(lambda: window.desk.settled, timeout=10000)
    assert window.desk.evaluation.scale.along is None
    window.desk.choose("scale")
    qtbot.waitUntil(lambda: len(buttons_of(window)) == 2, timeout=2000)
    buttons = buttons_of(window)
    qtbot.mouseClick(buttons[1], LEFT)
    (entry,) = window.desk.chart.landmarks.scale
    assert (entry.mm_per_px, entry.magnification) == (pytest.approx(0.03), 1.0)


@pytest.fixture
def reported(tmp_path):
    """A charted film with its structured report beside it; the case."""
    folder = tmp_path / "archive"
    folder.mkdir()
    data = file_bytes(dataset(np.full((1800, 1600), 1500, np.uint16), 12))
    (folder / "film.dcm").write_bytes(data)
    with Session.create(tmp_path / "first.radcase") as session:
        entry = session.add_film(data, "film.dcm", "post check", "2026-03-01")
        chart = Chart(DrawnTooth(roots={"single": DrawnRoot()}).landmarks())
        session.apply(edits.StartFrom(session.case.with_chart(entry.film_id, "11", chart)))
        session.apply(edits.ChoosePlan("11", "depth_mm", 7.7))
        report.write_dicom(folder, report.evaluated_charts(session))
        case = session.case
    return folder, case


@pytest.mark.parametrize("named", ["report", "report and film", "film on the desk"])
def test_a_report_opens_as_the_case_it_was_written_from(reported, hands, named, tmp_path):
    """Beside its film, named with it, or with the film on show: equal to the last digit."""
    folder, case = reported
    (path,) = folder.glob("*report.dcm")
    if named == "film on the desk":
        hands.open(str(folder / "film.dcm"))
        path = path.rename(tmp_path / "alone.dcm")
    files = [folder / "film.dcm", path] if named == "report and film" else [path]
    hands.open(*map(str, files))
    desk = hands.window.desk
    assert desk.case == case
    assert desk.film_id == case.films[0].film_id
    assert desk.session.automatic
    assert "structured report" in hands.window.notice.text


def test_a_report_without_its_film_says_so(reported, hands, tmp_path):
    folder, _ = reported
    (path,) = folder.glob("*report.dcm")
    alone = tmp_path / "nowhere"
    alone.mkdir()
    path = path.rename(alone / "r.dcm")
    before = hands.window.desk.session
    hands.open(str(path))
    assert hands.window.desk.session is before
    assert "another film" in hands.window.notice.text
