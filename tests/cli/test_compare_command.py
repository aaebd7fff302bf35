"""The compare command: two films of one tooth in, changes with uncertainty out."""

import json

import pytest
from window_hands import SAMPLES

from radmeasure.cli import main

FILMS = [str(SAMPLES / f"juniper-{when}.dcm") for when in ("earlier", "later")]
MARKS = [str(SAMPLES / f"juniper-{when}.landmarks.json") for when in ("earlier", "later")]


def run(capsys, *more, marks=MARKS, films=FILMS):
    named = [word for path in marks for word in ("--landmarks", path)]
    status = main(["compare", *films, *named, *more])
    return status, capsys.readouterr()


@pytest.fixture
def compared(capsys, tmp_path):
    out = tmp_path / "c.json"
    assert run(capsys, "--out", str(out))[0] == 0
    return json.loads(out.read_text())


def change(data, id_, root=None, side=None):
    return next(c for c in data["changes"] if (c["id"], c["root"], c["side"]) == (id_, root, side))


def test_file_has_the_shape_of_the_contract(compared):
    assert compared["format"] == "radmeasure.comparison" and compared["version"] == 1
    assert {"model", "residual_mm", "overlap"} <= set(compared["alignment"])
    wanted = {"id", "root", "side", "earlier", "later", "change", "u", "interval95", "unit"}
    assert all(wanted | {"exceeds_error"} <= set(c) for c in compared["changes"])


def test_juniper_s_changes_cover_the_truth_of_its_films(compared):
    """The films' exact values come from the ray caster, which knows no landmark."""
    truths = [
        json.loads((SAMPLES / f"juniper-{when}.truth.json").read_text())["values"]
        for when in ("earlier", "later")
    ]
    for id_, root, side in (
        ("cej_to_crest", "single", "mesial"),
        ("cej_to_crest", "single", "distal"),
        ("tooth_length", "single", None),
        ("lesion_diameter", "single", None),
    ):
        found = change(compared, id_, root, side)
        true = truths[1][f"{id_}|{root}|{side}"] - truths[0][f"{id_}|{root}|{side}"]
        low, high = found["interval95"]
        assert low <= true <= high, id_


def test_the_lesion_shrank_and_the_distal_side_did_not_change(compared):
    """As the films were made: lesion smaller, mesial crest lower, distal side as before."""
    lesion = change(compared, "lesion_diameter", "single")
    assert lesion["change"] < 0 and lesion["exceeds_error"]
    assert change(compared, "cej_to_crest", "single", "mesial")["change"] > 0.5
    assert not change(compared, "cej_to_crest", "single", "distal")["exceeds_error"]


def test_films_of_one_tooth_lie_close_on_each_other(compared):
    assert compared["alignment"]["residual_mm"] < 0.2
    assert 0.8 < compared["alignment"]["overlap"] <= 1


def test_the_table_says_which_changes_are_more_than_error(capsys):
    status, said = run(capsys)
    line = next(t for t in said.out.splitlines() if t.startswith("Radiolucency diameter"))
    assert status == 0 and line.endswith("more than error") and "±" in line


def test_a_film_against_itself_shows_no_change(capsys, tmp_path):
    out = tmp_path / "c.json"
    run(capsys, "--out", str(out), marks=MARKS[:1] * 2, films=FILMS[:1] * 2)
    data = json.loads(out.read_text())
    assert data["alignment"]["residual_px"] == pytest.approx(0, abs=1e-6)
    assert data["alignment"]["overlap"] == 1
    assert not any(c["exceeds_error"] for c in data["changes"])


@pytest.mark.parametrize("count", [1, 3])
def test_landmark_files_must_be_two(capsys, count):
    status, said = run(capsys, marks=(MARKS * 2)[:count])
    assert status == 2 and "give it twice" in said.err and said.err.count("\n") == 1


def test_two_teeth_are_refused_and_nothing_is_written(capsys, tmp_path):
    data = json.loads((SAMPLES / "juniper-later.landmarks.json").read_text())
    other = tmp_path / "other.json"
    other.write_text(json.dumps({**data, "tooth": "12"}))
    out = tmp_path / "c.json"
    status, said = run(capsys, "--out", str(out), marks=[MARKS[0], str(other)])
    assert status == 2 and "13 and 12" in said.err and not out.exists()
