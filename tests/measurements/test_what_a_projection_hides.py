"""What a projection hides, held against rays drawn here by themselves.

A small geometry of its own: height ``s`` along the tooth (apical positive), ``c`` towards the
cheek, a parallel beam that comes from the apical side at an angle ``o``. A place is shown where
its ray crosses the plane c = 0.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from drawn_tooth import DrawnRoot, DrawnTooth

from radmeasure.files.rulebook import read_rulebook
from radmeasure.measurements.catalogue import measure_all
from radmeasure.quantity import Inputs, correlation
from radmeasure.workflow.declare import declare
from radmeasure.workflow.evaluate import evaluate
from radmeasure.workflow.hidden import beam_of

RULES = read_rulebook()
# The rays here are parallel: magnification does not change along the tooth.
_G = "scale.gradient_bisected"
PARALLEL = replace(RULES, settings={**RULES.settings, _G: replace(RULES.settings[_G], value=0.0)})
BEAM = "obliquity of the beam"
TECHNIQUES = {"paralleling": "paralleled", "bisecting": "bisected"}


def shown(s, c, o_deg):
    """Height at which a place is shown: its ray runs from the cheek and the apex to the film."""
    beam = np.array([-math.cos(math.radians(o_deg)), -math.sin(math.radians(o_deg))])  # (c, s)
    place = np.array([c, s])
    return float((place + beam * (c / -beam[0]))[1])


def usual_deg(technique):
    return RULES.value(f"hidden.obliquity_{TECHNIQUES[technique]}")


def lengths_when(film, o_deg):
    """Lengths of axes by (id, root), mm, at the obliquity the film was made with."""
    model = declare(film, PARALLEL)
    sampling = model.inputs.stencil()
    row = 1 + model.evidence.beam.index  # where the beam alone is off by its usual angle
    there = sampling[model.evidence.beam.index][row]
    assert there == pytest.approx(math.tan(math.radians(o_deg)))
    sight = model.evidence.at(sampling, model.scale.solve(sampling))
    found = {k: v for table in measure_all(sight, PARALLEL) for k, v in table.items() if v}
    return {key[:2]: measured.values[row] for key, measured in found.items()}


@pytest.mark.parametrize("technique", TECHNIQUES)
@pytest.mark.parametrize(("fdi", "part"), [("45", "premolar"), ("46", "molar")])
def test_a_cusp_to_the_cheek_is_shown_too_far_coronal_and_carried_back(technique, fdi, part):
    """b tan o (derived): known the angle, the crown has its true 7 mm again."""
    offset, o = RULES.value(f"hidden.offset_reference_{part}"), usual_deg(technique)
    assert shown(-7.0, offset, o) == pytest.approx(-7.0 - offset * math.tan(math.radians(o)))
    tooth = DrawnTooth(fdi, crown=-shown(-7.0, offset, o), given={"technique": technique})
    assert lengths_when(tooth.landmarks(), o)["crown_length", "single"] == pytest.approx(7.0)


@pytest.mark.parametrize("technique", TECHNIQUES)
@pytest.mark.parametrize(("root", "entry", "side"), [("palatal", "palatal", -1),
                                                     ("mesiobuccal", "cheek", 1)])  # fmt: skip
def test_a_leaning_root_has_its_length_in_space(technique, root, entry, side):
    """A root of 13 mm from the middle of the CEJ, leaning as such roots do, seen obliquely."""
    lean, o = math.radians(RULES.value(f"hidden.lean_{entry}")), usual_deg(technique)
    apex = shown(13.0 * math.cos(lean), side * 13.0 * math.sin(lean), o)
    roots = {root: DrawnRoot(length=apex, filling=None)}
    tooth = DrawnTooth("16", crown=7.0, roots=roots, given={"technique": technique})
    assert lengths_when(tooth.landmarks(), o)["root_length", root] == pytest.approx(13.0)


def quantity(film, id_, root="single", **key):
    return evaluate(film, PARALLEL, live=True).reading(id_, root, **key).quantity


def test_one_beam_moves_all_places_of_a_film_together():
    """What crest and reference share cancels in the clinical crown; rays say how much is left."""
    tooth = DrawnTooth("45", crown=7.0, crest=(2.0, 2.0), given={"technique": "bisecting"})
    film = tooth.landmarks()
    o = usual_deg("bisecting")
    cusp = RULES.value("hidden.offset_reference_premolar")
    usual = math.tan(math.radians(o))
    # The cheek's side of a ridge of radius R is seen, R / 2 x 1.3 tan o off its middle.
    ridge = 0.65 * RULES.value("hidden.ridge_premolar") * usual
    apart = (shown(2.0, ridge, o) - shown(-7.0, cusp, o)) - 9.0
    clinical = quantity(film, "clinical_crown_length")
    assert clinical.budget[BEAM] == pytest.approx(abs(apart), rel=1e-6)
    # Each alone: to the CEJ, which lies in the plane of the axis.
    crown, bone = quantity(film, "crown_length"), quantity(film, "cej_to_crest", side="mesial")
    assert crown.budget[BEAM] == pytest.approx(cusp * usual, rel=1e-6)
    assert bone.budget[BEAM] == pytest.approx(ridge * usual, rel=1e-6)
    assert clinical.budget[BEAM] < 0.2 * math.hypot(crown.budget[BEAM], bone.budget[BEAM])
    # Too long a crown and too little bone lost come from the same beam.
    assert correlation(crown, bone) < -0.2


def test_on_a_paralleled_film_bone_and_reference_err_apart():
    """The beam may come from either side there, so which plate shows is not known beforehand."""
    film = DrawnTooth("45", crown=7.0, crest=(2.0, 2.0), given={"technique": "paralleling"})
    bone = quantity(film.landmarks(), "cej_to_crest", side="mesial")
    assert BEAM not in bone.budget
    assert bone.budget["bone's edge off the film's plane, both sides"] > 0.1


def test_buccal_and_palatal_roots_err_opposite_ways():
    """Raising the tube shortens buccal roots and lengthens the palatal one (common practice)."""
    roots = {
        "mesiobuccal": DrawnRoot(at=2.5, width=(3.0, 2.0), filling=None),
        "palatal": DrawnRoot(at=-2.5, width=(3.0, 2.0), filling=None),
    }
    film = DrawnTooth("16", crown=7.0, roots=roots, given={"technique": "bisecting"}).landmarks()
    evaluation = evaluate(film, PARALLEL, live=True)
    found = {r: evaluation.reading("root_length", r).quantity for r in roots}
    beam = {r: q.contributions[q.sources.index(BEAM)] for r, q in found.items()}
    assert beam["mesiobuccal"] * beam["palatal"] < 0
    # A crown's cusp leans with the buccal roots: errors of tooth length cancel there.
    lengths = [evaluation.reading("tooth_length", r).quantity for r in roots]
    buccal, palatal = (q.budget.get(BEAM, 0.0) for q in lengths)
    assert buccal < 0.3 * palatal


@pytest.mark.parametrize(
    ("technique", "mean_deg", "u_deg"), [("paralleling", 0.0, 8.5), ("bisecting", 18.0, 8.0)]
)
def test_a_ridge_shows_higher_with_the_square_of_the_obliquity(technique, mean_deg, u_deg):
    """Drawn at random: a circle's highest place under a beam, held against the law used."""
    rng, radius = np.random.default_rng(3), 7.2
    angles = np.radians(rng.normal(mean_deg, u_deg, 20000))
    turn = np.radians(np.linspace(-60, 60, 2401))
    c, s = radius * np.sin(turn), radius * (1 - np.cos(turn))  # its top at s = 0
    seen = np.array([(s - c * math.tan(o)).min() for o in angles[:2000]])
    beam = beam_of(TECHNIQUES[technique], RULES.value, Inputs())
    assert np.sqrt(np.mean(np.tan(angles) ** 4)) == pytest.approx(beam.square, rel=0.1)
    assert np.sqrt(np.mean(seen**2)) == pytest.approx(radius / 2 * beam.square, rel=0.12)


def test_where_the_technique_is_not_told_it_lies_between():
    films = [
        replace(DrawnTooth("45", crown=7.0).landmarks(), given=given)
        for given in ({"technique": "paralleling"}, {}, {"technique": "bisecting"})
    ]
    shares = [quantity(film, "crown_root_anatomic").u for film in films]
    assert shares == sorted(shares)
