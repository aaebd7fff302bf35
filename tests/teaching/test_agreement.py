"""Bias, limits of agreement and own error, against the worked example of the paper.

Peak expiratory flow of 17 subjects, each measured twice with two meters, and every figure
asserted as published: Bland & Altman, Lancet 1986;327:307-310.
"""

import numpy as np
import pytest

from radmeasure.teaching.agreement import dahlberg, limits_of_agreement, student_t

LARGE = np.array(
    [
        [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427],
        [490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421],
    ]
).T
SMALL = np.array(
    [
        [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451],
        [525, 415, 508, 444, 500, 625, 460, 390, 642, 432, 420, 605, 227, 467, 268, 370, 443],
    ]
).T


def test_limits_of_the_first_readings_are_those_of_the_paper():
    said = limits_of_agreement(LARGE[:, 0], SMALL[:, 0], factor=2)
    assert said.n == 17
    assert said.bias == pytest.approx(-2.1, abs=0.05)
    assert said.sd == pytest.approx(38.8, abs=0.05)
    assert said.se == pytest.approx(9.4, abs=0.05)
    assert said.se_limit == pytest.approx(16.3, abs=0.05)
    # The paper goes on from these rounded figures, and so does this.
    assert _around(round(said.bias, 1), 2 * round(said.sd, 1)) == (-79.7, 75.5)
    t = round(student_t(16), 2)
    assert _around(round(said.bias, 1), t * round(said.se, 1)) == (-22.0, 17.8)
    assert _around(-79.7, t * round(said.se_limit, 1)) == (-114.3, -45.1)
    assert _around(75.5, t * round(said.se_limit, 1)) == (40.9, 110.1)
    # without rounding
    assert said.limits == pytest.approx((said.bias - 2 * said.sd, said.bias + 2 * said.sd))
    low, high = said.limits_interval95[1]
    assert (low + high) / 2 == pytest.approx(said.limits[1])
    assert (high - low) / 2 == pytest.approx(student_t(16) * said.se_limit)


def _around(middle, half):
    return round(middle - half, 1), round(middle + half, 1)


def test_means_of_two_readings_get_their_scatter_back():
    """The paper: corrected standard deviation 37.7, limits -81.4 to 69.4, bias -6.0."""
    said = limits_of_agreement(LARGE, SMALL, factor=2)
    assert said.bias == pytest.approx(-6.0, abs=0.05)
    assert said.sd == pytest.approx(37.7, abs=0.05)
    assert _around(round(said.bias, 1), 2 * round(said.sd, 1)) == (-81.4, 69.4)
    # wrong without the correction: the scatter of the means alone is 33.2
    assert np.std((LARGE - SMALL).mean(axis=1), ddof=1) == pytest.approx(33.2, abs=0.05)


def test_own_error_is_the_papers_repeatability():
    """Its coefficient of repeatability, 2 sqrt(sum d^2 / n), is 2 sqrt 2 times Dahlberg's."""
    assert 2 * 2**0.5 * dahlberg(LARGE) == pytest.approx(43.2, abs=0.15)
    assert 2 * 2**0.5 * dahlberg(SMALL) == pytest.approx(56.4, abs=0.15)
    d = LARGE[:, 0] - LARGE[:, 1]
    assert dahlberg(LARGE) == pytest.approx(np.sqrt(np.sum(d**2) / (2 * len(d))))


def test_own_error_of_three_readings_is_the_pooled_standard_deviation():
    """One-way analysis of variance: the mean square within subjects (any textbook)."""
    x = np.random.default_rng(1).normal(20, 1, (40, 1)) + np.random.default_rng(2).normal(
        0, 0.3, (40, 3)
    )
    assert dahlberg(x) == pytest.approx(np.sqrt(x.var(axis=1, ddof=1).mean()))
    x[0, 1:] = np.nan  # read once only: no word on repeatability
    assert dahlberg(x) == pytest.approx(np.sqrt(x[1:].var(axis=1, ddof=1).mean()))


def test_nothing_to_work_out_is_not_zero():
    assert np.isnan(dahlberg([[1.0], [2.0]]))
    said = limits_of_agreement([1.0, np.nan], [0.5, 3.0])
    assert (said.n, said.bias, said.direction) == (1, 0.5, "unknown")
    assert limits_of_agreement([np.nan], [1.0]).n == 0


def test_intervals_hold_the_truth_in_nineteen_of_twenty():
    """Of 2000 drawn studies of 12, bias and upper limit lie in their 95 % interval."""
    draw = np.random.default_rng(5)
    held = np.zeros(2)
    for _ in range(2000):
        said = limits_of_agreement(draw.normal(0.3, 1.0, 12), np.zeros(12))
        held += [
            said.interval95[0] <= 0.3 <= said.interval95[1],
            said.limits_interval95[1][0] <= 0.3 + 1.96 <= said.limits_interval95[1][1],
        ]
    assert 0.935 <= held[0] / 2000 <= 0.965
    # the paper's standard error of a limit is an approximation, a little off at this size
    assert 0.90 <= held[1] / 2000 <= 0.98


def test_limits_of_means_are_limits_of_single_readings():
    """Own error 1 and nothing between the methods: single readings differ by sqrt 2."""
    draw = np.random.default_rng(6)
    first, second = draw.normal(0, 1, (2, 4000, 2))
    assert limits_of_agreement(first, second).sd == pytest.approx(2**0.5, rel=0.03)
