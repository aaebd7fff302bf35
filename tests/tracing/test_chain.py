"""The chain against every path written out (exact enumeration, derived)."""

import itertools

import numpy as np
import pytest

from radmeasure.tracing import chain

ROWS, COLUMNS, REACH = 4, 6, 2


@pytest.fixture
def evidence():
    return np.random.default_rng(3).normal(0.0, 1.5, (ROWS, COLUMNS))


@pytest.fixture
def penalty():
    return chain.step_penalty(REACH, 0.8)


def _enumerated(evidence, penalty):
    """(path, log score) of every path whose steps are within reach."""
    for path in itertools.product(range(COLUMNS), repeat=ROWS):
        steps = np.diff(path)
        if np.abs(steps).max() <= REACH:
            total = sum(evidence[i, j] for i, j in enumerate(path))
            yield path, total + sum(penalty[s + REACH] for s in steps)


def test_best_path_is_the_best_of_all_paths(evidence, penalty):
    best = max(_enumerated(evidence, penalty), key=lambda item: item[1])[0]
    assert tuple(chain.best_path(evidence, penalty)) == best


def test_posterior_is_the_share_of_all_paths(evidence, penalty):
    share = np.zeros((ROWS, COLUMNS))
    for path, score in _enumerated(evidence, penalty):
        share[np.arange(ROWS), path] += np.exp(score)
    share /= share.sum(axis=1, keepdims=True)
    np.testing.assert_allclose(chain.posterior(evidence, penalty), share, rtol=1e-6)


def test_step_penalty_is_a_distribution(penalty):
    assert np.exp(penalty).sum() == pytest.approx(1.0)
    assert penalty.argmax() == REACH


def test_moments_of_a_window_ignore_a_second_mode():
    values = np.arange(11.0)
    belief = np.zeros((1, 11))
    belief[0, [2, 3, 4]] = 0.2
    belief[0, 9] = 0.4
    mean, deviation, share = chain.moments(belief, values, np.array([3.0]), 2.0)
    assert mean[0] == pytest.approx(3.0)
    assert deviation[0] == pytest.approx(np.sqrt(2 / 3))
    assert share[0] == pytest.approx(0.6)
