"""Balls, wires and files on films drawn by another route than the one they are modelled by."""

import numpy as np
import pytest
from drawn_film import draw
from scipy.ndimage import gaussian_filter, rotate
from scipy.special import ndtr

from radmeasure.tracing import (
    reference_file,
    reference_plate,
    reference_rods,
    reference_sphere,
    reference_wire,
)
from radmeasure.tracing.reference_edge import fit_rim, rim_beam

CLEAN = {"pitch_mm": 0.04, "noise": 20000, "blur_mm": 0.04, "scatter": 0.03, "window": 1.6}


def found(pixels, kind):
    """Everything of a kind on a film."""
    plate = reference_plate.prepare(pixels)
    if kind == "sphere":
        tried = [
            reference_sphere.examine(plate, c, r) for _, c, r in reference_sphere.search(plate)
        ]
    else:
        examine = {"wire": reference_wire, "file": reference_file}[kind].examine
        tried = [examine(plate, rod) for rod in reference_rods.measured(plate)]
    return [one for one in tried if one]


@pytest.mark.parametrize("response", [0.0, 0.5, 1.0])
@pytest.mark.parametrize(("kind", "seed", "percent"), [("sphere", 103, 1.0), ("wire", 104, 0.6)])
def test_size_holds_whatever_the_receptors_response(kind, seed, percent, response):
    """Logarithmic to linear (Box & Cox 1964); allowed is what the 90th percentile may be."""
    film = draw(seed, [kind], distractors=False, response=response, **CLEAN)
    (one,) = found(film.pixels, kind)
    assert one.size_px == pytest.approx(film.objects[0]["size_px"], rel=percent / 100)


@pytest.mark.parametrize(("seed", "response"), [(1, 0.0), (12, 0.1), (1, 1.0), (12, 1.0)])
def test_file_from_stop_to_tip(seed, response):
    film = draw(seed, ["file"], distractors=False, response=response, **CLEAN)
    (one,) = found(film.pixels, "file")
    true = film.objects[0]
    assert one.size_px == pytest.approx(true["size_px"], rel=0.02)
    assert np.hypot(*(np.array(one.points[0]) - true["points"][0])) < 0.2 / film.pitch_mm
    line = np.array(one.points)
    assert np.hypot(*np.diff(line, axis=0).T).sum() == pytest.approx(one.size_px, rel=1e-6)


def test_a_file_whose_tip_the_grain_hides_is_refused_not_guessed():
    few_quanta = {**CLEAN, "noise": 300}
    film = draw(12, ["file"], distractors=False, response=0.0, **few_quanta)
    plate = reference_plate.prepare(film.pixels)
    tried = [reference_file.examine(plate, rod) for rod in reference_rods.measured(plate)]
    assert [one.reason for one in tried if one or one.kind] == [
        "the file's tip cannot be told from the bone around it"
    ]


@pytest.mark.parametrize("seed", [104, 107, 113])
def test_fillings_posts_and_amalgams_are_no_references(seed):
    """Seed 104 has a nearly round amalgam in a crown."""
    film = draw(seed, [], pitch_mm=0.05, noise=5000, bits=12)
    assert [one for kind in ("sphere", "wire", "file") for one in found(film.pixels, kind)] == []


def test_a_ball_cut_by_the_film_is_refused_with_that_reason():
    film = draw(103, ["sphere"], distractors=False, response=0.0, **CLEAN)
    centre = film.objects[0]["points"].mean(axis=0)
    radius = film.objects[0]["size_px"] / 2
    cut = film.pixels[:, : int(centre[0] + 0.2 * radius)]
    refused = reference_sphere.examine(reference_plate.prepare(cut), centre, radius)
    assert not refused
    assert refused.reason == "the ball is cut by the edge of the film"


def test_a_file_whose_stop_is_off_the_film_is_no_reference():
    film = draw(1, ["file"], distractors=False, response=0.0, **CLEAN)
    stop, tip = film.objects[0]["points"][[0, -1]]
    y = int(stop[1])
    cut = film.pixels[:y] if tip[1] < stop[1] else film.pixels[y:]
    assert found(cut, "file") == []


@pytest.mark.parametrize("power", [0.0, 1.0])
def test_the_rim_lies_outside_the_half_level(power):
    """Exact chord of a ball, Beer-Lambert, known response: the fitted rim is the true one."""
    t = np.arange(-40.0, 12.0, 0.25)
    beam = rim_beam(t, 60.0, 1.2, 12.0)
    grey = -np.log(beam) if power == 0 else 1 - beam
    half = np.interp(0.5 * grey.max(), grey[::-1], t[::-1])
    shown = grey < 0.9 * grey.max() if power == 0 else np.ones(len(t), bool)
    fit = fit_rim(t[shown] - half, grey[shown], np.full(shown.sum(), 1e-3), 60.0, 4.0, 10.0, 1.0)
    assert half < 0
    assert half + fit.edge_px == pytest.approx(0.0, abs=max(0.15, 2 * fit.u_px))


def test_a_wire_close_beside_the_films_edge_is_found():
    """A wire laid level, then the film cut 0.7 mm beside it."""
    y, x = np.mgrid[0:1000, 0:800]
    rod = np.sqrt(np.maximum(9.0**2 - (y - 600.0) ** 2, 0)) / 9 * (np.abs(x - 400) <= 130)
    tooth = np.clip(1 - ((x - 400) / 150) ** 2, 0, 1) * (y < 520)
    rng = np.random.default_rng(2)
    grey = 300 + 2400 * rod + 1200 * tooth + rng.normal(0, 6, x.shape)
    pixels = np.round(gaussian_filter(grey, 1.0)).astype(np.uint16)[: 600 + 18]
    (one,) = found(np.pad(pixels, ((0, 0), (100, 100)), mode="edge"), "wire")
    assert one.size_px == pytest.approx(261, rel=0.003)  # pixels 270 to 530 are covered


def _wire_over(grey_of_tooth, row=600.0, low=270, high=530):
    """A film with a level wire between two columns over whatever ``grey_of_tooth`` draws."""
    y, x = np.mgrid[0:900, 0:800]
    rod = np.sqrt(np.maximum(9.0**2 - (y - row) ** 2, 0)) / 9 * ((x >= low) & (x <= high))
    rng = np.random.default_rng(4)
    grey = 300 + 1500 * rod + 1200 * grey_of_tooth(x, y) + rng.normal(0, 6, x.shape)
    return np.round(gaussian_filter(grey, 1.0)).astype(np.uint16)


def test_a_wire_whose_end_leans_out_of_the_film_is_measured_by_the_half_of_it_that_is_seen():
    pixels = _wire_over(lambda x, y: (y < 400) * 1.0)
    turned = rotate(pixels, 14, order=1, reshape=False, mode="nearest")
    (whole,) = found(turned, "wire")
    last = max(whole.points, key=lambda p: p[1])
    cut = turned[: round(last[1]) + 5]
    (one,) = found(cut, "wire")
    assert whole.size_px == pytest.approx(261, rel=0.003)
    assert one.size_px == pytest.approx(261, rel=0.004)


def test_a_wire_from_crown_to_crown_is_found_and_a_post_within_one_is_not():
    """What lies over two teeth and the gap between them is no post (common practice)."""
    (one,) = found(_wire_over(lambda x, y: (np.abs(x - 400) > 25) * (y > 300)), "wire")
    assert one.size_px == pytest.approx(261, rel=0.006)
    assert "over two teeth" in one.words
    assert found(_wire_over(lambda x, y: (y > 300) * 1.0), "wire") == []


def test_a_rod_beside_the_films_edge_that_leads_into_a_tooth_is_no_error():
    """So near the edge its sides soon lie off the film."""
    y, x = np.mgrid[0:900, 0:600]
    rod = np.sqrt(np.maximum(4.0**2 - (x - 20.0) ** 2, 0)) / 4
    grey = 300 + 1500 * rod * (y > 150) * (y < 480) + 900 * (y > 470) * (x < 260)
    rng = np.random.default_rng(6)
    pixels = np.round(gaussian_filter(grey + rng.normal(0, 6, x.shape), 1.0)).astype(np.uint16)
    plate = reference_plate.prepare(pixels)
    rod = reference_rods.measure(plate, np.array([20.0, 150.0]), np.array([20.0, 478.0]))
    assert rod is not None
    assert not reference_file.examine(plate, rod)


def test_a_bright_line_along_the_very_edge_of_the_film_is_no_error():
    """A rod whose middle lies half a pixel beside the first column."""
    pixels = np.full((900, 600), 400, np.uint16)
    pixels[:, :3] = 3000
    pixels[200:800, 300:304] = 2000
    plate = reference_plate.prepare(pixels)
    ends = np.array([0.5, 100.0]), np.array([0.5, 700.0])
    assert reference_rods.measure(plate, *ends) is None
    assert found(pixels, "file") == []


def test_a_ball_over_a_tooth_that_grows_darker_outward_keeps_its_size():
    """The slope of the tissue about it is not its edge; made by hand, its white clipped."""
    yy, xx = np.mgrid[:320, :533].astype(float)
    tooth = ndtr((120 - np.abs(xx - 260)) / 3)
    from_ball = np.hypot(xx - 260, yy - 120)
    tissue = 0.1 + tooth * (0.62 - 0.1 * np.clip((from_ball - 35) / 20, 0, 1))
    radius = 35.0
    path = np.sqrt(np.clip(1 - np.square(from_ball / radius), 0, None))
    beam = gaussian_filter(np.exp(-13 * path), 0.7)
    grey = tissue - 0.08 * np.log(np.maximum(beam, 1e-6)) / np.log(10) * 6
    grain = np.random.default_rng(4).normal(0, 0.006, grey.shape)
    pixels = np.round(255 * np.clip(grey + grain, 0, 1)).astype(np.uint8)
    plate = reference_plate.prepare(pixels)
    one = reference_sphere.examine(plate, (261, 119), 34)
    assert one, one.reason
    assert one.size_px == pytest.approx(2 * radius, rel=0.02)
    assert abs(one.size_px - 2 * radius) < 3 * one.u_size_px
