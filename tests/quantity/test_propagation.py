"""Propagation against published worked examples and Monte Carlo."""

import numpy as np
import pytest

from radmeasure.quantity import Inputs, correlation, normal, verdict

# JCGM 100:2008 Annex H.2: five simultaneous readings of V (V) and I (mA). The readings are
# from memory, the printed Z = 254.26 and u = 0.236 agree with them on recomputation.
V = np.array([5.007, 4.994, 5.005, 4.990, 4.999])
I_MA = np.array([19.663, 19.639, 19.640, 19.685, 19.678])


def _impedance(correlated):
    """Z = V / I from two inputs; correlated by sharing a part of their spread."""
    n = len(V)
    u_v, u_i = V.std(ddof=1) / n**0.5, I_MA.std(ddof=1) / n**0.5
    r = np.corrcoef(V, I_MA)[0, 1] if correlated else 0.0
    inputs = Inputs()
    a = inputs.add(0.0, 1.0, "shared")
    b = inputs.add(0.0, 1.0, "current alone")
    x = inputs.stencil()
    v = V.mean() + u_v * x[a]
    i = I_MA.mean() + u_i * (r * x[a] + np.sqrt(1 - r * r) * x[b])
    return x.quantity(v / (i * 1e-3))


def test_h2_impedance_with_correlation():
    """JCGM 100:2008 H.2: Z = 254.26 ohm, u = 0.236 ohm."""
    z = _impedance(True)
    assert z.value == pytest.approx(254.26, abs=0.005)
    assert z.u == pytest.approx(0.236, abs=0.0005)


def test_h2_impedance_without_correlation():
    """Dropping the correlation of H.2 gives 0.204 (computed from the same data)."""
    assert _impedance(False).u == pytest.approx(0.2040764, abs=2e-5)


def test_ratio_of_a_known_length():
    """21 mm seen beside a known 10 mm: u = 21 sqrt(sum of relative squares) (derived)."""
    inputs = Inputs()
    k = inputs.add(10.0, 0.02, "known length")
    a = inputs.add(250.0, 2**0.5, "its ends")
    b = inputs.add(525.0, 2**0.5, "the object's ends")
    x = inputs.stencil()
    q = x.quantity(x[k] * x[b] / x[a])
    assert q.value == 21.0
    assert q.u == pytest.approx(21 * (0.002**2 + 2 / 250**2 + 2 / 525**2) ** 0.5, rel=1e-4)
    assert sum(u * u for u in q.budget.values()) == pytest.approx(q.u**2)
    assert next(iter(q.budget)) == "its ends"


def test_a_shared_input_cancels_in_a_ratio():
    """A crown-to-root ratio does not carry the scale's uncertainty."""
    inputs = Inputs()
    scale = inputs.add(0.04, 0.004, "scale")
    crown = inputs.add(250.0, 2.0, "crown")
    root = inputs.add(330.0, 2.0, "root")
    x = inputs.stencil()
    ratio = x.quantity((x[scale] * x[crown]) / (x[scale] * x[root]))
    assert "scale" not in ratio.budget
    lengths = [x.quantity(x[scale] * x[i]) for i in (crown, root)]
    assert correlation(*lengths) > 0.99


@pytest.mark.parametrize(
    ("formula", "bent"),
    [
        (lambda a, b: a * b, False),
        (lambda a, b: np.hypot(a - 10, b - 5), True),  # a distance near zero
        (lambda a, b: np.maximum(a - 10, 0), True),  # a shortfall near zero
        (lambda a, b: a - 3 * b, False),
    ],
)
def test_linear_law_agrees_with_monte_carlo_or_says_it_is_bent(formula, bent):
    """JCGM 101: draws of the same inputs give the same u, or the stencil reports the bend."""
    inputs = Inputs()
    a = inputs.add(10.0, 0.3, "a")
    b = inputs.add(5.0, 0.2, "b")
    x, drawn = inputs.stencil(), inputs.draws(200_000, seed=1)
    values = formula(x[a], x[b])
    assert bool(x.too_bent(values)) is bent
    if not bent:
        monte_carlo = drawn.quantity(formula(drawn[a], drawn[b]))
        assert x.quantity(values).u == pytest.approx(monte_carlo.u, rel=0.01)


def test_probability_against_the_normal_table():
    """P(X <= mean + 1.6449 u) = 0.95 (normal table)."""
    assert normal(3.0, 0.5).probability(high=3.0 + 1.6449 * 0.5) == pytest.approx(0.95, abs=1e-4)
    assert normal(3.0, 0.5).probability(low=2.0, high=4.0) == pytest.approx(0.9545, abs=1e-4)


@pytest.mark.parametrize(
    ("p", "says"),
    [(0.95, "meets"), (0.949, "too_close"), (0.05, "fails"), (0.051, "too_close")],
)
def test_verdict_at_the_edges(p, says):
    """JCGM 106: conformity is claimed only from the probability asked for."""
    assert verdict(p) == says
