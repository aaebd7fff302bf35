"""A size typed wrongly is told by the film's own pixels, which know the size on the receptor."""

import math

import pytest

from radmeasure.files.landmarks_json import read_landmarks
from radmeasure.model.film import Spacing
from radmeasure.model.landmarks import Detector, KnownLength, Sphere
from radmeasure.workflow.evaluate import evaluate
from radmeasure.workflow.mistyped import mistyped
from radmeasure.workflow.rulebook import load_rulebook
from radmeasure.workflow.samples import sample_films

PIXELS = Spacing(0.05, 0.05, "detector", "", True)


def ball(diameter_px):
    turns = (2 * math.pi * i / 8 for i in range(8))
    half = diameter_px / 2
    return tuple((300 + half * math.cos(t), 300 + half * math.sin(t)) for t in turns)


@pytest.mark.parametrize(
    ("mm", "wrong"), [(5.0, False), (4.6, False), (10.5, True), (50.0, True), (0.5, True)]
)
def test_a_ball_of_104_px_is_no_ball_of_10_5_mm(mm, wrong):
    """104 px of 0.05 mm are 5.2 mm on the receptor: 5 mm 1.04 times as large."""
    found = mistyped([Sphere(mm, 0.01, ball(104))], PIXELS)
    assert bool(found) == wrong
    if wrong:
        assert found == [
            f"{mm:g} mm was typed for what is 5.2 mm by the film's own pixels: check it"
        ]


def test_a_file_of_210_mm_is_told():
    """21 mm over 440 px of 0.05 mm; a zero too many is ten times as long."""
    line = ((300.0, 100.0), (300.0, 540.0))
    assert not mistyped([KnownLength(21.0, 0.25, line, "tooth")], PIXELS)
    assert mistyped([KnownLength(210.0, 0.25, line, "tooth")], PIXELS)


def test_pixels_of_unknown_basis_and_pitches_say_nothing():
    wrong = Sphere(50.0, 0.01, ball(104))
    assert not mistyped([wrong], None)
    assert not mistyped([wrong], Spacing(0.05, 0.05, "unknown", "", False))
    assert not mistyped([Detector(0.02)], PIXELS)


def test_it_stands_in_the_record():
    marks = read_landmarks(next(iter(sample_films())).paths[0].with_suffix(".landmarks.json"))
    marks = marks.with_scale(Sphere(10.5, 0.01, ball(104)))
    notes = evaluate(marks, load_rulebook(), PIXELS).scale.notes
    assert any("10.5 mm was typed for what is 5.2 mm" in note for note in notes)


@pytest.mark.parametrize("sample", sample_films(), ids=lambda s: s.name)
def test_no_sample_is_called_mistyped(sample):
    """Synthetic films with the true sizes, oblique ones among them."""
    from radmeasure.files.film import read_film

    for path in sample.paths:
        marks = read_landmarks(path.with_suffix(".landmarks.json"))
        assert not mistyped(marks.scale, read_film(path).spacing)
