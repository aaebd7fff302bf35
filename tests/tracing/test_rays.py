"""Rays against circles and planes, whose crossings and values are known exactly."""

import numpy as np
import pytest

from radmeasure.tracing.rays import Rays, normals, resample, unit


@pytest.fixture
def star():
    angle = np.linspace(0, 2 * np.pi, 16, endpoint=False)
    direction = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    origin = np.full((16, 2), 40.0)
    return Rays(origin, direction, np.arange(0, 101) * 0.05, 5.0)


def test_rays_cross_a_circle_at_its_radius(star):
    turn = np.linspace(0, 2 * np.pi, 2001)
    circle = 40.0 + 17.5 * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    np.testing.assert_allclose(star.crossings(circle), 3.5, atol=1e-4)


def test_rays_that_miss_are_nan(star):
    assert np.isnan(star.crossings([[200.0, 0.0], [200.0, 80.0]])).all()


def test_sampling_a_plane_is_exact(star):
    y, x = np.mgrid[0:90, 0:90].astype(np.float32)
    plane = 2.0 * x - 3.0 * y + 1.0
    values = star.sample(plane, before=0.5, after=0.5)
    radius = -0.5 + 0.05 * np.arange(values.shape[1])
    xy = star.origin[:, None] + radius[None, :, None] * 5.0 * star.direction[:, None]
    np.testing.assert_allclose(values, 2.0 * xy[..., 0] - 3.0 * xy[..., 1] + 1.0, atol=1e-2)


def test_curve_is_the_inverse_of_crossings(star):
    radii = np.linspace(1.0, 3.0, 16)
    points = star.curve(radii)
    np.testing.assert_allclose(np.linalg.norm(points - 40.0, axis=1), 5.0 * radii)


def test_resampled_line_keeps_its_ends_and_steps_evenly():
    line = resample([[0, 0], [3, 0], [3, 4]], 0.5)
    np.testing.assert_allclose(line[[0, -1]], [[0, 0], [3, 4]])
    assert len(line) == 15


def test_normals_point_to_the_left_of_the_tangent():
    tangent, normal = normals([[0, 0], [1, 0], [2, 0]])
    np.testing.assert_allclose(tangent, [[1, 0]] * 3)
    np.testing.assert_allclose(normal, [[0, 1]] * 3)
    np.testing.assert_allclose(unit([[3.0, 4.0]]), [[0.6, 0.8]])
