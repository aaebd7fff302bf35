"""Bends weighed by how well they explain a drawn line."""

import numpy as np
import pytest
from scipy.optimize import curve_fit
from scipy.stats import multivariate_normal, multivariate_t

from radmeasure.geometry.bends import BEGINS, BEGINS_U, FINE, weigh

LENGTH = 14.0
AT = np.linspace(0, LENGTH, 24)
# A hand's drawing: 0.12 mm in waves, the covariance of neighbours falling off over 1.5 mm.
DRAWN = 0.12**2 * np.exp(-0.5 * ((AT[:, None] - AT) / 1.5) ** 2) + 1e-6 * np.eye(len(AT))


def canal(straight, arc, at=AT):
    """Straight part along y, then one arc of ``arc`` (rad) to the end, shape (M, 2)."""
    k = arc / (LENGTH - straight)
    u = np.maximum(at - straight, 0)
    return np.column_stack([(1 - np.cos(k * u)) / k, np.minimum(at, straight) + np.sin(k * u) / k])


def drawn(line, rng):
    """The line drawn with waves square to it."""
    t = np.gradient(line, AT, axis=0)
    off = np.linalg.cholesky(DRAWN) @ rng.standard_normal(len(AT))
    return line + off[:, None] * np.column_stack([-t[:, 1], t[:, 0]])


def test_intervals_hold_bends_drawn_from_what_is_expected():
    """Truth drawn from the prior lies in the 95 % interval of its own posterior in 95 %.

    Exact for any right use of Bayes' rule (Cook, Gelman & Rubin, J Comput Graph Stat
    2006;15:675-692, from memory); 400 lines tell 95 % to 1.1 (standard deviation).
    """
    rng = np.random.default_rng(3)
    inside = {"straight": [], "arc": [], "radius": []}
    while len(inside["arc"]) < 400:
        share, arc = rng.normal(BEGINS, BEGINS_U), rng.normal(0, np.radians(35))
        if not (0.02 < share < 0.85 and abs(arc) < np.radians(105)):
            continue
        straight = share * LENGTH
        found = weigh(drawn(canal(straight, arc), rng), AT, DRAWN).draws(1000)
        arcs = (LENGTH - found[:, 3]) * found[:, 4]
        # The arc's sign: its line bends to +x, which is a turn to the right of y.
        for name, values, true in (
            ("straight", found[:, 3], straight),
            ("arc", arcs, -arc),
            ("radius", found[:, 4], -arc / (LENGTH - straight)),
        ):
            low, high = np.quantile(values, (0.025, 0.975))
            inside[name].append(low <= true <= high)
    for name, held in inside.items():
        assert 0.92 <= np.mean(held) <= 0.985, name


def test_mean_and_spread_are_those_of_importance_sampling():
    """Against scipy: least squares gives a proposal, its draws are weighed by the posterior."""
    true, arc = canal(5.0, np.radians(80)), np.radians(80)
    t = np.gradient(true, AT, axis=0)
    normal = np.column_stack([-t[:, 1], t[:, 0]])

    def readings(_, shift, turn, straight, arc):
        x, y = canal(straight, arc).T
        c, s = np.cos(turn), np.sin(turn)
        moved = np.column_stack([shift + c * x + s * y, c * y - s * x])
        # What is expected beforehand counts as two readings more.
        before = (straight / LENGTH - BEGINS) / BEGINS_U, np.degrees(arc) / 35
        return np.concatenate([((moved - true) * normal).sum(axis=1), before])

    # Beside the drawing the program lets a canal leave its arc by 0.02, at its end by 0.15 mm.
    tip = np.clip((AT - LENGTH) / 2.5 + 1, 0, None)
    sigma = np.eye(len(AT) + 2)
    sigma[:-2, :-2] = DRAWN + 0.02**2 * np.eye(len(AT)) + 0.15**2 * np.outer(tip, tip)
    nothing = np.zeros(len(sigma))
    best, spread = curve_fit(readings, nothing, nothing, (0, 0, 5, arc), sigma=sigma)
    proposal = multivariate_t(best, spread, df=4, seed=1)
    tried = proposal.rvs(20000)
    seen = np.array([readings(None, *p) for p in tried])
    weight = multivariate_normal(nothing, sigma).logpdf(seen) - proposal.logpdf(tried)
    weight = np.exp(weight - weight.max())
    weight /= weight.sum()
    mean = weight @ tried
    u = np.sqrt(weight @ (tried - mean) ** 2)

    draws = weigh(true, AT, DRAWN, FINE).draws(4000)
    arcs = np.abs((LENGTH - draws[:, 3]) * draws[:, 4])
    assert draws[:, 3].mean() == pytest.approx(mean[2], abs=0.1 * u[2])
    assert arcs.mean() == pytest.approx(mean[3], abs=0.1 * u[3])
    assert draws[:, 3].std() == pytest.approx(u[2], rel=0.08)
    assert arcs.std() == pytest.approx(u[3], rel=0.08)


@pytest.mark.parametrize("arc_deg", [-50, -20, 8, 20, 50])
def test_the_mean_of_an_exact_bend_lies_near_it(arc_deg):
    mean = weigh(canal(5.5, np.radians(arc_deg)), AT, DRAWN).mean()
    arc = np.degrees((LENGTH - mean[3]) * mean[4])
    assert arc == pytest.approx(-arc_deg, abs=3)


def test_the_way_a_film_is_turned_does_not_matter():
    line = canal(5.5, np.radians(30))
    spoken = weigh(line, AT, DRAWN).mean()
    for turn in np.radians([35, 90, 170, 260]):
        c, s = np.cos(turn), np.sin(turn)
        turned = line @ np.array([[c, s], [-s, c]]) + (3, -7)
        mean = weigh(turned, AT, DRAWN).mean()
        assert mean[3:] == pytest.approx(spoken[3:], rel=1e-6)
        assert np.cos(mean[2] - spoken[2] - turn) == pytest.approx(1, abs=1e-9)
