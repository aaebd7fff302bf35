"""Two marks on one pixel, by a slip of the hand: numbers or reasons, never nonsense."""

import itertools
import math

import pytest

from radmeasure.files.landmarks_json import read_landmarks
from radmeasure.model.landmarks import KnownLength, Landmarks
from radmeasure.model.tooth import Tooth
from radmeasure.workflow.evaluate import evaluate
from radmeasure.workflow.level_chart import level_chart
from radmeasure.workflow.rulebook import load_rulebook
from radmeasure.workflow.samples import sample

OF_ROOT = ("apex", "foramen", "orifice", "filling_coronal", "filling_apical")
POINTS = dict.fromkeys(("coronal_reference", "cej_mesial", "crest_mesial"))
POINTS |= dict.fromkeys(OF_ROOT, "single")


@pytest.fixture(scope="module")
def cedar():
    return read_landmarks(sample("Cedar").paths[0].with_suffix(".landmarks.json"))


@pytest.mark.parametrize(("one", "other"), list(itertools.permutations(POINTS, 2)))
def test_two_marks_on_one_pixel_give_numbers_or_reasons(cedar, one, other):
    """``one`` lies on ``other``: no warning, no figure that is none, and the chart is drawn."""
    marks = cedar.with_placed(one, cedar.get(other, POINTS[other]), POINTS[one])
    evaluation = evaluate(marks, load_rulebook())
    assert all(r.missing or r.why for r in evaluation.readings if r.quantity is None)
    values = [r.quantity.value for r in evaluation.readings if r.quantity is not None]
    assert values and all(map(math.isfinite, values))
    drawing = level_chart(evaluation, "single", None)
    numbers = [c for shape in drawing.shapes for p in getattr(shape, "points", ()) for c in p]
    assert all(map(math.isfinite, numbers))


@pytest.mark.parametrize("name", ["coronal_reference", "orifice", "cej_mesial"])
def test_an_axis_without_length_is_none(name):
    """The first two marks on one pixel: nothing is measured along the tooth, and it says so."""
    marks = Landmarks(Tooth("11")).with_placed("apex", (300.0, 200.0), "single")
    marks = marks.with_placed(name, (300.0, 200.0), POINTS[name])
    if name == "cej_mesial":
        marks = marks.with_placed("cej_distal", (300.0, 200.0))
    evaluation = evaluate(marks, load_rulebook())
    assert all(r.quantity is None for r in evaluation.readings)
    assert not level_chart(evaluation, "single", None)


def test_crests_at_the_level_of_the_apex_leave_no_root_to_compare():
    marks = Landmarks(Tooth("11"), points={"coronal_reference": (300.0, 700.0)})
    marks = marks.with_placed("apex", (300.0, 200.0), "single")
    for side, x in (("mesial", 340.0), ("distal", 260.0)):
        marks = marks.with_placed(f"crest_{side}", (x, 200.0))
    reading = evaluate(marks, load_rulebook()).reading("crown_root_clinical", "single")
    assert reading.quantity is None and reading.missing == ("apex",)


def test_a_file_drawn_square_to_the_tooth_tells_of_the_scale_across():
    """10 mm over 200 px across an upright tooth: 0.05 mm per px, whatever it was called."""
    marks = Landmarks(Tooth("11"), points={"coronal_reference": (300.0, 700.0)})
    marks = marks.with_placed("apex", (300.0, 200.0), "single")
    marks = marks.with_scale(KnownLength(10.0, 0.1, ((200.0, 400.0), (400.0, 400.0)), "tooth"))
    scale = evaluate(marks, load_rulebook()).scale
    assert scale.across.value == pytest.approx(0.05, rel=0.02)
    assert math.isfinite(scale.along.value)
