"""radmeasure report: every form of a case's record, whole or not at all."""

import csv
import io
import json

import pytest
from pypdf import PdfReader

from radmeasure.cli import main
from radmeasure.files.landmarks_json import read_landmarks
from radmeasure.files.shipped import shipped
from radmeasure.model.case import Chart
from radmeasure.model.edits import ChoosePlan, SetLabel, SetWorksheet, StartFrom
from radmeasure.workflow.session import Session

FILMS = (("ivy-plan", "filling check"), ("ivy-post", "post check"))


@pytest.fixture(scope="module")
def case(tmp_path_factory):
    """A post planned on one film and seen on the next."""
    path = tmp_path_factory.mktemp("report") / "ivy.radcase"
    with Session.create(path) as session:
        session.apply(SetLabel("Ivy"))
        for name, role in FILMS:
            landmarks = read_landmarks(shipped("sample_images", f"{name}.landmarks.json"))
            data = shipped("sample_images", f"{name}.dcm").read_bytes()
            entry = session.add_film(data, f"{name}.dcm", role)
            fdi = landmarks.tooth.fdi
            chart = Chart(landmarks)
            session.apply(StartFrom(session.case.with_chart(entry.film_id, fdi, chart)))
        session.apply(ChoosePlan(fdi, "depth_mm", 8.0))
        session.apply(SetWorksheet(fdi, "walls_left", 1))
    return path, fdi


def _pdf_text(path):
    pages = PdfReader(io.BytesIO(path.read_bytes())).pages
    text = "\n".join(page.extract_text() for page in pages)
    return " ".join(text.replace("\u00a0", " ").split())


def test_all_forms_at_once(case, tmp_path, capsys):
    path, fdi = case
    names = {"pdf": "r.pdf", "patient": "p.pdf", "chart": "c.svg", "csv": "r.csv", "json": "r.json"}
    options = [part for key, name in names.items() for part in (f"--{key}", str(tmp_path / name))]
    assert main(["report", str(path), *options]) == 0
    assert all((tmp_path / name).stat().st_size for name in names.values())
    said = capsys.readouterr().out
    assert all(name in said for name in names.values())
    films = json.loads((tmp_path / "r.json").read_text())
    assert [f["film"]["file"] for f in films] == ["ivy-plan.dcm", "ivy-post.dcm"]
    rows = list(csv.DictReader(io.StringIO((tmp_path / "r.csv").read_text())))
    assert {(r["film"], r["tooth"]) for r in rows} == {
        ("ivy-plan.dcm", fdi),
        ("ivy-post.dcm", fdi),
    }


def test_post_film_stands_beside_the_plan(case, tmp_path):
    """Ivy: seated about 7.6 of 8.0 mm planned, within error; the worksheet is printed once."""
    path, _ = case
    assert main(["report", str(path), "--pdf", str(tmp_path / "r.pdf"), "--quiet"]) == 0
    text = _pdf_text(tmp_path / "r.pdf")
    assert "Against the plan" in text
    assert "planned 8.0 mm: within error." in text
    assert "Chosen: 8.0 mm deep" in text
    assert text.count("Speaks for a post, core and crown") == 1


def test_chart_as_picture(case, tmp_path):
    from PIL import Image

    target = tmp_path / "c.png"
    assert main(["report", str(case[0]), "--chart", str(target), "--quiet"]) == 0
    with Image.open(target) as image:
        assert image.size == (960, 1560)


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ([], "no output asked for"),
        (["--chart", "c.gif"], "neither .svg nor .png"),
        (["--patient", "p.pdf", "--tooth", "36"], "36 is not charted"),
        (["--pdf", "no/such/folder/r.pdf"], "cannot be written"),
    ],
)
def test_refusals_write_nothing(case, tmp_path, monkeypatch, capsys, options, words):
    monkeypatch.chdir(tmp_path)
    assert main(["report", str(case[0]), *options]) == 2
    error = capsys.readouterr().err
    assert error.startswith("radmeasure: error: ") and words in error
    assert error.count("\n") == 1
    assert not list(tmp_path.iterdir())


def test_a_case_without_landmarks_has_no_record(tmp_path, capsys):
    path = tmp_path / "bare.radcase"
    with Session.create(path) as session:
        session.apply(SetLabel("bare"))
    assert main(["report", str(path), "--pdf", str(tmp_path / "r.pdf")]) == 2
    assert "nothing is charted" in capsys.readouterr().err


def test_what_is_no_case_is_refused(tmp_path, capsys):
    path = tmp_path / "x.radcase"
    path.write_bytes(b"not a case")
    assert main(["report", str(path), "--csv", str(tmp_path / "r.csv")]) == 2
    assert capsys.readouterr().err.startswith("radmeasure: error: ")


def test_reading_a_case_changes_nothing(case, tmp_path):
    path, _ = case
    before = path.read_bytes()
    assert main(["report", str(path), "--json", str(tmp_path / "r.json"), "--quiet"]) == 0
    assert path.read_bytes() == before


def test_a_case_of_one_film_before_treatment_is_reported(case, tmp_path):
    """The commonest case of all; the post plan follows nothing up."""
    path, fdi = case
    with Session.open(path, read_only=True) as session:
        film, chart = session.case.films[0], session.case.chart(session.case.films[0].film_id, fdi)
        data = session.film_bytes(film.film_id)
    with Session.create(tmp_path / "before.radcase") as session:
        entry = session.add_film(data, film.name, "before")
        session.apply(StartFrom(session.case.with_chart(entry.film_id, fdi, chart)))
    out = tmp_path / "r.pdf"
    assert main(["report", str(tmp_path / "before.radcase"), "--pdf", str(out), "--quiet"]) == 0
    assert fdi in _pdf_text(out)
