"""Dentine along the whole post: parallel and tapered, off-centre and curved canals."""

import numpy as np
import pytest
from drawn_tooth import DrawnRoot, DrawnTooth
from plan_made import evaluated, limit_mm, space_of

from radmeasure.model.plan import PostSize

THIN = PostSize("thin", 0.6)


def root(**more):
    """A root of 14 mm with straight, even walls unless told otherwise."""
    usual = {"length": 14.0, "filling": (0.0, 14.0), "width": (4.0, 4.0), "canal": (0.4, 0.4)}
    return DrawnRoot(**{**usual, **more})


def space(drawn, sizes=(THIN,), **choice):
    return space_of(DrawnTooth(roots={"single": drawn}), sizes=sizes, **choice)


def test_dentine_ends_where_a_tapering_root_grows_thin():
    """Root from 4 to 2 mm over 14: beside 0.6 mm, 1 mm is left down to 2.6 mm of width (exact).

    4 - 2 s / 14 = 2.6 at s = 9.8.
    """
    found = space(root(width=(4.0, 2.0)))
    assert limit_mm(found, "dentine") == pytest.approx(9.8, abs=0.02)


def test_a_wider_chosen_post_meets_thin_dentine_sooner():
    """The same root, 1.1 mm: 3.1 mm of width, at s = 6.3 (exact)."""
    wide = PostSize("wide", 1.1)
    found = space(root(width=(4.0, 2.0)), (THIN, wide), size_name="wide")
    assert limit_mm(found, "dentine") == pytest.approx(6.3, abs=0.02)
    assert found.deepest_because == "dentine"


def test_a_tapered_post_is_checked_at_its_thick_end_too():
    """A root narrow at its mouth: the level that binds is not the tip's.

    Width 2.8 at the mouth, growing by 0.1 mm per mm; post 0.6 + 0.1 per mm above the tip.
    At depth t the post that ends at s is 0.6 + 0.1 (s - t) wide and the room is
    2.8 + 0.1 t - 2 = 0.8 + 0.1 t, so s <= 2 + 2 t: the mouth allows 2 mm, and it binds.
    """
    grows = root(width=(2.8, 4.2))
    tapered = PostSize("tapered", 0.6, 0.1)
    assert limit_mm(space(grows, (tapered,)), "dentine") == pytest.approx(2.0, abs=0.05)
    # A parallel post of the same tip has room all along.
    assert limit_mm(space(grows), "dentine") == pytest.approx(14.0, abs=0.3)


def test_tapered_and_parallel_of_one_tip_differ_by_the_taper():
    """In an even root of 3 mm a 0.6 post leaves 1.2; at 0.06 per mm it grows to 1 mm at 6.7 mm."""
    even = root(width=(3.0, 3.0))
    tapered = PostSize("tapered", 0.6, 0.06)
    assert limit_mm(space(even, (tapered,)), "dentine") == pytest.approx(0.4 / 0.06, abs=0.02)
    assert limit_mm(space(even), "dentine") == pytest.approx(14.0, abs=0.3)


def test_off_centre_canal_leaves_unequal_dentine():
    """Canal 0.4 mm mesial of the middle of a 4 mm root: 1.3 mesial, 2.1 distal beside 0.6 mm."""
    found = space(root(off_centre=0.4), depth_mm=7.0)
    end = found.planned.levels[-1]
    assert end.dentine_mesial.value == pytest.approx(1.3, abs=0.02)
    assert end.dentine_distal.value == pytest.approx(2.1, abs=0.02)
    # Widest post by the nearer wall: 2 (1.6 - 1.0) = 1.2, not half of the whole spare.
    assert limit_mm(found, "wall_dentine") == pytest.approx(1.2, abs=0.03)


def test_a_post_goes_straight_on_where_the_canal_bends():
    """Canal bending mesially from 5 mm, radius 20: at 9 mm it lies 4^2 / 40 mesial (0.4 mm).

    The post stays on the straight axis, so the distal wall, which follows the canal
    mesially, comes nearer: 2 - 0.4 - 0.3 = 1.3 distal. On the mesial side the canal itself,
    0.2 mm to its wall, lies beyond the post, and its dentine counts: 2 - 0.2 = 1.8.
    """
    found = space(root(straight=5.0, radius=20.0), depth_mm=9.0)
    end = found.planned.levels[-1]
    assert end.dentine_distal.value == pytest.approx(1.3, abs=0.08)
    assert end.dentine_mesial.value == pytest.approx(1.8, abs=0.08)
    assert found.planned.check("straight_part").verdict == "fails"
    assert limit_mm(found, "straight_part") == pytest.approx(5.0, abs=0.3)


def test_a_canal_wider_than_the_post_counts():
    """Dentine is judged beside the canal where it is wider than the post: 4 - 1.6 over two."""
    found = space(root(canal=(1.6, 1.6)), depth_mm=7.0)
    for level in found.planned.levels:
        assert level.dentine_mesial.value == pytest.approx(1.2, abs=0.02)


def test_walls_thin_from_the_root_face_on_allow_no_post():
    """A canal that leaves 0.8 mm at its mouth: depth 0, and the words say why."""
    found = space(root(canal=(2.4, 0.6)))
    assert found.deepest.value == 0 and found.deepest_because == "dentine"
    assert "from the root face on" in found.limit("dentine").words


def test_levels_run_from_the_root_face_to_the_posts_end():
    """Every millimetre and the end, with the post's own diameter at each."""
    tapered = PostSize("tapered", 0.8, 0.04)
    found = space(root(width=(6.0, 5.0)), (THIN, tapered), depth_mm=7.3, size_name="tapered")
    levels = found.planned.levels
    assert [level.depth_mm for level in levels] == [*map(float, range(8)), 7.3]
    assert levels[-1].diameter_mm == pytest.approx(0.8)
    assert levels[0].diameter_mm == pytest.approx(0.8 + 0.04 * 7.3)
    assert found.profile == levels


def test_walls_drawn_too_short_are_no_reassurance():
    """Beyond the drawn walls nothing fits, and the limit says how far they are drawn."""
    drawn = DrawnTooth(roots={"single": root(length=16.0, filling=(0.0, 16.0))}).landmarks()
    for name in ("root_wall_mesial", "root_wall_distal"):
        line = drawn.get(name, "single")
        drawn = drawn.with_placed(name, line[:10], "single")  # 9 of 24 steps of 16 mm: 6 mm
    short = evaluated(drawn).post_space[0]
    assert short.deepest_because == "dentine"
    assert short.deepest.value == pytest.approx(6.0, abs=0.05)
    assert "walls are drawn" in short.limit("dentine").words
    deeper = evaluated(drawn, depth_mm=9.0).post_space[0]
    assert not any(fit.fits for fit in deeper.sizes)
    assert "drawn only to" in deeper.sizes[0].because
    assert not deeper.planned.levels


@pytest.mark.parametrize("taper", [0.0, 0.05])
def test_dentine_limit_agrees_with_a_search_over_depths(taper):
    """The limit is the deepest post whose every level keeps 1 mm, found by trying them all.

    A plain search over depths and levels, written here without the program's code.
    """
    drawn = root(width=(4.4, 2.2), off_centre=0.15, canal=(0.9, 0.3))
    size = PostSize("size", 0.7, taper)

    def least(s):
        t = np.linspace(0, s, 200)
        half_root = 0.5 * (4.4 - 2.2 * t / 14)
        edge = np.maximum(0.5 * (0.9 - 0.6 * t / 14), 0.5 * (0.7 + taper * (s - t)))
        return (half_root - 0.15 - edge).min()

    depths = np.arange(0.0, 14.0, 0.005)
    deepest = max(s for s in depths if least(s) >= 1.0)
    assert limit_mm(space(drawn, (size,)), "dentine") == pytest.approx(deepest, abs=0.05)
