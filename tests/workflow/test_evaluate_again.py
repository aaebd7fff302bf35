"""An evaluation that takes over what has not changed gives the numbers of one from nothing."""

import dataclasses
from collections.abc import Mapping
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from radmeasure.errors import Cancelled
from radmeasure.files.landmarks_json import read_landmarks
from radmeasure.files.post_sizes import read_post_sizes
from radmeasure.files.rulebook import read_rulebook
from radmeasure.model.carried import Carried
from radmeasure.model.case import PlanChoice
from radmeasure.reports.words import record
from radmeasure.workflow.evaluate import evaluate

SAMPLES = Path(__file__).resolve().parents[2] / "sample_images"
RULES, SIZES = read_rulebook(), read_post_sizes()
FILMS = {
    path.name.removesuffix(".landmarks.json"): read_landmarks(path)
    for path in sorted(SAMPLES.glob("*.landmarks.json"))
}


def differences(a, b, where):
    """Where two results differ by more than the rounding of sums."""
    if isinstance(a, float) and isinstance(b, float):
        if a != b and not np.isclose(a, b, rtol=1e-9, atol=1e-12):
            yield where, a, b
    elif isinstance(a, np.ndarray):
        # A budget's small parts are differences of large numbers.
        if not np.allclose(a, b, rtol=1e-7, atol=1e-9 * (1 + np.abs(b).max(initial=0))):
            yield where, a, b
    elif dataclasses.is_dataclass(a) and type(a) is type(b):
        for field in dataclasses.fields(a):
            yield from differences(
                getattr(a, field.name), getattr(b, field.name), f"{where}.{field.name}"
            )
    elif isinstance(a, tuple) and isinstance(b, tuple) and len(a) == len(b):
        for i, pair in enumerate(zip(a, b, strict=True)):
            yield from differences(*pair, f"{where}[{i}]")
    elif isinstance(a, Mapping) and isinstance(b, Mapping) and a.keys() == b.keys():
        for key in a:
            yield from differences(a[key], b[key], f"{where}[{key}]")
    elif a != b:
        yield where, a, b


def assert_alike(again, anew):
    for part in ("scale", "readings", "findings", "post_space", "gains", "outlines"):
        found = list(differences(getattr(again, part), getattr(anew, part), part))
        assert not found, found[0]


def moved(value, dx, dy):
    if np.ndim(value) == 1:
        return (value[0] + dx, value[1] + dy)
    # One vertex only: the line changes its shape too.
    middle = len(value) // 2
    return tuple((x + dx, y + dy) if i == middle else (x, y) for i, (x, y) in enumerate(value))


def shifted_references(landmarks):
    """Every reference, one at a time, seen a little longer."""
    for i, entry in enumerate(landmarks.scale):
        if hasattr(entry, "points"):
            (x, y), *rest = entry.points
            entry = dataclasses.replace(entry, points=((x + 1.5, y + 2.5), *rest))
            yield landmarks.with_scale(*landmarks.scale[:i], entry, *landmarks.scale[i + 1 :])


@pytest.mark.parametrize("name", FILMS)
def test_each_mark_moved(name):
    landmarks = FILMS[name]
    before = evaluate(landmarks, RULES, sizes=SIZES)
    films = [
        landmarks.with_placed(mark, moved(value, 2.0, -3.0), root)
        for root, mark, value in landmarks.placed()
    ]
    films += shifted_references(landmarks)
    for film in films:
        anew = evaluate(film, RULES, sizes=SIZES, live=True)
        assert_alike(evaluate(film, RULES, sizes=SIZES, live=True, before=before), anew)


@st.composite
def edits(draw, landmarks):
    """Landmarks after one more edit: a mark moved, taken away or brought back, a value given."""
    kind = draw(st.sampled_from(["move", "move", "remove", "restore", "value", "technique"]))
    if kind == "value":
        return landmarks.with_given("planned_crown_mm", draw(st.sampled_from([None, 7.0, 8.5])))
    if kind == "technique":
        named = st.sampled_from([None, "paralleling", "bisecting"])
        return landmarks.with_given("technique", draw(named))
    marks = list(landmarks.placed())
    if kind == "restore" or not marks:
        return None
    root, mark, value = draw(st.sampled_from(marks))
    if kind == "remove":
        return landmarks.with_placed(mark, None, root)
    step = st.floats(-6, 6, allow_nan=False)
    return landmarks.with_placed(mark, moved(value, draw(step), draw(step)), root)


@settings(max_examples=15, deadline=None)
@given(st.data())
def test_a_chain_of_edits(data):
    first = FILMS[data.draw(st.sampled_from(sorted(FILMS)))]
    landmarks, choice, before = first, PlanChoice(), None
    for _ in range(5):
        landmarks = data.draw(edits(landmarks)) or first
        if data.draw(st.booleans()):
            choice = PlanChoice(depth_mm=data.draw(st.sampled_from([None, 6.0, 9.0])))
        live = data.draw(st.sampled_from([True] * 7 + [False]))
        again = evaluate(landmarks, RULES, None, choice, SIZES, live, before)
        assert_alike(again, evaluate(landmarks, RULES, None, choice, SIZES, live))
        before = again


def test_what_is_taken_over_is_the_same_object():
    """A crest bends no canal and moves no file."""
    landmarks = FILMS["alder"]
    before = evaluate(landmarks, RULES, sizes=SIZES, live=True)
    x, y = landmarks.points["crest_mesial"]
    again = evaluate(
        landmarks.with_placed("crest_mesial", (x, y + 2)), RULES, None, None, SIZES, True, before
    )
    taken = {r.id for r in again.readings if r.quantity and r is before.reading(*r.key)}
    assert {"curvature_arc", "canal_length", "canal_width", "file_gap"} <= taken
    assert not {"bone_support", "cej_to_crest", "crown_root_clinical"} & {
        r.id for r in again.readings if r.side != "distal" and r is before.reading(*r.key)
    }


def test_other_rules_are_worked_out_anew():
    landmarks = FILMS["alder"]
    before = evaluate(landmarks, RULES, sizes=SIZES, live=True)
    other = dataclasses.replace(RULES)
    again = evaluate(landmarks, other, sizes=SIZES, live=True, before=before)
    assert not {id(r) for r in again.readings if r.quantity} & {id(r) for r in before.readings}


def test_nothing_is_carried_for_longer_than_one_evaluation():
    """A drag of an hour keeps two evaluations, not thousands."""
    landmarks = FILMS["alder"]
    x, y = landmarks.points["crest_mesial"]
    before, kept = None, []
    for i in range(6):
        film = landmarks.with_placed("crest_mesial", (x, y + 0.1 * i))
        before = evaluate(film, RULES, sizes=SIZES, live=True, before=before)
        kept.append(len(before.work.carried._made) + len(before.work.carried._before))
    assert kept[-1] == kept[2]


def test_draws_no_longer_wanted_are_broken_off():
    """A hand that takes the mark up again does not wait for what was asked before."""
    asked = []

    def check():
        asked.append(None)
        if len(asked) > 5:
            raise Cancelled

    with pytest.raises(Cancelled):
        evaluate(FILMS["birch"], RULES, sizes=SIZES, check=check)
    assert len(asked) == 6


def test_a_quick_evaluation_has_no_draws_to_break_off():
    asked = []
    evaluate(FILMS["birch"], RULES, sizes=SIZES, live=True, check=lambda: asked.append(None))
    assert not asked


def test_the_record_taken_over_says_what_a_new_one_says():
    """Sentences on readings that stayed, beside new ones."""
    landmarks = FILMS["birch"]
    x, y = landmarks.points["crest_mesial"]
    before = said = told = None
    for step in (0.0, 3.0, 9.0, 9.0):
        film = landmarks.with_placed("crest_mesial", (x, y + step))
        before = evaluate(film, RULES, sizes=SIZES, live=True, before=before)
        said, last = Carried(said), told
        told = record(before, "filling check", said)
        assert told == record(before, "filling check")
    kept = {id(sentence) for paragraph in last for sentence in paragraph.sentences}
    assert {id(sentence) for paragraph in told for sentence in paragraph.sentences} & kept
