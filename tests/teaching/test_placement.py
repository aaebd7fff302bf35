"""Errors of marks in the tooth's own directions, and a student's own placement error."""

import numpy as np
import pytest
from class_made import FILMS, as_marked, truth_of
from drawn_tooth import MM_PER_PX, DrawnTooth
from scipy.stats import chi2

from radmeasure.teaching.placement import axes, mark_errors, own_placement
from radmeasure.workflow.declare import placement_entry


def only(errors, name):
    return [e for e in errors if e.name == name]


@pytest.mark.parametrize("fdi", ["11", "21", "31", "46", "16", "36"])
def test_apical_and_mesial_are_positive_in_every_quadrant(fdi):
    """Mesial is towards the midline; of a film seen from the front it lies right of the right side
    (common practice, no source)."""
    truth = DrawnTooth(fdi=fdi).landmarks()
    along, across = axes(truth, "single")
    assert np.sign(along[1]) == truth.tooth.apical_sign
    assert np.sign(across[0]) == truth.tooth.mesial_sign
    assert abs(along @ across) < 1e-12


def test_a_known_shift_is_found_again():
    """0.3 mm apical and 0.4 mm distal: 0.5 mm away, 0.354 on each axis."""
    truth, px = truth_of("alder")
    along, across = axes(truth, "single")
    moved = np.add(truth.get("apex", "single"), (0.3 * along - 0.4 * across) * px)
    (error,) = only(mark_errors(truth.with_placed("apex", tuple(moved), "single"), truth, (px, px)),
                    "apex")  # fmt: skip
    assert (error.along_mm, error.across_mm) == pytest.approx((0.3, -0.4), abs=1e-3)
    assert error.rms_mm == pytest.approx(np.hypot(0.3, 0.4) / 2**0.5, abs=1e-3)


@pytest.mark.parametrize("film", FILMS)
def test_true_marks_have_no_error_and_what_has_no_truth_is_left_out(film):
    truth, px = truth_of(film)
    errors = mark_errors(truth, truth, (px, px))
    assert max(e.rms_mm for e in errors) < 1e-6
    assert len(errors) == len(list(truth.placed()))
    without = truth.with_placed("coronal_reference", None)
    assert not only(mark_errors(truth, without, (px, px)), "coronal_reference")


def test_a_wall_drawn_too_far_mesial_and_an_outline_too_large():
    drawn, px = DrawnTooth().landmarks(), 1 / MM_PER_PX
    wall = np.array(drawn.get("root_wall_mesial", "single"))
    _, across = axes(drawn, "single")
    line = tuple(map(tuple, wall + 0.5 * px * across))
    moved = drawn.with_placed("root_wall_mesial", line, "single")
    (error,) = only(mark_errors(moved, drawn, (px, px)), "root_wall_mesial")
    # the wall comes in by 1.5 mm over 13: that much askew, it lies nearer than it was moved
    assert error.across_mm == pytest.approx(0.5 * np.cos(np.arctan(1.5 / 13)), abs=1e-6)
    assert error.along_mm is None
    truth, px = truth_of("birch")
    (root,) = truth.roots
    lesion = np.array(truth.get("lesion", root))
    for factor, sign in ((1.2, 1), (0.8, -1)):
        middle = lesion.mean(axis=0)
        drawn = tuple(map(tuple, middle + factor * (lesion - middle)))
        for outline in (drawn, drawn[::-1]):  # either way round
            other = truth.with_placed("lesion", outline, root)
            (error,) = only(mark_errors(other, truth, (px, px)), "lesion")
            radius = np.hypot(*(lesion - middle).T).mean() / px
            assert error.across_mm == pytest.approx(sign * 0.2 * radius, rel=0.1)


def test_a_line_that_ends_early_is_no_error_and_one_along_nothing_says_nothing():
    truth, px = truth_of("cedar")
    canal = truth.get("canal", "single")
    short = truth.with_placed("canal", canal[: len(canal) // 2], "single")
    (error,) = only(mark_errors(short, truth, (px, px)), "canal")
    assert error.rms_mm < 1e-6
    beyond = ((canal[-1][0], canal[-1][1] - 40.0), (canal[-1][0], canal[-1][1] - 90.0))
    away = truth.with_placed("canal", beyond, "single")
    assert not only(mark_errors(away, truth, (px, px)), "canal")


def test_scatter_is_found_again_for_every_kind_of_landmark():
    """Mean squares of normal errors follow chi-square."""
    scatter, found = 0.15, {}
    for seed in range(12):
        draw = np.random.default_rng(seed)
        for film in FILMS:
            truth, px = truth_of(film)
            for e in mark_errors(as_marked(film, draw, scatter), truth, (px, px)):
                found.setdefault(placement_entry(e.name), []).append(e.rms_mm)
    for entry, values in found.items():
        # a line is drawn askew as a whole here and counts one axis, a point counts two
        free = len(values) * (1 if "canal" in entry or "wall" in entry else 2)
        low, high = chi2.ppf([0.0005, 0.9995], free) / free
        # an outline moved as a whole errs less where it runs along the way it moved
        low = 0.4 if entry == "placement.lesion" else low
        assert low < np.mean(np.square(values)) / scatter**2 < high, entry


def test_a_bias_is_part_of_the_placement_error():
    """sqrt(s^2 + b^2 / 2) on each axis for a bias b along one of them (root mean square)."""
    errors, along = [], []
    for seed in range(40):
        draw = np.random.default_rng(100 + seed)
        for film in ("alder", "cedar", "fir"):
            truth, px = truth_of(film)
            marked = as_marked(film, draw, 0.15, {"apex": (-0.6, 0.0)})
            errors += only(mark_errors(marked, truth, (px, px)), "apex")
    along = np.array([e.along_mm for e in errors])
    assert along.mean() == pytest.approx(-0.6, abs=4 * 0.15 / len(along) ** 0.5)
    (apex,) = own_placement(errors, placement_entry, lambda entry: 0.2, 5)
    assert apex.rms_mm == pytest.approx(np.sqrt(0.15**2 + 0.6**2 / 2), rel=0.05)
    assert (apex.entry, apex.marks, apex.written) == ("placement.apex", len(errors), True)


def test_too_few_marks_and_copies_of_the_truth_are_not_written():
    truth, px = truth_of("fir")
    draw = np.random.default_rng(1)
    few = mark_errors(as_marked("fir", draw, 0.2), truth, (px, px))
    found = {p.entry: p for p in own_placement(few, placement_entry, lambda entry: 0.2, 5)}
    assert not found["placement.apex"].written
    assert found["placement.apex"].rms_mm is None
    copied = 4 * mark_errors(truth, truth, (px, px))
    assert not any(p.written for p in own_placement(copied, placement_entry, lambda e: 0.2, 5))


@pytest.mark.filterwarnings("error")
def test_marks_in_a_heap_are_errors_like_others():
    """No division by nothing: lines of hardly any length, an outline without area."""
    for film in ("birch", "fir"):
        truth, px = truth_of(film)
        heap = truth.mapped(lambda xy: (500 + xy[0] * 1e-4, 400.0))
        found = mark_errors(heap, truth, (px, px))
        assert all(np.isfinite([e.across_mm, e.rms_mm]).all() for e in found)
        points = [p for p in truth.placed() if not isinstance(p[2][0], tuple)]
        assert sum(e.along_mm is not None for e in found) == len(points)
