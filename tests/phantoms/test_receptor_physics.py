"""Blur, noise, scatter and response of the receptor against what is stated of them."""

import numpy as np
import pytest
from scipy.stats import norm

from radmeasure.model.recipe import Receptor
from radmeasure.phantoms import receptor as physics

QUIET = 1e14  # so many quanta that noise does not matter


def flat(share, quanta, **entries):
    wanted = Receptor(**{"scatter": 0.0, "blur_mm": 0.0, "focal_spot_mm": 0.0, **entries})
    return physics.detected(
        np.full((400, 400), share), wanted, quanta, 1.05, np.random.default_rng(4)
    )


@pytest.mark.parametrize("quanta", [400.0, 4000.0, 40000.0])
def test_noise_variance_follows_the_dose(quanta):
    """Poisson: the variance is the mean, so ten times the dose has ten times the variance."""
    found = flat(0.3, quanta, electronic_noise=0.0)
    # Standard error of a variance from n pixels: sqrt(2 / n), here 0.35 %; four of them.
    assert found.var() / (0.3 * quanta) == pytest.approx(1.0, abs=4 * np.sqrt(2 / found.size))
    assert found.mean() == pytest.approx(0.3 * quanta, rel=0.002)


def test_electronic_noise_adds_its_variance():
    found = flat(0.3, 4000.0, electronic_noise=50.0)
    assert found.var() == pytest.approx(0.3 * 4000 + 50**2, rel=4 * np.sqrt(2 / found.size))


def test_blur_makes_noise_smaller_by_its_area():
    """White noise through a Gaussian of s pixels keeps 1 / (4 pi s²) of its variance (derived)."""
    s = 2.0
    found = flat(0.3, 4000.0, electronic_noise=0.0, blur_mm=s * 0.04)
    assert found.var() / (0.3 * 4000) == pytest.approx(1 / (4 * np.pi * s**2), rel=0.05)


@pytest.mark.parametrize(("blur", "spot", "magnification"), [(0.03, 0.0, 1.0), (0.06, 0.7, 1.2)])
def test_edge_spread_has_the_stated_blur(blur, spot, magnification):
    """A step becomes the error function whose variance is the sum of receptor and focal spot."""
    pitch = 0.01
    wanted = Receptor(
        pitch_um=15.0, scatter=0.0, blur_mm=blur, focal_spot_mm=spot, electronic_noise=0.0
    )
    pitch = wanted.pitch_um / 1000
    step = np.zeros((20, 401))
    step[:, 200:] = 1.0
    count = physics.detected(step, wanted, QUIET, magnification, np.random.default_rng(1))
    edge = count[10] / QUIET
    sigma = np.hypot(blur, spot * (magnification - 1) / np.sqrt(12))
    x = (np.arange(401) - 199.5) * pitch
    assert np.abs(edge - norm.cdf(x / sigma)).max() < 0.005
    wide = np.interp([0.1, 0.9], edge, x)
    assert np.diff(wide)[0] == pytest.approx(2.5631 * sigma, rel=0.01)


def test_scatter_adds_its_share_of_the_mean():
    """An even field: the primary times (1 + ratio), contrast falls by as much (derived)."""
    primary = np.full((300, 300), 0.4)
    found = physics.scattered(primary, 0.15, 0.1)
    assert found == pytest.approx(0.06 * np.ones_like(found), rel=1e-6)


def grey(share, **entries):
    wanted = Receptor(scatter=0.0, **entries)
    return physics.grey(np.array([share]) * 1000.0, wanted, 1000.0, "incisor")[0]


def test_logarithmic_grey_is_even_in_thickness():
    """Equal steps of -ln I make equal steps of grey."""
    steps = [int(grey(np.exp(-d), bits=16, white=3.0)) for d in (0.5, 1.0, 1.5, 2.0, 2.5)]
    assert np.diff(steps).std() < 1
    assert min(np.diff(steps)) > 0


def test_linear_grey_falls_evenly_with_the_signal():
    steps = [int(grey(i, bits=16, response="linear")) for i in (0.7, 0.5, 0.3, 0.1)]
    assert np.diff(steps).std() < 1
    assert min(np.diff(steps)) > 0


@pytest.mark.parametrize("bits", [8, 12, 16])
def test_grey_stays_in_its_depth(bits):
    assert grey(1.2, bits=bits) == 0
    assert grey(0.0, bits=bits) == 2**bits - 1
