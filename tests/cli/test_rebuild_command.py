"""radmeasure rebuild: out with report --dicom, back in from the films and reports alone."""

import json

import pytest

from radmeasure.cli import main
from radmeasure.files.landmarks_json import read_landmarks
from radmeasure.files.shipped import shipped
from radmeasure.model import edits
from radmeasure.model.case import Chart
from radmeasure.workflow.session import Session

FILMS = (("ivy-plan.dcm", "filling check"), ("ivy-post.dcm", "post check"))


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    """A case of two DICOM films and a PNG, its reports, and the case's content."""
    folder = tmp_path_factory.mktemp("rebuild")
    with Session.create(folder / "case.radcase") as session:
        for name, role in (*FILMS, ("birch.png", "recall")):
            data = shipped("sample_images", name).read_bytes()
            entry = session.add_film(data, name, role, f"2026-0{1 + len(session.case.films)}-01")
            stem = name.split(".")[0]
            marks = read_landmarks(shipped("sample_images", f"{stem}.landmarks.json"))
            chart = Chart(
                marks, accepted={"crest_mesial": 0.9} if "crest_mesial" in marks.points else {}
            )
            session.apply(
                edits.StartFrom(session.case.with_chart(entry.film_id, marks.tooth.fdi, chart))
            )
            (folder / name).write_bytes(data)
        fdi = session.case.teeth[0]
        session.apply(edits.SetLabel("Ivy"))
        session.apply(edits.ChoosePlan(fdi, "depth_mm", 8.1))
        session.apply(edits.SetWorksheet(fdi, "walls_left", 1))
        session.apply(edits.SetRecall(fdi, "2027-01-05"))
        session.apply(edits.SetOrientation(entry.film_id, 1, True))
        case = session.case
    assert (
        main(["report", str(folder / "case.radcase"), "--dicom", str(folder / "out"), "--quiet"])
        == 0
    )
    return folder, case


def _reports(folder):
    return sorted(map(str, (folder / "out").glob("*report.dcm")))


def test_a_whole_case_comes_back(written, tmp_path, capsys):
    """Films, charts, plan, worksheet, recall, label: equal; readings too, digit for digit."""
    folder, case = written
    films = [str(folder / name) for name in ("birch.png", "ivy-post.dcm", "ivy-plan.dcm")]
    out = tmp_path / "back.radcase"
    assert main(["rebuild", *_reports(folder), *films, "--out", str(out)]) == 0
    assert "films: 3" in capsys.readouterr().out
    with Session.open(out, read_only=True) as session:
        assert session.case == case
    texts = []
    for path in (folder / "case.radcase", out):
        main(["report", str(path), "--json", str(tmp_path / "r.json"), "--quiet"])
        texts.append(json.loads((tmp_path / "r.json").read_text()))
    assert texts[0] == texts[1]


def test_the_film_beside_a_report_is_found(written, tmp_path):
    """The picture that became DICOM lies beside its report; landmarks are the same."""
    folder, case = written
    last = case.films[-1]
    report = folder / "out" / f"{last.film_id}-report.dcm"
    out = tmp_path / "back.radcase"
    assert main(["rebuild", str(report), "--out", str(out), "--quiet"]) == 0
    with Session.open(out, read_only=True) as session:
        (entry,) = session.case.films
        assert (entry.role, entry.visit, entry.turns, entry.mirrored) == (
            "recall",
            "2026-03-01",
            1,
            True,
        )
        ((key, chart),) = session.case.charts.items()
        assert chart == case.charts[last.film_id, key[1]]


@pytest.mark.parametrize(
    "files", [["ivy-plan.dcm"], ["out/report"], ["ivy-post.dcm", "out/report"]]
)
def test_what_does_not_belong_together_is_refused(written, files, tmp_path, capsys):
    """No report, no film, or another film: one line, and no case file."""
    folder, case = written
    alone = tmp_path / "alone"
    alone.mkdir()
    report = alone / "report.dcm"
    report.write_bytes((folder / "out" / f"{case.films[0].film_id}-report.dcm").read_bytes())
    named = [str(report) if name == "out/report" else str(folder / name) for name in files]
    assert main(["rebuild", *named, "--out", str(tmp_path / "x.radcase")]) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert "report" in said
    assert not (tmp_path / "x.radcase").exists()
