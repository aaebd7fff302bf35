"""Plan and worksheet for other programs: JSON and CSV say what the record says."""

import csv
import io
import json
from types import MappingProxyType

import pytest
from drawn_tooth import DrawnTooth
from planning.plan_made import SIZES, evaluated

from radmeasure.model.case import Case
from radmeasure.reports.plan_json import (
    plan_object,
    plan_rows,
    worksheet_object,
    worksheet_rows,
)
from radmeasure.reports.readings_json import readings_csv
from radmeasure.workflow.worksheet import worksheet_of


@pytest.fixture(scope="module")
def planned():
    """Cedar's clash with a post of 8 mm chosen, short of ferrule on one side."""
    return evaluated(DrawnTooth(margin=(-4.3, -2.4)), depth_mm=8.0, size_name=SIZES[0].name)


@pytest.fixture(scope="module")
def sheet(planned):
    answers = MappingProxyType({"walls_left": 1, "crown_destroyed": True, "symptoms": False})
    return worksheet_of(Case(worksheets={"11": answers}), "11", planned)


def test_plan_is_strict_json_and_gives_the_chosen_post(planned):
    data = json.loads(json.dumps(plan_object(planned), allow_nan=False))
    (post,) = data["posts"]
    assert post["chosen"] and post["depth_mm"] == 8.0 and post["size"] == SIZES[0].name
    assert post["filling_left_mm"]["value"] == pytest.approx(5.0, abs=0.05)
    short = next(c for c in post["checks"] if c["rule"] == "crown_height")
    assert short["margin_mm"]["value"] == pytest.approx(-2.5) and short["verdict"] == "fails"


def test_ways_to_gain_add_up(planned):
    """Ferrule after gaining is ferrule now plus the amount (exact)."""
    (gains,) = plan_object(planned)["gains"]
    now, *ways = gains["options"]
    for way in ways:
        amount = way["lengthening_mm"] + way["extrusion_mm"]
        assert amount == pytest.approx(gains["amount_mm"])
        for side, ferrule in way["ferrule_mm"].items():
            assert ferrule["value"] == pytest.approx(
                now["ferrule_mm"][side]["value"] + amount, abs=1e-4
            )


def test_worksheet_keeps_answers_and_evidence_apart_and_has_no_score(sheet):
    data = json.loads(json.dumps(worksheet_object(sheet), allow_nan=False))
    assert data["answers"]["walls_left"] == 1 and data["filled_by"]["walls_left"] == "hand"
    assert data["filled_by"]["ferrule"] == "film"
    assert {r["stance"] for r in data["reasons"]} <= {"for", "against", "open"}
    assert all(r["source"] and r["trust"] for r in data["reasons"])
    met = [line["words"] for line in data["indications"] if line["met"]]
    assert met == ["crown destroyed by caries or trauma"]
    assert not {"score", "total", "decision"} & set(data)


def test_table_holds_plan_and_worksheet_below_the_readings(planned, sheet):
    """RFC 4180, read back by the standard library's reader."""
    more = [*plan_rows(planned), *worksheet_rows(sheet)]
    text = readings_csv(planned, film="cedar.dcm", tooth="11", more=more)
    rows = {(r["id"], r["side"]): r for r in csv.DictReader(io.StringIO(text))}
    assert float(rows["plan.depth", ""]["value"]) == 8.0
    ferrule = rows["gain.lengthening.ferrule", "distal"]
    low, high = float(ferrule["low95"]), float(ferrule["high95"])
    assert low < float(ferrule["value"]) < high and ferrule["unit"] == "mm"
    assert rows["worksheet.crown_destroyed", ""]["value"] == "yes"
    assert rows["worksheet.symptoms", ""]["value"] == "no"
    assert rows["worksheet.walls_left", ""]["method"] == "hand"
