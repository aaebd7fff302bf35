"""Traps of the DICOM libraries met while writing objects; docs/films.md lists them all.

Each test fails when our handling is taken out (tried by taking it out, once for each).
Versions at hand: pydicom 3.0.2, highdicom 0.28.2.
"""

import io
import subprocess

import numpy as np
import planted
import pydicom
import pytest
from drawn_tooth import DrawnRoot, DrawnTooth
from made_films import code, dataset, file_bytes, teeth
from pydicom.sequence import Sequence

from radmeasure.errors import InputError
from radmeasure.files.film import read_film_bytes
from radmeasure.files.rulebook import read_rulebook
from radmeasure.model.landmarks import ROOT_LINES, Landmarks, Root
from radmeasure.model.tooth import Tooth
from radmeasure.reports import dicom_codes
from radmeasure.reports.dicom_sr import Charted
from radmeasure.workflow.dicom_out import dicom_objects, write_objects
from radmeasure.workflow.evaluate import evaluate

RULES = read_rulebook()
# What highdicom reads of the source without asking whether it is there.
WANTED = [
    "PatientName",
    "PatientID",
    "PatientBirthDate",
    "PatientSex",
    "StudyDate",
    "StudyTime",
    "StudyID",
    "AccessionNumber",
    "ReferringPhysicianName",
    "ImagerPixelSpacing",
    "PatientOrientation",
]
STATED = {
    "ImagerPixelSpacing": [0.02, 0.02],
    "PixelSpacing": [0.0187, 0.0187],
    "PixelSpacingCalibrationType": "FIDUCIAL",
    "PixelSpacingCalibrationDescription": "ball of 5 mm",
    "PatientOrientation": ["L", "F"],
    "ImageLaterality": "R",
}


def landmarks():
    return DrawnTooth(roots={"single": DrawnRoot()}).landmarks()


def few():
    """Two points: reports of them are written fast."""
    root = Root({"apex": (31.0, 900.0)})
    return Landmarks(Tooth("11"), (), {"coronal_reference": (30.0, 40.0)}, {"single": root})


def objects_of(marks=None, **attributes):
    """Objects of a film with these attributes, by file name, and what was evaluated."""
    pixels = np.full((1800, 1600), 900, np.uint16)
    film = read_film_bytes(file_bytes(dataset(pixels, 12, **attributes)), "film.dcm")
    marks = marks or few()
    evaluation = evaluate(marks, RULES, film.spacing, live=True)
    return dicom_objects(film, [Charted(marks, evaluation)], RULES, b"%PDF-1.4\n"), evaluation


@pytest.fixture(scope="module")
def stated():
    """Objects of a film that states a calibrated spacing beside its detector's pitch."""
    return objects_of(landmarks().with_scale(), **STATED)


def _items(dataset_):
    for item in dataset_.get("ContentSequence", ()):
        yield item
        yield from _items(item)


def test_the_image_library_states_the_spacing_the_readings_used(stated):
    """highdicom states Imager Pixel Spacing there even when a calibrated one was used."""
    objects, evaluation = stated
    spacing = {
        item.ConceptNameCodeSequence[0].CodeValue: item.MeasuredValueSequence[0].NumericValue
        for item in _items(objects["report.dcm"])
        if item.ValueType == "NUM"
        and item.ConceptNameCodeSequence[0].CodeValue in ("111026", "111066")
    }
    assert set(spacing) == {"111026", "111066"}  # horizontal, vertical pixel spacing (DCM)
    assert float(spacing["111026"]) == pytest.approx(evaluation.scale.across.value)
    assert float(spacing["111066"]) == pytest.approx(evaluation.scale.along.value)
    assert float(spacing["111066"]) == pytest.approx(0.0187, rel=1e-6)


@pytest.mark.parametrize("missing", WANTED)
def test_a_film_that_lacks_an_attribute_is_reported_all_the_same(missing, tmp_path):
    """highdicom raises AttributeError without any of these; nothing is invented for them."""
    full = dict.fromkeys(WANTED[:9], "") | STATED
    objects, _ = objects_of(**{**full, missing: None})
    write_objects(tmp_path, objects)
    for name in ("report", "presentation", "document"):
        written = pydicom.dcmread(tmp_path / f"{name}.dcm")
        assert not written.get(missing)


def test_the_presentation_states_spacing_and_side_as_the_standard_wants(stated):
    """highdicom always writes an aspect ratio 1:1, which excludes a spacing, and no side."""
    state = stated[0]["presentation.dcm"]
    area = state.DisplayedAreaSelectionSequence[0]
    assert "PresentationPixelAspectRatio" not in area
    assert [float(v) for v in area.PresentationPixelSpacing] == pytest.approx([0.0187] * 2)
    assert state.Laterality == "R"
    corners = (*area.DisplayedAreaTopLeftHandCorner, *area.DisplayedAreaBottomRightHandCorner)
    assert corners == (1, 1, 1600, 1800)  # whole pixels counted from 1 (PS3.3 C.10.4)


def test_the_presentation_counts_from_the_corner_of_the_first_pixel(stated):
    """Its PIXEL graphics have (0.5, 0.5) at the centre of ours (PS3.3 C.10.5.1.2)."""
    graphics = stated[0]["presentation.dcm"].GraphicAnnotationSequence[0].GraphicObjectSequence
    points = {tuple(g.GraphicData) for g in graphics if g.GraphicType == "POINT"}
    wanted = {
        (np.float32(v[0] + 0.5), np.float32(v[1] + 0.5))
        for _, name, v in landmarks().placed()
        if name not in ROOT_LINES
    }
    assert points == wanted


def test_landmark_regions_name_the_film_as_what_they_were_drawn_on(stated):
    """highdicom's other way writes INFERRED FROM under SCOORD, which the standard forbids."""
    regions = [i for i in _items(stated[0]["report.dcm"]) if i.ValueType == "SCOORD"]
    assert len(regions) == len(list(landmarks().placed()))
    for region in regions:
        (image,) = region.ContentSequence
        assert (image.ValueType, image.RelationshipType) == ("IMAGE", "SELECTED FROM")


def test_every_object_is_a_file_with_preamble(stated, tmp_path):
    """A new data set saved plainly lacks it, and no archive takes such a file (PS3.10 7.1)."""
    for path in write_objects(tmp_path, stated[0]):
        assert path.read_bytes()[128:132] == b"DICM"


def test_identifiers_are_nobody_elses(stated):
    """pydicom's own root would claim its owner's numbers; 2.25 needs no owner (PS3.5 B.2)."""
    for made in stated[0].values():
        assert made.SOPInstanceUID.startswith("2.25.")
        assert made.SeriesInstanceUID.startswith("2.25.")


def test_codes_fit_the_fields_they_stand_in():
    """A longer value goes elsewhere without a word; SH holds 16 characters (PS3.5 6.2)."""
    assert len(dicom_codes.SCHEME) <= 16
    for table in ("READINGS", "LANDMARKS", "ROOTS", "SIDES", "OTHERS"):
        for value, meaning in getattr(dicom_codes, table).values():
            assert len(value) <= 16
            assert len(meaning) <= 64
    assert dicom_codes.own(dicom_codes.OTHERS, "record").CodeValue == "C05"


@pytest.mark.parametrize("charset", ["ISO_IR 100", "ISO_IR 13", "ISO_IR 192", None])
def test_names_survive_the_film_s_own_character_set(charset, tmp_path):
    """Objects are in UTF-8 whatever the film is in; a name that is copied undecoded is not."""
    name = {"ISO_IR 100": "Müller^Änne", "ISO_IR 13": "ﾔﾏﾀﾞ^ﾀﾛｳ", "ISO_IR 192": "鈴木^Ö"}.get(
        charset, "Miller^Ann"
    )
    objects, _ = objects_of(SpecificCharacterSet=charset, PatientName=name)
    write_objects(tmp_path, objects)
    for path in tmp_path.iterdir():
        assert str(pydicom.dcmread(path).PatientName) == name


def test_a_film_names_its_jaw_and_tooth_once():
    """Exactly one of region modifier and structure (PS3.3 C.8.19.6, memory): both are errors."""
    film = dataset(**teeth(("SCT", "422653006")))
    region = code("70925003", "SCT")
    region.AnatomicRegionModifierSequence = Sequence([code("699453001", "SCT")])
    film.AnatomicRegionSequence = Sequence([region])
    from radmeasure.files.dicom_allowed import SECONDARY, allowed, storage_class

    assert storage_class(film, allowed(film, True)) == SECONDARY


def test_a_report_of_an_encapsulated_document_keeps_its_bytes(stated):
    """An odd length is padded; the length attribute gives the document back exactly."""
    made = stated[0]["document.dcm"]
    stream = io.BytesIO()
    made.save_as(stream, enforce_file_format=True)
    back = pydicom.dcmread(io.BytesIO(stream.getvalue()))
    assert back.EncapsulatedDocument[: back.EncapsulatedDocumentLength] == b"%PDF-1.4\n"
    assert len(back.EncapsulatedDocument) % 2 == 0


def test_a_landmark_off_the_film_is_named():
    """A line can be moved over the edge; highdicom raises an error of its own there."""
    off = few().with_placed("canal", ((30.0, 40.0), (31.0, 2000.0)), "single")
    with pytest.raises(InputError, match="canal"):
        objects_of(off)


def _clean(kind):
    """A film of a kind (SOP class) as a sensor writes it."""
    sop_class, modality, more = planted.IODS[kind]
    film = dataset(np.full((1000, 800), 900, np.uint16), 12, sop_class, modality, **more)
    film.AnatomicRegionSequence = Sequence([code("70925003", "SCT", "Maxilla")])
    film.PrimaryAnatomicStructureSequence = Sequence([code("422653006", "SCT", "Tooth 11")])
    return film


@pytest.mark.parametrize("kind", planted.IODS)
def test_objects_of_every_kind_of_film_keep_to_the_standard(kind, tmp_path):
    """dciodvfy: no error whatever class the film is of; dcmtk reads report and state."""
    film = read_film_bytes(file_bytes(_clean(kind)), "film.dcm")
    marks = few()
    evaluation = evaluate(marks, RULES, film.spacing, live=True)
    picture = {"11": np.zeros((40, 50, 3), np.uint8)}
    objects = dicom_objects(film, [Charted(marks, evaluation)], RULES, b"%PDF-1.4\n", picture)
    for path in write_objects(tmp_path, objects):
        checked = subprocess.run(
            ["dciodvfy", "-new", path], capture_output=True, text=True, errors="replace"
        )
        lines = (checked.stdout + checked.stderr).splitlines()
        assert not [line for line in lines if line.startswith("Error")], path.name
    for tool, name, words in (
        ("dsrdump", "report", "UNVERIFIED"),
        ("dcmpschk", "presentation", "Test passed"),
    ):
        said = subprocess.run([tool, tmp_path / f"{name}.dcm"], capture_output=True, text=True)
        assert words in said.stdout + said.stderr
