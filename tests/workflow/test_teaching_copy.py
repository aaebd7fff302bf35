"""The teaching copy carries nothing of the person, and all of the tooth.

What the basic profile removes is checked against DICOM PS3.15 Table E.1-1 in
tests/files/test_dicom_allowed.py; the objects by dciodvfy (dicom3tools).
"""

import io
import json
import subprocess

import numpy as np
import planted
import pydicom
import pytest
from drawn_tooth import DrawnRoot, DrawnTooth
from made_films import dataset, file_bytes
from PIL import Image, ImageDraw
from planted import Words, found_in

from radmeasure.cli import main
from radmeasure.files.film import read_film, read_film_bytes
from radmeasure.files.landmarks_json import read_landmarks
from radmeasure.files.rulebook import read_rulebook
from radmeasure.model import edits
from radmeasure.model.case import Chart
from radmeasure.model.landmarks import Landmarks, Root
from radmeasure.model.tooth import Tooth
from radmeasure.workflow.evaluate import evaluate
from radmeasure.workflow.session import Session
from radmeasure.workflow.teaching_copy import without_identity, write_teaching_copy

KINDS = {
    **{kind: lambda w, k=kind: planted.planted_dicom(k, w) for kind in planted.IODS},
    "intra-oral, coded": lambda w: planted.planted_dicom("intra-oral", w, "jpeg lossless"),
    "png": planted.planted_png,
    "jpeg": planted.planted_jpeg,
    "tiff": planted.planted_tiff,
}


def _case(folder, film, words, monkeypatch):
    """A case whose every free field holds an identifier."""
    own = folder / "own"
    own.mkdir()
    monkeypatch.setenv("RADMEASURE_DATA", str(own))
    source = f'[filling.length]\nsource = "{words()}"\n'
    (own / "rulebook.toml").write_text(source)
    size = words()
    (own / "posts.toml").write_text(f'[[post]]\nname = "{size}"\ntip_mm = 1.1\n')
    tooth = Landmarks(
        Tooth("11"),
        (),
        {"coronal_reference": (30.0, 5.0)},
        {"single": Root({"apex": (32.0, 85.0), "filling_apical": (32.0, 75.0)})},
        given={"age_years": 83.0},
        left_out={"orifice": words()},
    )
    path = folder / "case.radcase"
    with Session.create(path, author=words()) as session:
        session.apply(edits.SetLabel(words()))
        session.apply(edits.SetLabel(words()))  # the first one stays in the journal
        entry = session.add_film(film, f"{words()} {words()}.dcm", "before", words())
        for field in ("name", "birth_date", "number", "sex"):
            session.apply(edits.SetIdentity(field, words()))
        session.apply(edits.SetWorksheet("11", words(), words()))
        chart = Chart(tooth)
        session.apply(edits.StartFrom(session.case.with_chart(entry.film_id, "11", chart)))
        session.apply(edits.ChoosePlan("11", "size_name", size))
    return path


@pytest.mark.parametrize("kind", KINDS)
def test_no_planted_identifier_gets_into_the_copy(kind, quick_folder, monkeypatch, capfd):
    """At least 40 words in film and case; none in the copy's bytes, names or messages."""
    words = Words()
    film = KINDS[kind](words)
    case = _case(quick_folder, film, words, monkeypatch)
    assert len(words.given) >= 40
    own = [p.read_bytes() for p in (quick_folder / "own").iterdir() if p.is_file()]
    assert found_in([film, case.read_bytes(), *own], words.given) == words.given
    out = quick_folder / "copy"
    capfd.readouterr()
    assert main(["export", str(case), "--out", str(out), "--pixels-checked"]) == 0
    said = "".join(capfd.readouterr())
    names = "\n".join(path.name for path in out.rglob("*"))
    blobs = [path.read_bytes() for path in out.rglob("*")]
    assert len(blobs) == 5
    assert found_in([*blobs, names.encode(), said.encode()], words.given) == []
    header = pydicom.dcmread(out / "film-1.dcm")
    old = [read_film_bytes(film, "x").sha256, "19511203", "20260102", *_instances(film)]
    assert found_in(blobs, old) == []
    assert header.PatientIdentityRemoved == "YES"


def _instances(film):
    """UIDs of study, series and image of a DICOM film."""
    if film[128:132] != b"DICM":
        return []
    header = pydicom.dcmread(io.BytesIO(film))
    return [header.StudyInstanceUID, header.SeriesInstanceUID, header.SOPInstanceUID]


@pytest.mark.parametrize("kind", KINDS)
def test_the_copy_shows_and_measures_the_same(kind, quick_folder, monkeypatch):
    """Pixels, grey levels, spacing, tooth and readings are those of the original."""
    words = Words()
    film = KINDS[kind](words)
    case = _case(quick_folder, film, words, monkeypatch)
    main(["export", str(case), "--out", str(quick_folder / "c"), "--pixels-checked", "--quiet"])
    before, after = read_film_bytes(film, "film"), read_film(quick_folder / "c" / "film-1.dcm")
    assert np.array_equal(before.pixels, after.pixels)
    assert np.array_equal(before.default_table, after.default_table)
    assert (before.bits, before.spacing) == (after.bits, after.spacing)
    assert before.tooth_fdi == after.tooth_fdi
    assert (before.turns, before.mirrored) == (after.turns, after.mirrored)
    picture = read_film(quick_folder / "c" / "film-1.png")
    shift = 8 * before.pixels.dtype.itemsize - before.bits
    assert np.array_equal(picture.pixels, before.pixels << shift)
    marks = read_landmarks(quick_folder / "c" / "film-1-tooth-11.landmarks.json")
    readings = json.loads((quick_folder / "c" / "film-1-tooth-11.readings.json").read_text())
    values = [r.get("value") for r in readings["readings"]]
    again = evaluate(marks, read_rulebook(), before.spacing)
    wanted = [r.quantity and float(f"{r.quantity.value:.6g}") for r in again.readings]
    assert values == wanted
    assert readings["film"]["sha256"] == after.sha256


@pytest.mark.parametrize("kind", KINDS)
def test_the_copy_keeps_to_the_standard(kind, quick_folder, monkeypatch):
    """dciodvfy: no error; a side nobody knows is left empty, which it points out."""
    words = Words()
    case = _case(quick_folder, KINDS[kind](words), words, monkeypatch)
    main(["export", str(case), "--out", str(quick_folder / "c"), "--pixels-checked", "--quiet"])
    checked = subprocess.run(
        ["dciodvfy", "-new", str(quick_folder / "c" / "film-1.dcm")],
        capture_output=True,
        text=True,
        errors="replace",
    )
    bad = [
        line
        for line in (checked.stdout + checked.stderr).splitlines()
        if line.startswith(("Error", "Warning")) and "DICOMDIR" not in line
    ]
    # A capture with the detector's pitch is an extended object: PS3.4 allows it, dciodvfy notes it.
    extended = "ImagerPixelSpacing(0018,1164)> - Attribute is not present in standard DICOM IOD"
    assert [line for line in bad if extended not in line] == []


@pytest.mark.parametrize("kind", ["png", "jpeg", "intra-oral"])
def test_the_picture_holds_pixels_and_nothing_else(kind, quick_folder, monkeypatch):
    """Chunks of the PNG (ISO 15948): header, data, end."""
    words = Words()
    case = _case(quick_folder, KINDS[kind](words), words, monkeypatch)
    main(["export", str(case), "--out", str(quick_folder / "c"), "--pixels-checked", "--quiet"])
    data, at, chunks = (quick_folder / "c" / "film-1.png").read_bytes(), 8, []
    while at < len(data):
        chunks.append(data[at + 4 : at + 8])
        at += 12 + int.from_bytes(data[at : at + 4], "big")
    assert set(chunks) == {b"IHDR", b"IDAT", b"IEND"}
    assert at == len(data)


@pytest.fixture
def two_films(tmp_path):
    """A case of two films of one study, with a name burned into the first."""
    first = dataset(np.zeros((60, 80), np.uint16) + 900)
    image = Image.new("I", (80, 60), 900)
    ImageDraw.Draw(image).text((4, 4), "ANN", fill=4000)
    first.PixelData = np.asarray(image).astype("<u2").tobytes()
    second = dataset(np.zeros((60, 80), np.uint16) + 800, AcquisitionDate="20260709")
    second.StudyInstanceUID = first.StudyInstanceUID
    path = tmp_path / "two.radcase"
    with Session.create(path) as session:
        for i, film in enumerate((first, second)):
            session.add_film(file_bytes(film), f"{i}.dcm", visit=("2026-01-02", "2026-07-09")[i])
    return path, tmp_path


def test_nothing_is_written_before_a_person_has_looked(two_films, capsys):
    """Neither without a word on the pixels nor with masks for one film of two."""
    case, folder = two_films
    masks = folder / "m.json"
    masks.write_text(
        json.dumps({"format": "radmeasure.masks", "version": 1, "films": {"0.dcm": []}})
    )
    for more in ((), ("--masks", str(masks))):
        assert main(["export", str(case), "--out", str(folder / "out"), *more]) == 2
        said = capsys.readouterr()
        assert said.out == ""
        assert said.err.count("\n") == 1
        assert "--pixels-checked" in said.err
        assert not (folder / "out").exists()
    assert not list(folder.glob(".teaching*"))


def test_masks_blank_what_is_burned_in(two_films):
    """The box is black in both copies of the film, the rest and the other film untouched."""
    case, folder = two_films
    masks = folder / "m.json"
    films = {"0.dcm": [[0, 0, 40, 20]], "1.dcm": []}
    masks.write_text(json.dumps({"format": "radmeasure.masks", "version": 1, "films": films}))
    assert main(["export", str(case), "--out", str(folder / "out"), "--masks", str(masks)]) == 0
    dicom = read_film(folder / "out" / "film-1.dcm").pixels
    picture = read_film(folder / "out" / "film-1.png").pixels
    with Session.open(case, read_only=True) as session:
        original = session.film(session.case.films[0].film_id).pixels
    assert original[:20, :40].max() > 900  # the name was there
    for pixels in (dicom, picture >> 4):
        assert not pixels[:20, :40].any()
        assert np.array_equal(pixels[20:], original[20:])
        assert np.array_equal(pixels[:, 40:], original[:, 40:])
    assert np.unique(read_film(folder / "out" / "film-2.dcm").pixels).tolist() == [800]


@pytest.mark.parametrize(
    ("films", "words"),
    [
        ({"9.dcm": []}, "no film of the case"),
        ({"0.dcm": [[0, 0, 0, 5]], "1.dcm": []}, "films '0.dcm'[0]"),
        ({"0.dcm": [[0.5, 0, 4, 5]], "1.dcm": []}, "whole px"),
        ({"0.dcm": [[90, 0, 4, 5]], "1.dcm": []}, "lies off"),
        ({"0.dcm": 3, "1.dcm": []}, "list of boxes"),
    ],
)
def test_a_wrong_mask_is_named(two_films, films, words, capsys):
    case, folder = two_films
    masks = folder / "m.json"
    masks.write_text(json.dumps({"format": "radmeasure.masks", "version": 1, "films": films}))
    assert main(["export", str(case), "--out", str(folder / "out"), "--masks", str(masks)]) == 2
    assert words in capsys.readouterr().err
    assert not (folder / "out").exists()
    assert not list(folder.glob(".teaching*"))


def test_identifiers_are_keyed_and_agree_over_the_case(two_films):
    """Films of one study stay in one study; the same case gives the same UIDs, others do not."""
    case, folder = two_films
    for name in ("a", "b"):
        main(["export", str(case), "--out", str(folder / name), "--pixels-checked", "--quiet"])
    first, second, again = (
        pydicom.dcmread(folder / p) for p in ("a/film-1.dcm", "a/film-2.dcm", "b/film-1.dcm")
    )
    assert first.StudyInstanceUID == second.StudyInstanceUID
    assert first.SeriesInstanceUID != second.SeriesInstanceUID
    assert first.PatientID == second.PatientID
    assert first.SOPInstanceUID == again.SOPInstanceUID
    assert first.file_meta.MediaStorageSOPInstanceUID == first.SOPInstanceUID
    with Session.open(case, read_only=True) as one, Session.create(folder / "x.radcase") as other:
        data = one.film_bytes(one.case.films[0].film_id)
        other.add_film(data, "0.dcm")
        write_teaching_copy(other, folder / "c", {other.case.films[0].film_id: ()})
    elsewhere = pydicom.dcmread(folder / "c" / "film-1.dcm")
    for keyword in ("StudyInstanceUID", "SeriesInstanceUID", "SOPInstanceUID", "PatientID"):
        assert elsewhere[keyword].value != first[keyword].value


def test_dates_are_removed_or_all_shifted_alike(two_films):
    case, folder = two_films
    for name, how in (("removed", ()), ("shifted", ("--dates", "shifted"))):
        out = str(folder / name)
        main(["export", str(case), "--out", out, "--pixels-checked", "--quiet", *how])
    removed = pydicom.dcmread(folder / "removed" / "film-1.dcm")
    assert removed.StudyDate == ""
    assert "AcquisitionDate" not in removed
    assert removed.LongitudinalTemporalInformationModified == "REMOVED"
    films = [read_film(folder / "shifted" / f"film-{n}.dcm") for n in (1, 2)]
    dates = [np.datetime64(f.acquired) for f in films]
    assert (dates[1] - dates[0]).astype(int) == 188  # 2 January to 9 July
    assert 365 <= (np.datetime64("2026-01-02") - dates[0]).astype(int) < 365 + 3650
    header = pydicom.dcmread(folder / "shifted" / "film-1.dcm")
    assert header.LongitudinalTemporalInformationModified == "MODIFIED"
    codes = [c.CodeValue for c in header.DeidentificationMethodCodeSequence]
    assert codes == ["113100", "113101", "113107"]  # CID 7050
    listed = json.loads((folder / "shifted" / "contents.json").read_text())["films"]
    assert [f["date"] for f in listed] == [f.acquired for f in films]
    assert [f["visit"] for f in listed] == [1, 2]


def test_a_folder_in_use_is_left_alone(two_films, capsys):
    case, folder = two_films
    (folder / "out").mkdir()
    (folder / "out" / "mine.txt").write_text("mine")
    assert main(["export", str(case), "--out", str(folder / "out"), "--pixels-checked"]) == 2
    assert "holds files already" in capsys.readouterr().err
    assert [p.name for p in (folder / "out").iterdir()] == ["mine.txt"]


@pytest.mark.parametrize("name", ["x" * 300, "two.radcase", "two.radcase/below"])
def test_a_place_that_cannot_be_is_refused_in_one_line(two_films, name, capsys):
    case, folder = two_films
    before = sorted(p.name for p in folder.iterdir())
    assert main(["export", str(case), "--out", str(folder / name), "--pixels-checked"]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith("radmeasure: error: ")
    assert said.err.count("\n") == 1
    assert sorted(p.name for p in folder.iterdir()) == before


def test_a_film_that_cannot_be_read_stops_the_copy_whole(tmp_path, capsys):
    """No half copy stays behind."""
    good, bad = file_bytes(dataset()), file_bytes(dataset())[:-400]
    path = tmp_path / "case.radcase"
    with Session.create(path) as session:
        session.add_film(good, "good.dcm")
        session.add_film(bad, "bad.dcm")
    assert main(["export", str(path), "--out", str(tmp_path / "out"), "--pixels-checked"]) == 2
    assert "bad.dcm" in capsys.readouterr().err
    assert sorted(p.name for p in tmp_path.iterdir()) == ["case.radcase"]


def test_landmarks_lose_age_and_free_words_only():
    marks = DrawnTooth(roots={"single": DrawnRoot()}).landmarks().with_given("age_years", 83.0)
    clean = without_identity(marks)
    assert "age_years" not in clean.given
    assert clean == marks.with_given("age_years", None)
