"""The demo and the report command, end to end on the shipped sample."""

import json

import pytest

from radmeasure.cli import main
from radmeasure.workflow.session import Session


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo")
    assert main(["demo", "--out", str(folder), "--quiet"]) == 0
    return folder


def test_the_demo_leaves_case_readings_and_record(demo):
    names = {p.name for p in demo.iterdir()}
    assert {"cedar.radcase", "cedar.readings.json", "cedar.pdf"} <= names
    assert (demo / "cedar.pdf").read_bytes().startswith(b"%PDF-")
    with Session.open(demo / "cedar.radcase", read_only=True) as session:
        assert session.case.label == "Cedar"
        assert len(session.case.films) == 1


def test_the_sample_gives_the_plan_it_was_drawn_for(demo):
    """Root 13 mm filled to 0.4 mm of the apex: 5 mm of seal leave 8.0 mm; the crown wants 10.5.

    The seal is Morgano 1996 / Ricketts 2005 (read), the crown's length J Dent
    2024;142:104879 (read); the depths follow from the recipe by subtraction.
    """
    data = json.loads((demo / "cedar.readings.json").read_text())
    space = data["post_space"][0]
    assert space["deepest_mm"] == pytest.approx(8.0, abs=0.15)
    assert space["deepest_because"] == "apical_seal"
    assert space["shallowest_mm"] == pytest.approx(10.5)
    assert space["shallowest_because"] == "crown_height"
    assert space["feasible"] is False
    assert space["widest_at_deepest_mm"] == pytest.approx(1.1)
    assert all("source" in limit for limit in space["limits"])


def test_a_second_demo_overwrites_no_case(demo):
    assert main(["demo", "--out", str(demo), "--quiet"]) == 0
    assert (demo / "cedar 2.radcase").exists()


def test_report_writes_every_form(demo, tmp_path):
    case = str(demo / "cedar.radcase")
    words = ["report", case, "--quiet", "--pdf", str(tmp_path / "r.pdf")]
    words += ["--csv", str(tmp_path / "r.csv"), "--json", str(tmp_path / "r.json")]
    assert main([*words, "--dicom", str(tmp_path / "d")]) == 0
    assert json.loads((tmp_path / "r.json").read_text())["format"] == "radmeasure.readings"
    head, *rows = (tmp_path / "r.csv").read_text().splitlines()
    assert head.startswith("film,") and ",id,root" in head
    assert len(rows) > 40
    assert len(list((tmp_path / "d").iterdir())) == 3


def test_report_refuses_what_is_no_case(tmp_path, capsys):
    wrong = tmp_path / "x.radcase"
    wrong.write_text("no case")
    assert main(["report", str(wrong), "--pdf", str(tmp_path / "r.pdf")]) == 2
    assert len(capsys.readouterr().err.splitlines()) == 1
    assert not (tmp_path / "r.pdf").exists()
