"""Outlines as a perfect observer sees them: where rays touch a solid."""

import numpy as np

_STEP_MM = 0.02  # of the numerical gradient; the profiles' own spacing


def _radius(tube, cos, sin, s):
    """Distance from the axis to the surface in direction (cos m, sin li) at heights s."""
    section = tube.section(s)
    half, narrow, cm, cl = section
    unit = np.sqrt(tube.norm2(cm + cos, cl + sin / narrow, s, section))
    r = np.sqrt(np.maximum(tube.size2(cm, cl, s, half), 0)) / unit
    for _ in range(25):
        m, li = cm + r * cos, cl + r * sin / narrow
        r = np.sqrt(np.maximum(tube.size2(m, li, s, half), 0)) / unit
    return cm + r * cos, cl + r * sin / narrow


def _gradient(tube, points):
    steps = np.eye(3) * _STEP_MM
    parts = [tube.scene_value(points + d) - tube.scene_value(points - d) for d in steps]
    return np.stack(parts, axis=1) / (2 * _STEP_MM)


def surface(tube, angle, s):
    """Scene points of the surface at heights s, ``angle`` from mesial towards lingual, rad."""
    m, li = _radius(tube, np.cos(angle), np.sin(angle), s)
    return tube.frame.to_scene(np.stack(tube.bend.place(m, li, s), axis=1)), m, li


def touched(tube, source, side, s):
    """Points where rays from ``source`` touch the tube, one for each height.

    Parameters
    ----------
    tube : Tube
    source : ndarray, shape (3,)
    side : int
        +1 mesial, -1 distal.
    s : ndarray, shape (n,)
        Heights along the axis, mm.

    Returns
    -------
    points : ndarray, shape (n, 3)
        Scene coordinates, mm.
    m, li : ndarray, shape (n,)
        The same beside the straightened axis.
    """
    s = np.asarray(s, float)
    low, high = np.full(s.shape, -np.pi / 2), np.full(s.shape, np.pi / 2)
    for _ in range(36):
        middle = 0.5 * (low + high)
        points, _, _ = surface(tube, middle if side > 0 else np.pi - middle, s)
        turned = np.einsum("ij,ij->i", _gradient(tube, points), points - source)
        away = turned > 0
        low, high = np.where(away, low, middle), np.where(away, middle, high)
    return surface(tube, middle if side > 0 else np.pi - middle, s)


def ellipse_points(solid, source, count):
    """Points where rays from ``source`` touch an ellipsoid, evenly round; scene (n, 3).

    Seen from outside, a unit sphere is touched along a circle at distance 1/d
    from its centre, with radius √(1 - 1/d²) (derived).
    """
    half, centre = np.array(solid.half), np.array(solid.centre)
    eye = (solid.frame.to_local(source[None])[0] - centre) / half
    d = np.linalg.norm(eye)
    toward = eye / d
    first = np.cross(toward, [0.0, 0.0, 1.0])
    first /= np.linalg.norm(first)
    second = np.cross(toward, first)
    angle = 2 * np.pi * np.arange(count) / count
    ring = np.cos(angle)[:, None] * first + np.sin(angle)[:, None] * second
    on_sphere = toward / d + np.sqrt(1 - 1 / d**2) * ring
    return solid.frame.to_scene(on_sphere * half + centre)


def farthest(view, points, direction):
    """Index of the scene point that lies farthest on the film along ``direction`` (px)."""
    return int(np.argmax(view.project(points) @ direction))
