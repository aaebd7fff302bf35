"""Several roots: where each leaves the trunk, which side it belongs to, how far a click counts."""

from pathlib import Path

import numpy as np
import pytest

from radmeasure.files.film import read_film
from radmeasure.files.landmarks_json import read_landmarks
from radmeasure.model.landmarks import Hints, Root
from radmeasure.model.tooth import Tooth
from radmeasure.tracing import roots
from radmeasure.tracing.certainty import fit_name, overlay_of
from radmeasure.tracing.proportions import usual
from radmeasure.tracing.scene import prepared

SAMPLES = Path(__file__).parents[2] / "sample_images"


def molar(mesial_x, distal_x):
    """Clicks on a lower right first molar; its mesial side is to the right of a mounted film."""
    ends = {"mesial": (mesial_x, 500.0), "distal": (distal_x, 500.0)}
    clicked = {name: Root({"apex": end}) for name, end in ends.items()}
    return Hints(Tooth("46"), points={"coronal_reference": (300.0, 80.0)}, roots=clicked)


def test_roots_clicked_apart_tell_the_sides_of_a_mirrored_film():
    mounted, mirrored = (roots.mesial_side(molar(*x)) for x in ((350.0, 250.0), (250.0, 350.0)))
    assert mounted == -mirrored


def test_roots_clicked_side_by_side_do_not_turn_the_tooth():
    """Clicks are off by 0.7 mm either way, so ends 0.5 mm apart are as often clicked swapped."""
    assert roots.mesial_side(molar(295.0, 305.0)) == roots.mesial_side(molar(350.0, 250.0))


def test_each_outer_wall_belongs_to_its_root_although_ends_are_clicked_swapped():
    ends = {"mesial": np.array([9.0, 50.0]), "distal": np.array([10.0, 50.0])}
    sides = roots._outer_sides(ends, np.array([1.0, 0.0]))
    assert sides == {"mesial": ("mesial",), "distal": ("distal",)}


def test_roots_leave_the_trunk_where_their_canals_run():
    """Within 1.2 mm of the true canal of the shipped molar."""
    pixels = read_film(SAMPLES / "fir.dcm").pixels
    truth = read_landmarks(SAMPLES / "fir.landmarks.json")
    tips = {name: np.array(root.points["apex"]) for name, root in truth.roots.items()}
    coronal, proportions = np.array(truth.points["coronal_reference"]), usual(truth.tooth)
    length = np.linalg.norm(np.mean(list(tips.values()), axis=0) - coronal)
    unit_px = length / proportions.length
    scene = prepared(pixels, coronal, list(tips.values()), unit_px)
    hints = Hints(truth.tooth, points=truth.points, roots=truth.roots)
    axis = roots.tooth_axis(coronal, list(tips.values()))
    side = roots.mesial_side(hints)
    starts = roots._starts(scene, coronal, axis, tips, proportions, side)
    for name, start in starts.items():
        canal = np.array(truth.roots[name].lines["canal"])
        assert np.linalg.norm(canal - start, axis=1).min() < 1.2 * unit_px, name


@pytest.mark.parametrize(("away", "beyond"), [(1.4, 0.135), (2.0, 0.0169)])
def test_trust_ends_where_clicks_are_seldom(away, beyond):
    """Rayleigh's law of two normal errors of 0.7 mm: how often a click is off by more."""
    rng = np.random.default_rng(4)
    off = np.linalg.norm(rng.normal(0.0, 0.7, (100_000, 2)), axis=1)
    assert np.mean(off > away) == pytest.approx(beyond, abs=0.004)
    assert roots.trust_of(away) == pytest.approx(1.0 if away == 1.4 else 0.368, abs=0.01)
    assert roots.trust_of(3.0) < 0.01


def test_a_single_root_is_judged_by_its_own_fit():
    across = np.array([1.0, 0.0])
    alone, beside = overlay_of([[0, 0]], across, 10.0), overlay_of([[0, 0], [30, 0]], across, 10.0)
    assert fit_name("canal", alone[0]) == "canal"
    assert fit_name("canal_wall_mesial", beside[0]) == "canal_wall.several"
    assert fit_name("cej_mesial", 0.8) == "cej"
