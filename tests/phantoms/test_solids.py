"""Chords of rays through the solids: against closed forms and against stepping along the ray."""

import numpy as np
import pytest

from radmeasure.phantoms.frame import Bend, Frame, Rays
from radmeasure.phantoms.profile import Profile, tabulated
from radmeasure.phantoms.raycast import NOTHING, Part, thickness
from radmeasure.phantoms.solids import Both, Cusp, Cylinder, Ellipsoid, Ledge, Slab, Tube
from radmeasure.workflow.synthesise import tables

FRAME = Frame(np.zeros(3), np.array([[1.0, 0, 0], [0, 0, 1.0], [0, 1.0, 0]]))


def level_rays(x, y):
    """Rays along D through scene points (x, y)."""
    x, y = (np.asarray(v, np.float32) for v in np.broadcast_arrays(x, y))
    zero = np.zeros_like(x)
    return Rays((x, y, zero), (zero, zero, zero + 1))


def chord(solid, rays):
    t_in, t_out = solid.interval(rays)
    return np.maximum(t_out - t_in, 0)


def even(value):
    return Profile(-20.0, np.full(2, value), 60.0)


def test_chord_of_a_ball_and_of_a_bar():
    """2 √(r² − d²)."""
    off = np.linspace(-1.99, 1.99, 41)
    wanted = 2 * np.sqrt(4 - off**2)
    ball = Ellipsoid(FRAME, (0.0, 0.0, 5.0), (2.0, 2.0, 2.0))
    assert chord(ball, level_rays(off, 5.0)) == pytest.approx(wanted, abs=2e-3)
    bar = Cylinder(FRAME, 2.0, 0.0, 10.0)
    assert chord(bar, level_rays(off, 5.0)) == pytest.approx(wanted, abs=2e-3)
    assert (chord(bar, level_rays(off, 11.0)) == 0).all()


def test_chord_of_an_oval_tube():
    """Half widths a = 1.5 across and b = 3 deep: 2 b √(1 − (x/a)²)."""
    tube = Tube(FRAME, even(1.5**2), even(2.0), 0.0, 12.0)
    off = np.linspace(-1.45, 1.45, 31)
    wanted = 6 * np.sqrt(1 - (off / 1.5) ** 2)
    assert chord(tube, level_rays(off, 6.0)) == pytest.approx(wanted, abs=5e-3)


def stepped(solid, rays, reach=8.0):
    """Length inside a tube or its like by 40 000 steps."""
    t = np.linspace(-reach, reach, 40001)
    found = []
    for i in range(rays.point[0].size):
        point = np.stack([p[i] + v[i] * t for p, v in zip(rays.point, rays.direction)], axis=1)
        found.append((solid.scene_value(point) < 0).sum() * (t[1] - t[0]))
    return np.array(found)


@pytest.mark.parametrize("square", [0.0, 0.75])
@pytest.mark.parametrize("azimuth", [90.0, 180.0, 235.0])
def test_a_bent_tapered_tube_is_cut_where_stepping_finds_it(azimuth, square):
    """Oblique rays through a curved root, buccal and lingual bends too."""
    half2 = tabulated(-2.0, 16.0, lambda s: 4.0 * (1 - s / 15))
    tube = Tube(
        FRAME, half2, even(1.3), 0.0, 14.9, bend=Bend(5.0, 9.0, 50.0, azimuth), square=square
    )
    rng = np.random.default_rng(8)
    x, y = rng.uniform(-3.5, 2.5, 60), rng.uniform(1.0, 13.0, 60)
    way = np.stack((rng.uniform(-0.15, 0.15, 60), rng.uniform(-0.2, 0.2, 60), np.ones(60)))
    way /= np.linalg.norm(way, axis=0)
    rays = Rays(
        tuple(v.astype(np.float32) for v in (x, y, 0 * x)), tuple(w.astype(np.float32) for w in way)
    )
    found, wanted = chord(tube, rays), stepped(tube, rays)
    assert (wanted > 0.5).sum() > 15
    # A ray may cross a bend twice; a solid answers with one piece, so only such may differ.
    assert (np.abs(found - wanted) < 0.02).mean() > 0.95


def test_ledges_slabs_and_cusps_cut_where_they_stand():
    """Planes and a paraboloid, level rays."""
    rays = level_rays(np.array([0.0, 1.0, 2.0]), 4.0)
    assert chord(Slab(FRAME, -1.0, 2.5), rays) == pytest.approx([3.5] * 3)
    # s > l²/4: at s = 4 the ridge is 2 x 4 mm across.
    ridge = Both((Ledge(FRAME, even(0.0), curve=0.25), Slab(FRAME, -9.0, 9.0)))
    assert chord(ridge, rays) == pytest.approx([8.0] * 3, abs=0.01)
    # s > (m/2)² + (l/2)²: half the chord is √(16 − m²).
    cusp = Both((Cusp(FRAME, (0.0, 0.0), 0.0, (2.0, 2.0)), Slab(FRAME, -9.0, 9.0)))
    wanted = 2 * np.sqrt(16 - np.array([0.0, 1.0, 2.0]) ** 2)
    assert chord(cusp, rays) == pytest.approx(wanted, abs=0.01)


def test_the_innermost_part_owns_the_path():
    """A hollow in a ball in a slab: pieces add up to the slab's thickness less the hollow."""
    parts = [
        Part(Slab(FRAME, -5.0, 5.0), "soft"),
        Part(Ellipsoid(FRAME, (0.0, 0.0, 0.0), (3.0, 3.0, 3.0)), "dentine"),
        Part(Ellipsoid(FRAME, (0.0, 0.0, 0.0), (1.0, 1.0, 1.0)), NOTHING),
    ]
    names = tables().beam("65 kV").materials
    mm = thickness(parts, level_rays([0.0], [0.0]), names)[:, 0]
    assert mm[names.index("soft")] == pytest.approx(4.0, abs=1e-3)
    assert mm[names.index("dentine")] == pytest.approx(4.0, abs=1e-3)
    assert mm.sum() == pytest.approx(8.0, abs=1e-3)
