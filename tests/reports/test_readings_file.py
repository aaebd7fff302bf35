"""The readings file: keys and meaning as the documented format has them."""

import csv
import io
import json
import math

import pytest
from drawn_tooth import DrawnRoot, DrawnTooth
from planning.plan_made import evaluated

from radmeasure.reports.readings_json import readings_csv, readings_object, readings_text

_UNITS = {"mm", "mm2", "%", "deg", "1"}


class _Film:
    name, sha256, width, height = "film.png", "00" * 32, 1600, 1800


@pytest.fixture(scope="module")
def evaluation():
    """A tooth whose post plan clashes, with margins short on one side."""
    return evaluated(DrawnTooth(margin=(-4.0, -2.0)), live=False)


@pytest.fixture(scope="module")
def data(evaluation):
    return json.loads(readings_text(_Film, evaluation))


def test_top_level(data):
    assert (data["format"], data["version"]) == ("radmeasure.readings", 1)
    assert data["film"] == {
        "file": "film.png",
        "sha256": "00" * 32,
        "width": 1600,
        "height": 1800,
    }


def test_scale_block(data):
    """A pitch of 0.025 mm at magnification 1: the scale is the pitch itself (derived)."""
    assert data["scale"]["across_mm_per_px"] == pytest.approx(0.025)
    assert data["scale"]["foreshortening"] is None
    assert data["scale"]["notes"]


def test_a_reading_carries_value_interval_method_and_budget(data):
    tooth = next(r for r in data["readings"] if r["id"] == "tooth_length")
    assert tooth["value"] == pytest.approx(23.5, abs=0.01)
    low, high = tooth["interval95"]
    assert low < tooth["value"] < high
    assert tooth["u"] == pytest.approx((high - low) / (2 * 1.96), rel=0.01)
    assert sum(v * v for v in tooth["budget"].values()) == pytest.approx(tooth["u"] ** 2, rel=0.01)
    assert tooth["method"] and tooth["root"] == "single" and tooth["side"] is None


def test_a_missing_reading_names_its_landmarks_and_has_no_value(data):
    gap = next(r for r in data["readings"] if r["id"] == "file_gap")
    assert gap["missing"] == ["file_tip"]
    assert "value" not in gap


def test_units_and_sides(data):
    assert {r["unit"] for r in data["readings"]} <= _UNITS
    assert {r["side"] for r in data["readings"]} <= {"mesial", "distal", "mean", None}


def test_verdicts(data):
    assert {f["verdict"] for f in data["findings"]} <= {"meets", "fails", "too_close"}
    for finding in data["findings"]:
        assert 0 <= finding["p"] <= 1
        assert finding["source"] and finding["trust"]


def test_post_space(data):
    """Root 13, seal 5: 8.0 mm; the crown of 10.5 asks for more, so it is not feasible."""
    (space,) = data["post_space"]
    assert space["deepest_mm"] == pytest.approx(8.0, abs=0.01)
    assert space["deepest_because"] == "apical_seal"
    assert space["shallowest_mm"] == pytest.approx(10.5, abs=0.01)
    assert space["shallowest_because"] == "crown_height"
    assert space["feasible"] is False
    assert {row["side"] for row in space["limits"]} == {"no_deeper", "no_shallower", "no_wider"}
    assert all(set(s) >= {"name", "fits", "because"} for s in space["sizes"])
    assert space["drill_depth_mm"] == pytest.approx(18.5, abs=0.01)


def test_every_figure_is_finite(data):
    def walk(value):
        if isinstance(value, dict):
            for item in value.values():
                walk(item)
        elif isinstance(value, list):
            for item in value:
                walk(item)
        elif isinstance(value, float):
            assert math.isfinite(value)

    walk(data)


def test_text_refuses_what_is_not_json(evaluation):
    """NaN and Infinity are no JSON (RFC 8259); a strict reader takes the file."""
    text = readings_text(_Film, evaluation)

    def refuse(name):
        raise AssertionError(name)

    json.loads(text, parse_constant=refuse)


def test_uncalibrated_film_has_nulls_and_reasons():
    data = readings_object(_Film, evaluated(DrawnTooth(calibrated=False)))
    assert data["scale"]["along_mm_per_px"] is None
    tooth = next(r for r in data["readings"] if r["id"] == "tooth_length")
    assert tooth["missing"] == [] and "scale" in tooth["why"]
    assert data["post_space"] == []


def test_table_holds_every_reading(evaluation):
    rows = list(csv.DictReader(io.StringIO(readings_csv(evaluation))))
    assert len(rows) == len(evaluation.readings)
    loss = [r for r in rows if r["id"] == "bone_loss"]
    assert [r["side"] for r in loss] == ["mesial", "distal", "mean"]
    assert next(r for r in rows if r["id"] == "file_gap")["missing"] == "file_tip"


def test_table_of_several_films_names_them():
    evaluation = evaluated(DrawnTooth("36", roots={"distal": DrawnRoot()}))
    text = readings_csv(evaluation, film='a "b", c.png', tooth="36")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert {(r["film"], r["tooth"]) for r in rows} == {('a "b", c.png', "36")}
