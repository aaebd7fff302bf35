"""Circle and arc fits, polylines, crossings: closed forms."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from radmeasure.geometry.arc import fit_straight_then_arc
from radmeasure.geometry.circle import fit_circle
from radmeasure.geometry.polyline import Crossing, cumulative, interpolate_rows, thin


def drawn_canal(straight, radius, angle_deg, count=60):
    """Straight part, then an arc of ``radius`` through ``angle_deg``."""
    a = np.radians(np.linspace(0, angle_deg, count))
    arc = np.column_stack([radius * (1 - np.cos(a)), straight + radius * np.sin(a)])
    line = np.column_stack([np.zeros(count), np.linspace(0, straight, count, endpoint=False)])
    return np.vstack([line, arc])


# Radius, Pruett's angle, Schneider's angle and chord of a straight part followed by one arc:
# alpha = 2 S and chord = 2 r sin S (derived, exact).
ARCS = [(5.0, 60.0, 30.0), (2.0, 45.0, 22.5), (8.0, 40.0, 20.0), (4.0, 50.0, 25.0)]


@pytest.mark.parametrize(("radius", "pruett", "schneider"), ARCS)
def test_arc_angle_and_radius(radius, pruett, schneider):
    """The fit returns the arc it was drawn with, and Schneider's angle is half the arc's."""
    line = thin(drawn_canal(6.0, radius, pruett, 400), 200)
    fit = fit_straight_then_arc(line[None], cumulative(line[None]))
    assert 1 / abs(fit.curvature[0]) == pytest.approx(radius, rel=2e-3)
    assert fit.turning_deg[0] == pytest.approx(pruett, rel=2e-3)
    assert fit.straight[0] == pytest.approx(6.0, abs=0.02)
    chord = line[-1] - fit.leaves[0]
    assert np.hypot(*chord) == pytest.approx(2 * radius * np.sin(np.radians(schneider)), rel=3e-3)


def test_a_straight_line_is_called_straight():
    line = drawn_canal(6.0, 200.0, 1.0)
    fit = fit_straight_then_arc(line[None], cumulative(line[None]))
    assert not fit.bends
    assert fit.straight[0] == pytest.approx(cumulative(line)[-1])


def test_circle_through_three_points():
    """Centre (6, 2), radius 6.3246 through (0, 0), (4, 8), (12, 4) (derived)."""
    centre, radius = fit_circle(np.array([[[0.0, 0], [4, 8], [12, 4]]]))
    assert centre[0] == pytest.approx([6, 2])
    assert radius[0] == pytest.approx(6.3245553203)


@given(st.floats(-50, 50), st.floats(-50, 50), st.floats(0.5, 100), st.floats(0.6, 6.2))
def test_circle_is_found_from_any_part_of_its_rim(x, y, r, span):
    a = np.linspace(0, span, 12)
    rim = np.column_stack([x + r * np.cos(a), y + r * np.sin(a)])
    _, radius = fit_circle(rim[None])
    assert radius[0] == pytest.approx(r, rel=1e-5)


def test_crossing_follows_the_batch():
    """The place moves with each row's own line, beyond its ends too."""
    line = np.array([[[0.0, 0], [0, 10]], [[1.0, 0], [1, 10]]])
    crossing = Crossing(line[..., 1], np.array([4.0, 5.0]))
    assert crossing.of(line).tolist() == [[0, 4], [1, 5]]
    outside = Crossing(line[..., 1], 12.0)
    assert not outside.inside
    assert outside.of(line)[0].tolist() == [0, 12]


@given(st.lists(st.floats(0.1, 3), min_size=2, max_size=20), st.floats(0, 1))
def test_interpolation_agrees_with_numpy(gaps, where):
    x = np.cumsum(gaps)
    y = np.sin(x)
    level = x[0] + where * (x[-1] - x[0])
    mine = interpolate_rows(np.array([level]), x[None], y[None])[0, 0]
    assert mine == pytest.approx(np.interp(level, x, y), abs=1e-9)
