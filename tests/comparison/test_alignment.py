"""Laying one film over another: against scikit-image's estimate and known transforms."""

import cmath

import numpy as np
import pytest
from skimage.transform import SimilarityTransform

from radmeasure.comparison.alignment import align
from radmeasure.model.landmarks import Landmarks, Root
from radmeasure.model.tooth import Tooth

PLACES = {
    ("cej_mesial", None): (403.6, 547.9),
    ("cej_distal", None): (280.1, 523.2),
    ("orifice", "single"): (343.0, 512.7),
    ("apex", "single"): (333.4, 143.6),
    ("filling_apical", "single"): (337.0, 168.7),
}
SIZES = ((600, 900), (600, 900))


def marks(places):
    points = {name: p for (name, root), p in places.items() if root is None}
    inside = {name: p for (name, root), p in places.items() if root == "single"}
    return Landmarks(Tooth("13"), points=points, roots={"single": Root(inside, {})})


def moved(places, factor, shift):
    on = {key: factor * complex(*p) + shift for key, p in places.items()}
    return {key: (z.real, z.imag) for key, z in on.items()}


def test_an_exact_similarity_is_found_exactly():
    """Twenty degrees, 8 % larger, moved: nothing is left over and every place is met."""
    factor, shift = 1.08 * cmath.exp(1j * np.radians(20)), 31.0 - 12.5j
    found = align(marks(PLACES), marks(moved(PLACES, factor, shift)), SIZES, 0.05)
    assert found.factor == pytest.approx(factor) and found.shift == pytest.approx(shift)
    assert found.residual_px == pytest.approx(0, abs=1e-9)
    assert found((280.1, 523.2)) == pytest.approx(moved({1: (280.1, 523.2)}, factor, shift)[1])


def test_noisy_places_are_fitted_as_scikit_image_fits_them():
    """Outside reference: skimage.transform.SimilarityTransform (Umeyama, 1991)."""
    rng = np.random.default_rng(4)
    there = moved(PLACES, 0.93 * cmath.exp(-0.11j), 5 + 40j)
    noisy = {key: tuple(np.add(p, rng.normal(0, 3, 2))) for key, p in there.items()}
    found = align(marks(PLACES), marks(noisy), SIZES, 0.05)
    a, b = (np.array(list(p.values())) for p in (PLACES, noisy))
    reference = SimilarityTransform.from_estimate(a, b)
    left = reference(a) - b
    assert abs(found.factor) == pytest.approx(reference.scale)
    assert cmath.phase(found.factor) == pytest.approx(reference.rotation)
    assert found.residual_px == pytest.approx(np.sqrt((left**2).sum(1).mean()))
    assert found.residual_mm == pytest.approx(0.05 * found.residual_px)


def test_bone_is_never_aligned_on():
    """The crest is what a recall looks at; wherever it goes, the alignment stays."""
    for crest in ((404.0, 501.0), (404.0, 300.0)):
        later = marks({**PLACES, ("crest_mesial", None): crest})
        found = align(marks({**PLACES, ("crest_mesial", None): (404.0, 501.0)}), later, SIZES)
        assert ("crest_mesial", None) not in found.landmarks
        assert found.residual_px == pytest.approx(0, abs=1e-9)


def test_the_cusp_serves_only_where_little_else_is_there():
    few = {("apex", "single"): (333.0, 143.0), ("coronal_reference", None): (338.0, 766.0)}
    assert set(align(marks(few), marks(few), SIZES).landmarks) == set(few)
    many = {**PLACES, ("coronal_reference", None): (338.0, 766.0)}
    assert ("coronal_reference", None) not in align(marks(many), marks(many), SIZES).landmarks


def test_overlap_is_the_share_of_the_earlier_film():
    """Moved by half its width, half of it lies on the other film."""
    beside = moved(PLACES, 1, 300 + 0j)
    assert align(marks(PLACES), marks(PLACES), SIZES).overlap == 1.0
    assert align(marks(PLACES), marks(beside), SIZES).overlap == pytest.approx(0.5)


@pytest.mark.parametrize("places", [{}, {("apex", "single"): (333.0, 143.0)}])
def test_too_little_in_common_says_so(places):
    found = align(marks(places), marks(places), SIZES)
    assert not found and "landmarks" in found.why


def test_coinciding_landmarks_say_so():
    same = {("cej_mesial", None): (5.0, 5.0), ("cej_distal", None): (5.0, 5.0)}
    assert not align(marks(same), marks(PLACES), SIZES)
    assert not align(marks(PLACES), marks(same), SIZES)
