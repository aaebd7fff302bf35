"""Extent of an ellipse across a direction, against exact geometry and scipy."""

import numpy as np
import pytest
from scipy.optimize import least_squares

from radmeasure.geometry.circle import ellipse_width


def rim(a, b, turn_deg, count=12, noise=0.0, seed=0):
    t = np.linspace(0, 2 * np.pi, count, endpoint=False)
    c, s = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))
    points = np.column_stack([a * np.cos(t), b * np.sin(t)]) @ np.array([[c, s], [-s, c]])
    return points + (700, 300) + noise * np.random.default_rng(seed).standard_normal((count, 2))


@pytest.mark.parametrize("turn_deg", [0, 20, 90, 135])
def test_extent_is_that_of_the_ellipse(turn_deg):
    """Support function of an ellipse: 2 sqrt(a2 cos2 + b2 sin2) (derived)."""
    turn = np.radians(turn_deg)
    exact = 2 * np.hypot(72 * np.cos(turn), 65 * np.sin(turn))
    found = ellipse_width(rim(72, 65, turn_deg), np.array([1.0, 0.0]))
    assert found == pytest.approx(exact, rel=1e-9)


def test_agrees_with_a_general_library_on_a_rough_rim():
    """scipy's least squares on the distances to the rim, on clicks a pixel off."""
    points = rim(72, 65, 90, count=16, noise=0.7)

    def off(p):
        x, y = (points - p[:2]).T
        return np.hypot(x / p[2], y / p[3]) - 1

    theirs = 2 * least_squares(off, [700, 300, 68, 68]).x[2]
    assert ellipse_width(points, np.array([1.0, 0.0])) == pytest.approx(theirs, rel=0.005)


def test_no_ellipse_is_made_of_too_few_points_or_of_a_line():
    across = np.array([1.0, 0.0])
    assert ellipse_width(rim(70, 70, 0, count=5), across) is None
    assert ellipse_width(np.column_stack([np.arange(8.0), np.arange(8.0)]), across) is None
