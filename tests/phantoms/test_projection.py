"""Projection of the synthetic films against closed forms (all derived, no source needed)."""

import numpy as np
import pytest

from radmeasure.model.recipe import recipe
from radmeasure.phantoms import scene
from radmeasure.phantoms.frame import Bend
from radmeasure.workflow.synthesise import tables


def built(**entries):
    return scene.build(recipe({"neighbours": False, **entries}), tables().anatomy)


def length_px(view, points):
    return float(np.linalg.norm(np.diff(view.project(np.array(points, float)), axis=0)))


@pytest.mark.parametrize(("source", "receptor"), [(200, 5), (300, 14), (380, 20), (600, 0)])
def test_magnification_is_sid_over_sid_less_ord(source, receptor):
    """10 mm in the tooth's plane, square beam: M = SID / (SID - ORD)."""
    view = built(tooth="11", view={"source_mm": source, "receptor_mm": receptor}).view
    expected = source / (source - receptor)
    assert view.magnification == pytest.approx(expected, rel=1e-12)
    for ends in ([[-5, 0, 0], [5, 0, 0]], [[0, -2, 0], [0, 8, 0]]):
        assert length_px(view, ends) * view.pitch_mm / 10 == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("tilt", [10, 20, 30])
def test_a_small_object_tilted_by_t_is_shortened_by_cos_t(tilt):
    """0.985, 0.940, 0.866: beam square to the receptor, object of 0.01 mm."""
    view = built(tooth="21").view
    half = 0.005
    c, s = np.cos(np.radians(tilt)), np.sin(np.radians(tilt))
    level = length_px(view, [[0, -half, 0], [0, half, 0]])
    tilted = length_px(view, [[0, -half * c, -half * s], [0, half * c, half * s]])
    assert tilted / level == pytest.approx(np.cos(np.radians(tilt)), abs=1e-5)


def test_a_tilted_beam_alone_changes_no_length_of_a_parallel_tooth():
    """Tooth parallel to the receptor: foreshortening stays 1 whatever the vertical angle."""
    lengths = [
        length_px(built(tooth="11", view={"vertical_deg": v}).view, [[0, -0.01, 0], [0, 0.01, 0]])
        for v in (0.0, 15.0)
    ]
    # The oblique way from source to receptor is longer in proportion on both sides of the tooth.
    assert lengths[1] == pytest.approx(lengths[0], rel=2e-3)


def test_bisecting_keeps_the_length_of_the_tooth():
    """Cieszyński's rule: a beam square to the bisector gives equal triangles (common teaching)."""
    wanted = {"technique": "bisecting", "source_mm": 600.0, "receptor_mm": 0.0}
    view = built(tooth="11", size={"tip_deg": 0.0}, view=wanted).view
    off = length_px(view, [[0, -0.5, 0], [0, 0.5, 0]]) * view.pitch_mm / view.magnification
    assert off == pytest.approx(1.0, rel=2e-3)


@pytest.mark.parametrize(("fdi", "apical"), [("11", -1), ("46", 1)])
def test_a_bisected_film_leans_away_from_the_apex(fdi, apical):
    """It rests on the crown; the tube stands on the side of the apex (common practice, no source).

    So what lies towards the apex is magnified more.
    """
    view = built(tooth=fdi, view={"technique": "bisecting"}).view
    along = [
        view.project(np.array([[-1, y, 0], [1, y, 0.0]])) for y in (-8.0 * apical, 8.0 * apical)
    ]
    crown, root = (float(np.hypot(*np.diff(px, axis=0)[0])) for px in along)
    assert root > 1.02 * crown
    assert view.source[1] * apical > 0
    # The receptor stays behind the tooth as far as the apex.
    assert min(crown, root) * view.pitch_mm > 2.0


def test_a_raised_tube_shows_the_cheek_side_nearer_the_crown():
    """Positive vertical angulation: buccal structures move coronally (buccal object rule)."""
    level, raised = (
        built(tooth="11", view={"vertical_deg": v}).view.project(
            np.array([[0, 0, -4.0], [0, 0, 4]])
        )
        for v in (0.0, 10.0)
    )
    buccal, lingual = raised[:, 1] - level[:, 1] - (raised[:, 1] - level[:, 1]).mean()
    assert buccal > 0 > lingual  # an upper tooth: rows run from apex to crown


def test_chord_of_a_bent_axis():
    """Arc of 2 S degrees and radius r: chord 2 r sin S, and Schneider's angle S."""
    bend = Bend(start_mm=4.0, radius_mm=8.0, angle_deg=50.0)
    start, end = (np.array(bend.place(0.0, 0.0, s)) for s in (4.0, 4.0 + bend.arc_mm))
    chord = end - start
    assert np.linalg.norm(chord) == pytest.approx(2 * 8 * np.sin(np.radians(25)), rel=1e-12)
    assert np.degrees(np.arctan2(-chord[0], chord[2])) == pytest.approx(25.0)


def test_the_curved_canal_lies_on_its_arc_on_the_film():
    """Distance of canal points from the arc's centre is r, seen through the magnification."""
    made = built(
        tooth="45",
        size={"tip_deg": 0.0},
        roots={"single": {"curve_deg": 20.0, "straight_mm": 6.0}},
    )
    root = made.tooth.shape.roots[0]
    s = np.linspace(root.bend.start_mm, root.foramen_mm, 30)
    placed = np.stack(root.bend.place(0 * s, 0 * s, s), axis=1)
    px = made.view.project(made.tooth.root_frames["single"].to_scene(placed))
    a = np.column_stack((2 * px, np.ones(len(px))))
    cx, cy, c = np.linalg.lstsq(a, (px**2).sum(axis=1), rcond=None)[0]
    radius_mm = np.sqrt(c + cx**2 + cy**2) * made.view.pitch_mm / made.view.magnification
    assert radius_mm == pytest.approx(root.bend.radius_mm, rel=1e-6)


def test_rays_and_projection_are_each_other_s_inverse():
    """The ray of a pixel passes points that project onto its centre."""
    view = built(tooth="36", view={"vertical_deg": 7.0, "horizontal_deg": -5.0}).view
    x, y = np.array([0.0, 100.25, 700.0]), np.array([0.0, 333.5, 20.0])
    rays = view.rays(x, y)
    for t in (-10.0, 0.0, 12.0):
        back = view.project(np.stack(rays.at(np.float32(t)), axis=1))
        assert np.allclose(back, np.column_stack((x, y)), atol=2e-3)
