"""A receptor's response read off a rod: drawn by Beer-Lambert, found without being told."""

import numpy as np
import pytest

from radmeasure.tracing.reference_plate import evened, prepare
from radmeasure.tracing.reference_response import bend_of, even_plate
from radmeasure.tracing.reference_rods import measure


def film(linear, hardening=0.0):
    """A vertical rod that comes out of air into a crown and a root, 12 bit."""
    rng = np.random.default_rng(1)
    y, x = np.mgrid[0:800, 0:500]
    tooth = np.where(y < 200, 0.05, np.where(y < 420, 1.9, 1.1)) * np.exp(-(((x - 250) / 160) ** 4))
    half = 8.0 - 0.004 * y
    rod = 1.0 * np.sqrt(np.maximum(half**2 - (x - 250) ** 2, 0)) / 8.0
    depth = tooth + rod * (1 - hardening * tooth)
    grey = 1 - np.exp(-depth) if linear else depth / 3.2
    return np.round(4000 * grey + rng.normal(0, 3, x.shape) + 60).astype(np.uint16)


def rod_on(pixels):
    plate = prepare(pixels)
    return plate, measure(plate, np.array([250.0, 20.0]), np.array([250.0, 700.0]))


def test_grey_that_follows_the_beam_is_told_from_grey_that_follows_its_logarithm():
    assert bend_of(*rod_on(film(linear=True))) > 0.75
    assert bend_of(*rod_on(film(linear=False))) == 0.0


def test_a_beam_that_hardens_is_not_taken_for_a_linear_receptor():
    """Steel over a crown shows some 15 % fainter on a hardened beam (common practice)."""
    assert bend_of(*rod_on(film(linear=False, hardening=0.08))) == 0.0


def test_on_an_evened_film_the_rod_shows_alike_over_air_and_crown():
    plate, rod = rod_on(film(linear=True))
    even = even_plate(plate, rod)
    assert even is not plate

    def steps(grey):
        return [grey[y, 250] - 0.5 * (grey[y, 232] + grey[y, 268]) for y in (100, 300)]

    over_air, over_crown = steps(plate.grey)
    assert over_crown < 0.3 * over_air
    over_air, over_crown = steps(even.grey)
    assert over_crown == pytest.approx(over_air, rel=0.25)


@pytest.mark.parametrize("bend", [0.3, 0.95])
def test_evening_keeps_black_white_and_the_order_between(bend):
    plate = prepare(np.arange(600 * 400).reshape(600, 400).astype(np.uint16) // 4)
    even = evened(plate, bend)
    assert even.grey.min() == 0.0
    assert even.grey.max() == pytest.approx(1.0, abs=1e-6)
    assert np.all(np.diff(even.grey.ravel()[np.argsort(plate.grey.ravel())]) >= 0)
