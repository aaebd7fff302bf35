"""The 3-D truth of drawn cases against what ``measure`` reads from their exact landmarks.

Truth and measurement share no code: the truth comes from the solids, the readings
from the projected landmarks.
"""

from dataclasses import replace

import numpy as np
import pytest

from radmeasure.model.landmarks import Detector
from radmeasure.model.recipe import recipe
from radmeasure.phantoms import scene, truth
from radmeasure.phantoms.jaw import apex_point
from radmeasure.workflow.evaluate import evaluate
from radmeasure.workflow.rulebook import load_rulebook
from radmeasure.workflow.synthesise import drawn, tables

RULES = load_rulebook(None)
# Counted from a cusp, which stands some 2 mm nearer to the source than the axis.
FROM_CUSP = {
    "crown_length",
    "crown_root_anatomic",
    "clinical_crown_length",
    "crown_root_clinical",
    "canal_length",
    "working_length",
}
UPRIGHT = {
    "size": {"tip_deg": 0.0},
    "view": {"receptor_tilt_deg": 0.0},
    "filling": {"short_mm": 1.5},
    "bone": {"loss_percent": {"mesial": 25.0, "distal": 35.0}},
}


def exact(table):
    return truth.truth(scene.build(recipe(table), tables().anatomy))


def rows(made, marks):
    """(reading id, true value, Quantity) of every reading both sides know."""
    found = evaluate(marks, RULES)
    for key, true in made.values.items():
        id_, root, side = (None if part == "None" else part for part in key.split("|"))
        reading = found.reading(id_, root, side)
        if reading is not None and reading.quantity is not None:
            yield id_, true, reading.quantity


@pytest.mark.parametrize("tooth", ["11", "12", "13", "41", "42", "33", "25", "34", "45"])
def test_zero_tilt_gives_the_truth_within_three_per_mille(tooth):
    """A straight tooth parallel to the receptor, a square beam, the exact magnification."""
    made = exact({"tooth": tooth, "roots": {"single": {"curve_deg": 0.0}}, **UPRIGHT})
    marks = replace(made.landmarks, scale=(Detector(made.pitch_mm, made.magnification, 1e-4),))
    front = tooth[1] in "123"
    seen = {
        id_: max(abs(q.value / true - 1), 0)
        for id_, true, q in rows(made, marks)
        if true and (front or id_ not in FROM_CUSP)
    }
    assert {"tooth_length", "root_length", "bone_support", "filling_to_apex"} <= set(seen)
    assert max(seen.values()) <= 0.003, seen


@pytest.mark.parametrize("tooth", ["46", "37"])
def test_zero_tilt_gives_lengths_of_lower_molars(tooth):
    """Their roots lean only in the film's plane."""
    made = exact({"tooth": tooth, **UPRIGHT})
    marks = replace(made.landmarks, scale=(Detector(made.pitch_mm, made.magnification, 1e-4),))
    for id_, true, q in rows(made, marks):
        if id_ in ("tooth_length", "root_length", "clinical_root_length", "bone_support"):
            assert q.value == pytest.approx(true, rel=0.003), id_


def test_truth_lies_in_the_interval_in_19_of_20():
    """Ten drawn cases with all their tilts, tips and leaning roots."""
    inside = []
    for seed in range(100, 110):
        made = exact(drawn(seed))
        for _, true, q in rows(made, made.landmarks):
            low, high = q.interval95
            inside.append(low <= true <= high)
    assert len(inside) > 250
    assert np.mean(inside) >= 0.95


def test_recipe_values_are_the_truth():
    """What a recipe asks for is what the truth says.

    A recipe's root counts from the tooth's origin, 0.01 mm beside the middle of the CEJ.
    """
    made = exact(
        {
            "tooth": "23",
            "size": {"crown_mm": 10.2, "root_mm": 16.4},
            "roots": {"single": {"curve_deg": 12.0, "straight_mm": 8.0}},
            "bone": {"crest_mm": {"mesial": 3.0, "distal": 4.5}},
            "crown": {"state": "sound"},
            "filling": {"short_mm": 2.2, "from_mm": 1.0},
        }
    ).values
    assert made["root_length|single|None"] == pytest.approx(16.4, abs=0.02)
    assert made["cej_to_crest|single|mesial"] == pytest.approx(3.0, abs=0.005)
    assert made["cej_to_crest|single|distal"] == pytest.approx(4.5, abs=0.005)
    assert made["filling_to_apex|single|None"] == pytest.approx(2.2, abs=0.001)
    assert made["curvature_schneider|single|None"] == pytest.approx(12.0, abs=0.01)
    assert made["curvature_arc|single|None"] == pytest.approx(24.0)
    assert made["straight_length|single|None"] == pytest.approx(8.0)


def test_loss_in_percent_is_loss_of_the_root():
    """30 % asked for on one side is bone_loss 30 % there (100 x CEJ-crest / CEJ-apex)."""
    made = exact({"tooth": "21", "bone": {"loss_percent": {"mesial": 30.0}}}).values
    assert made["bone_loss|single|mesial"] == pytest.approx(30.0, abs=0.05)
    assert made["bone_support|single|mesial"] == pytest.approx(70.0, abs=0.05)


def test_a_leaning_root_has_its_whole_length_and_its_share_in_bone():
    """The palatal root of an upper molar leans to the palate.

    The film shows its height, the truth its length: their ratio is the cosine of the lean.
    The reading makes up for the lean a palatal root usually has, so it comes nearer.
    Level planes cut a leaning line in the shares of an upright one (Thales).
    """
    built = scene.build(recipe({"tooth": "16", **UPRIGHT}), tables().anatomy)
    made = truth.truth(built)
    m, li, s = apex_point(built.tooth, built.tooth.shape.root("palatal"))
    lean = np.arctan2(li, np.hypot(m, s))
    assert np.degrees(lean) > 15
    marks = replace(made.landmarks, scale=(Detector(made.pitch_mm, made.magnification, 1e-4),))
    seen = evaluate(marks, RULES).reading("root_length", "palatal").quantity.value
    length = made.values["root_length|palatal|None"]
    height = seen * np.cos(np.radians(RULES.value("hidden.lean_palatal")))
    assert height / length == pytest.approx(np.cos(lean), abs=0.015)
    assert height < seen < length
    in_bone = made.values["clinical_root_length|palatal|None"]
    shares = made.values["bone_support|palatal|mean"]
    assert 100 * in_bone / length == pytest.approx(shares, abs=0.6)


def test_scale_along_and_across_is_the_projection_s():
    """Upright: both are magnification over pitch; 20 degrees of tilt shortens the one along."""
    level = exact({"tooth": "11", **UPRIGHT})
    expected = level.magnification / level.pitch_mm
    assert level.px_per_mm_across == pytest.approx(expected, rel=1e-4)
    tilted = exact({"tooth": "11", **UPRIGHT, "view": {"receptor_tilt_deg": 20.0}})
    ratio = tilted.px_per_mm_along / tilted.px_per_mm_across
    assert ratio == pytest.approx(np.cos(np.radians(20)), abs=0.01)


@pytest.mark.parametrize("tooth", ["11", "46"])
def test_the_crest_lies_on_the_bone_a_ligament_from_the_root(tooth):
    """Read where the ligament keeps its width (Bjorn 1969, memory): 0.21 mm (Tayman 2020, read)."""
    made = exact({"tooth": tooth, **UPRIGHT})
    for side in ("mesial", "distal"):
        crest = np.array(made.landmarks.points[f"crest_{side}"])
        lines = [root.lines[f"root_wall_{side}"] for root in made.landmarks.roots.values()]
        away = min(np.linalg.norm(np.array(line) - crest, axis=1).min() for line in lines)
        assert 0.18 <= away / made.px_per_mm_across <= 0.27  # walls have a point every 0.25 mm
