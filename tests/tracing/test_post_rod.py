"""A post told from a filling by its step or by both its edges, on plain geometry."""

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from radmeasure.tracing.fading_tip import CELL, COLUMNS, ROW
from radmeasure.tracing.post_rod import edges_above, find_post

DEPTH = np.arange(0.0, 26.0, ROW)  # mm from the coronal end; cervix at 8, apex at 24
CERVIX, APEX = round(8 / ROW), round(24 / ROW)


def strip_with(*bodies, seed=0):
    """Dentine, bodies (from, to, half width at from, at to, brightness), blur and noise."""
    film = np.zeros((len(DEPTH), len(COLUMNS)))
    for start, end, wide, narrow, bright in bodies:
        half = np.interp(DEPTH, (start, end), (wide, narrow))[:, None]
        inside = (DEPTH[:, None] >= start) & (DEPTH[:, None] < end) & (np.abs(COLUMNS) < half)
        film = np.where(inside, bright, film)
    noise = np.random.default_rng(seed).normal(0.0, 0.02, film.shape)
    dentine = 0.6 - 0.03 * COLUMNS**2
    return gaussian_filter(film + noise, 0.06 / np.array([ROW, CELL])) + dentine


def rows(*mm):
    return tuple(round(d / ROW) for d in mm)


FILLING = (15.0, 23.0, 0.35, 0.2, 0.4)


def test_a_metal_post_on_a_filling_ends_at_the_step():
    strip = strip_with(FILLING, (6.0, 15.0, 0.6, 0.6, 0.8))
    post = find_post(strip, rows(6, 23), False, rows(6)[0], CERVIX, APEX)
    assert post.apical * ROW == pytest.approx(15.0, abs=0.15)
    assert post.filling == post.apical


def test_a_metal_post_above_a_gap():
    strip = strip_with(FILLING, (6.0, 14.0, 0.6, 0.6, 0.8))
    post = find_post(strip, rows(6, 23), True, rows(15)[0], CERVIX, APEX)
    assert post.apical * ROW == pytest.approx(14.0, abs=0.15)
    assert post.filling * ROW == pytest.approx(15.0, abs=0.1)


@pytest.mark.parametrize("gap", [0.0, 0.8])
def test_a_fibre_post_is_seen_by_its_edges(gap):
    """A fibre post shades the film little more than dentine does (common practice, no source)."""
    strip = strip_with(FILLING, (6.0, 15.0, 0.55, 0.55, -0.08), (6.0, 15.0 - gap, 0.55, 0.55, 0.1))
    post = find_post(strip, rows(15, 23), False, rows(15)[0], CERVIX, APEX)
    assert post.half == pytest.approx(0.55, abs=0.06)
    assert post.apical * ROW == pytest.approx(15.0 - gap, abs=0.2)


@pytest.mark.parametrize("seed", range(5))
def test_a_wide_filling_is_no_post(seed):
    """5 % taper from size 50: 1.1 mm wide at the orifice, without a step (ISO 3630-1 sizes)."""
    strip = strip_with((10.0, 23.0, 0.58, 0.25, 0.5), seed=seed)
    assert find_post(strip, rows(10, 23), False, rows(10)[0], CERVIX, APEX) is None


@pytest.mark.parametrize("seed", range(5))
def test_an_empty_canal_above_a_short_filling_is_no_post(seed):
    strip = strip_with(FILLING, (6.0, 15.0, 0.5, 0.4, -0.1), seed=seed)
    assert edges_above(strip, rows(15)[0]) is None
    assert find_post(strip, rows(15, 23), False, rows(15)[0], CERVIX, APEX) is None


def test_the_end_of_a_filling_is_not_taken_for_that_of_a_post():
    """A filling that ends at once 1 mm above the apex, over a thin rest of sealer."""
    strip = strip_with((10.0, 23.0, 0.4, 0.3, 0.6), (23.0, 24.5, 0.1, 0.1, 0.2))
    assert find_post(strip, rows(10, 24.5), False, rows(10)[0], CERVIX, APEX) is None
