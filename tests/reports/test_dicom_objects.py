"""Our DICOM objects against the standard's checkers, and the way back in.

dciodvfy (dicom3tools), dsrdump, dcmpschk and dcm2pdf (dcmtk) are general-purpose tools;
.ci/setup installs them.
"""

import io
import json
import math
import shutil
import subprocess
from dataclasses import replace
from functools import cache

import numpy as np
import pydicom
import pytest
from damaged_films import damaged
from drawn_tooth import DrawnRoot, DrawnTooth
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from made_films import dataset, file_bytes
from PIL import Image

from radmeasure.errors import InputError
from radmeasure.files.film import read_film, read_film_bytes
from radmeasure.files.rulebook import read_rulebook
from radmeasure.files.sr_record import (
    film_record,
    read_sr_record,
    record_digest,
    record_text,
)
from radmeasure.model.case import FILM_ROLES, Case, Chart, FilmEntry, PlanChoice
from radmeasure.model.landmarks import (
    ROOT_LINES,
    ROOT_POINTS,
    TOOTH_POINTS,
    Landmarks,
    Root,
)
from radmeasure.model.tooth import Tooth
from radmeasure.reports import dicom_codes
from radmeasure.reports.dicom_source import source_of
from radmeasure.reports.dicom_sr import Charted, measurement_report
from radmeasure.workflow.dicom_in import case_of, rebuild
from radmeasure.workflow.dicom_out import dicom_objects, write_objects
from radmeasure.workflow.evaluate import evaluate
from radmeasure.workflow.measure import READING_IDS
from radmeasure.workflow.report import EvaluatedChart, _about, _charted

RULES = read_rulebook()
PDF = b"%PDF-1.4\n1 0 obj<</Type/Catalog>>endobj\ntrailer<</Root 1 0 R>>\n%%EOF\n"
LESION = tuple((800 + 60 * math.cos(t), 350 + 40 * math.sin(t)) for t in np.linspace(0, 6, 20))


def drawn():
    tooth = DrawnTooth(
        margin=(-1.0, -0.5),
        crest=(1.5, 2.0),
        roots={"single": DrawnRoot(post=(-3.0, 6.0), filling=(6.5, 12.0))},
    )
    return tooth.landmarks().with_placed("lesion", LESION, "single")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Objects of a DICOM film and of a PNG, written once."""
    base = tmp_path_factory.mktemp("objects")
    pixels = np.random.default_rng(0).integers(0, 4096, (1800, 1600)).astype(np.uint16)
    dataset(pixels, 12, PatientName="Sample^Ash", PatientID="S-2").save_as(
        base / "film.dcm", enforce_file_format=True
    )
    Image.fromarray(pixels * 16).save(base / "film.png")
    for name in ("film.dcm", "film.png"):
        film = read_film(base / name)
        landmarks = drawn()
        chart = Charted(landmarks, evaluate(landmarks, RULES), {"cusps_lost": 2})
        identity = {"name": "Sample^Oak", "number": "S-1", "birth_date": "1971-03-02", "sex": "f"}
        picture = np.zeros((40, 50, 3), np.uint8)
        objects = dicom_objects(film, [chart], RULES, PDF, {"11": picture}, "Reader One", identity)
        write_objects(base / name.replace(".", "-"), objects)
    return base


def tool(*words):
    done = subprocess.run(words, capture_output=True, text=True, errors="replace")
    return done.returncode, done.stdout + done.stderr


def written(folder):
    return sorted([*folder.glob("film-dcm/*.dcm"), *folder.glob("film-png/*.dcm")])


def test_the_checkers_are_installed():
    """Without them the tests below would show nothing."""
    for name in ("dciodvfy", "dsrdump", "dcmpschk", "dcm2pdf"):
        assert shutil.which(name), f"{name} is missing: run .ci/setup dev"


def test_no_object_breaks_the_standard(folder):
    """dciodvfy: zero errors; of the warnings only the private scheme's and DICOMDIR's."""
    paths = written(folder)
    assert {p.name for p in paths} == {
        "film.dcm",
        "report.dcm",
        "presentation.dcm",
        "document.dcm",
        "capture-11.dcm",
    }
    for path in paths:
        _, text = tool("dciodvfy", "-new", str(path))
        bad = [
            line
            for line in text.splitlines()
            if line.startswith(("Error", "Warning"))
            and "Unrecognized defined term = <99RADMEASURE>" not in line
            and f"Unrecognized defined term = <{dicom_codes.SCHEME_UID}>" not in line
            and "needed to build DICOMDIR" not in line
        ]
        assert not bad, (path.name, bad[:5])


def test_a_second_toolkit_reads_every_object(folder):
    for source in ("film-dcm", "film-png"):
        status, text = tool("dsrdump", str(folder / source / "report.dcm"))
        assert status == 0, text[-500:]
        _, text = tool("dcmpschk", str(folder / source / "presentation.dcm"))
        assert "Test passed" in text
        out = folder / "back.pdf"
        status, text = tool("dcm2pdf", str(folder / source / "document.dcm"), str(out))
        assert status == 0
        assert out.read_bytes().startswith(PDF)


def test_readings_carry_their_unit_and_interval(folder):
    """Every NUM has its reading's value, unit, and uncertainty in that same unit."""
    report = pydicom.dcmread(folder / "film-dcm" / "report.dcm")
    evaluation = evaluate(drawn(), RULES)
    wanted = [r for r in evaluation.readings if r.quantity is not None]
    found = list(_numbers(report))
    assert len(found) == len(wanted) > 60
    for reading, item in zip(wanted, found, strict=True):
        measured = item.MeasuredValueSequence[0]
        code, _ = dicom_codes.READINGS[reading.id]
        assert item.ConceptNameCodeSequence[0].CodeValue == code
        assert measured.FloatingPointValue == reading.quantity.value
        units = dicom_codes.UNITS[reading.unit][0]
        assert measured.MeasurementUnitsCodeSequence[0].CodeValue == units
        spread = [
            child.MeasuredValueSequence[0]
            for child in item.ContentSequence
            if child.ConceptNameCodeSequence[0].CodeValue in ("371886008", "371885007")
        ]
        assert {s.MeasurementUnitsCodeSequence[0].CodeValue for s in spread} == {units}
        low, high = reading.quantity.interval95
        total = sum(float(s.NumericValue) for s in spread)
        assert total == pytest.approx(high - low, rel=1e-6)


def _numbers(report):
    """NUM items that are readings, in order."""
    for item in report.ContentSequence:
        if item.ConceptNameCodeSequence[0].CodeValue == "126010":
            for group in item.ContentSequence:
                for child in group.ContentSequence:
                    concept = child.ConceptNameCodeSequence[0]
                    if child.ValueType == "NUM" and concept.CodeValue.startswith("R"):
                        yield child


def test_landmarks_count_from_the_pixels_corner(folder):
    """SCOORD: the centre of the first pixel is (0.5, 0.5) (PS3.3 C.18.6)."""
    report = pydicom.dcmread(folder / "film-dcm" / "report.dcm")
    apex = drawn().get("apex", "single")
    regions = [
        child.GraphicData
        for item in report.ContentSequence
        if item.ConceptNameCodeSequence[0].CodeValue == "126010"
        for group in item.ContentSequence
        for child in group.ContentSequence
        if child.ValueType == "SCOORD" and child.GraphicType == "POINT"
    ]
    assert [pytest.approx(v) for v in (apex[0] + 0.5, apex[1] + 0.5)] in [list(r) for r in regions]


def test_the_report_stays_unverified_and_names_the_rulebook(folder):
    report = pydicom.dcmread(folder / "film-dcm" / "report.dcm")
    assert report.VerificationFlag == "UNVERIFIED"
    texts = [str(i.TextValue) for i in report.ContentSequence if i.ValueType == "TEXT"]
    assert any(RULES.digest in text for text in texts)
    scheme = report.CodingSchemeIdentificationSequence[0]
    assert scheme.CodingSchemeUID == dicom_codes.SCHEME_UID


def test_a_report_is_verified_only_when_a_person_signs(tmp_path):
    """With name and organisation it is VERIFIED and FINAL, and still keeps to the standard."""
    film, _, evaluation = _empty_film()
    chart = Charted(evaluation.landmarks, evaluation)
    signed = dicom_objects(film, [chart], RULES, author="Reader One", signed_for="Sample Clinic")
    (path, *_) = write_objects(tmp_path, {"report.dcm": signed["report.dcm"]})
    report = pydicom.dcmread(path)
    assert (report.VerificationFlag, report.PreliminaryFlag) == ("VERIFIED", "FINAL")
    (signer,) = report.VerifyingObserverSequence
    assert (signer.VerifyingObserverName, signer.VerifyingOrganization) == (
        "Reader One^",
        "Sample Clinic",
    )
    assert not [line for line in tool("dciodvfy", "-new", str(path))[1].splitlines()
                if line.startswith("Error")]  # fmt: skip
    with pytest.raises(InputError, match="without a name"):
        dicom_objects(film, [chart], RULES, signed_for="Sample Clinic")


def test_objects_refer_to_the_film_and_leave_it_alone(folder):
    film = pydicom.dcmread(folder / "film.dcm")
    for name in ("report", "presentation", "document", "capture-11"):
        written_object = pydicom.dcmread(folder / "film-dcm" / f"{name}.dcm")
        assert written_object.StudyInstanceUID == film.StudyInstanceUID
        assert str(film.SOPInstanceUID) in str(written_object)
    assert not (folder / "film-dcm" / "film.dcm").exists()


def test_a_picture_file_becomes_dicom_with_nothing_invented(folder):
    made = pydicom.dcmread(folder / "film-png" / "film.dcm")
    assert made.PatientName == "Sample^Oak"
    assert (made.PatientID, made.PatientBirthDate, made.PatientSex) == ("S-1", "19710302", "F")
    assert made.StudyDate == ""
    assert "PixelSpacing" not in made
    assert np.array_equal(made.pixel_array, np.asarray(Image.open(folder / "film.png")))


def test_every_reading_and_landmark_has_a_code_of_its_own():
    assert set(dicom_codes.READINGS) == set(READING_IDS)
    names = {*TOOTH_POINTS, *ROOT_POINTS, *ROOT_LINES}
    assert set(dicom_codes.LANDMARKS) == names
    for table in (dicom_codes.READINGS, dicom_codes.LANDMARKS, dicom_codes.ROOTS):
        codes = [value for value, _ in table.values()]
        assert len(set(codes)) == len(codes)
        assert all(len(meaning) <= 64 for _, meaning in table.values())


def test_a_case_is_rebuilt_from_film_and_report(folder, tmp_path):
    report = folder / "film-dcm" / "report.dcm"
    with rebuild([report, folder / "film.dcm"], tmp_path / "back.radcase") as session:
        entry = session.case.films[0]
        assert session.case.charts[entry.film_id, "11"].landmarks == drawn()
        assert session.case.worksheets["11"]["cusps_lost"] == 2
        assert session.film_bytes(entry.film_id) == (folder / "film.dcm").read_bytes()


def test_a_report_of_another_film_is_refused(folder, tmp_path):
    other = tmp_path / "other.png"
    Image.fromarray(np.zeros((60, 50), np.uint8)).save(other)
    with pytest.raises(InputError, match="another film"):
        rebuild([other, folder / "film-dcm" / "report.dcm"], tmp_path / "x.radcase")
    with pytest.raises(InputError, match="not a structured report"):
        read_sr_record(folder / "film.dcm")


coordinate = st.floats(0, 2000, allow_nan=False, allow_subnormal=False)
place = st.tuples(coordinate, coordinate)
# Points that coincide are no line (the model refuses them).
line = st.lists(place, min_size=3, max_size=6).filter(
    lambda points: any(math.dist(points[0], p) > 1e-3 for p in points[1:])
)


@st.composite
def landmark_sets(draw):
    points = draw(st.dictionaries(st.sampled_from(TOOTH_POINTS), place, max_size=7))
    root_points = draw(st.dictionaries(st.sampled_from(ROOT_POINTS), place, max_size=9))
    lines = draw(st.dictionaries(st.sampled_from(ROOT_LINES), line, max_size=3))
    u = draw(st.dictionaries(st.sampled_from(TOOTH_POINTS), st.floats(0.01, 50), max_size=3))
    fdi = draw(st.sampled_from(["11", "25", "36", "48", "75"]))
    return Landmarks(
        Tooth(fdi), (), points, {"single": Root(root_points, lines)}, u, {"age_years": 41}
    )


@cache
def _empty_film():
    film = read_film_bytes(file_bytes(dataset(np.zeros((2001, 2001), np.uint8), 8)), "empty.dcm")
    source, _ = source_of(film, fdi="11")
    # Few readings: the record beside them is what comes back, and writing many takes long.
    points = {"coronal_reference": (30.0, 40.0)}
    landmarks = Landmarks(Tooth("11"), (), points, {"single": Root({"apex": (31.0, 900.0)})})
    return film, source, evaluate(landmarks, RULES, live=True)


_words = st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), max_size=20)
_plans = st.builds(
    PlanChoice,
    root=st.none() | st.just("single"),
    depth_mm=st.none() | st.floats(0.1, 20),
    size_name=st.none() | _words,
    seal_mm=st.none() | st.floats(0, 9),
    gain_mm=st.none() | st.floats(0, 6),
    post_kind=st.none() | st.sampled_from(["fibre", "cast", "none"]),
)
_entries = st.builds(
    FilmEntry,
    film_id=st.just("film-x"),
    name=_words,
    sha256=st.just(""),
    role=st.sampled_from(FILM_ROLES),
    visit=_words,
    turns=st.integers(0, 3),
    mirrored=st.booleans(),
)


@st.composite
def cases(draw, sha256):
    """A case of one film with one or two charted teeth."""
    film = replace(draw(_entries), sha256=sha256)
    marks = draw(st.lists(landmark_sets(), min_size=1, max_size=2, unique_by=lambda m: m.tooth.fdi))
    case = Case(draw(_words), (film,))
    for one in marks:
        fdi, accepted = one.tooth.fdi, {}
        if one.points:
            confidence = st.none() | st.floats(0, 1)
            accepted = draw(st.dictionaries(st.sampled_from(sorted(one.points)), confidence))
        case = case.with_chart(film.film_id, fdi, Chart(one, accepted=accepted))
        sheet = draw(st.dictionaries(_words, st.booleans() | st.integers() | _words, max_size=3))
        plan, recall = draw(_plans), draw(st.sampled_from(["", "2027-01-05"]))
        case = replace(
            case,
            worksheets={**case.worksheets, **({fdi: sheet} if sheet else {})},
            plans={**case.plans, **({fdi: plan} if plan != PlanChoice() else {})},
            recalls={**case.recalls, **({fdi: recall} if recall else {})},
        )
    return case


@settings(
    phases=(Phase.explicit, Phase.generate),
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)
@given(st.data())
def test_any_case_comes_back_from_film_and_report_equal(data):
    """Random cases out into a report's bytes and in again: equal to the last digit."""
    film, source, evaluation = _empty_film()
    case = data.draw(cases(film.sha256))
    charts = [EvaluatedChart(case.films[0], film, fdi, evaluation, case) for _, fdi in case.charts]
    charted = [_charted(chart) for chart in charts]
    about = _about(case, case.films[0])
    report = measurement_report(source, charted, RULES, film, "", about)
    stream = io.BytesIO()
    report.save_as(stream, enforce_file_format=True)
    record = film_record(pydicom.dcmread(io.BytesIO(stream.getvalue())))
    again, films = case_of([(film, record)])
    assert again == case
    assert films == [film.raw]


@pytest.mark.parametrize("damage", [("charts", None), ("film", {"role": "no role"}), ("film", 3)])
def test_a_damaged_record_is_refused_in_a_sentence(folder, damage, tmp_path):
    """A report of ours whose record was changed by others."""
    report = pydicom.dcmread(folder / "film-dcm" / "report.dcm")
    for item in report.ContentSequence:
        if item.ConceptNameCodeSequence[0].CodeValue == "C05":
            data = {**json.loads(item.TextValue), damage[0]: damage[1]}
            del data["sha256"]
            item.TextValue = record_text({**data, "sha256": record_digest(data)})
    with pytest.raises(InputError, match="landmark record of the report is damaged"):
        film_record(report)


def test_a_damaged_report_is_refused_or_gives_the_same_record(tmp_path, capfd):
    """200 damaged copies: a digit that was changed shows in the record's digest."""
    film, source, evaluation = _empty_film()
    charts = [Charted(evaluation.landmarks, evaluation)]
    path, refused = tmp_path / "r.dcm", 0
    report = measurement_report(source, charts, RULES, film)
    report.save_as(path, enforce_file_format=True)
    data, sound = path.read_bytes(), read_sr_record(path)
    for seed in range(200):
        path.write_bytes(damaged(data, f"report/{seed}"))
        try:
            assert read_sr_record(path).charts == sound.charts
        except InputError:
            refused += 1
    assert 50 < refused < 200
    assert capfd.readouterr() == ("", "")


def test_a_nameless_picture_file_gives_valid_objects(tmp_path):
    """Patient's Name is type 2 (PS3.3 C.7.1.1, read): empty when nobody entered one.

    dcmpschk asks for a name although the standard does not; it must have nothing else
    to say, and with a name the same state passes.
    """
    Image.fromarray(np.zeros((1800, 1600), np.uint8)).save(tmp_path / "film.png")
    landmarks = drawn()
    chart = Charted(landmarks, evaluate(landmarks, RULES, live=True))
    said = {}
    for name in ("", "Sample^Oak"):
        film = read_film(tmp_path / "film.png")
        objects = dicom_objects(film, [chart], RULES, identity={"name": name})
        assert objects["film.dcm"].PatientName == name
        write_objects(tmp_path / f"o{name[:1]}", objects)
        _, text = tool("dcmpschk", str(tmp_path / f"o{name[:1]}" / "presentation.dcm"))
        said[name] = [line for line in text.splitlines() if "Testing:" not in line]
    assert any("Test passed" in line for line in said["Sample^Oak"])
    only = [line for line in said[""] if line not in said["Sample^Oak"]]
    assert len(only) == 2
    assert "patientName absent or empty" in only[0]
    assert "Test failed" in only[1]
