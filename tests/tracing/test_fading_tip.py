"""Ends of thin tapering rods, on films drawn by another route and on plain geometry."""

import numpy as np
import pytest
from drawn_film import draw
from scipy.ndimage import gaussian_filter, map_coordinates

from radmeasure.tracing import fading_tip
from radmeasure.tracing.fading_tip import CELL, COLUMNS, FINE, POINT_MM, ROW, find_end

CLEAN = {"pitch_mm": 0.04, "noise": 20000, "blur_mm": 0.04, "scatter": 0.03, "window": 1.6}
MM = np.arange(-8.0, 4.0, ROW)  # along a strip, 0 at the true end


def strip_of(film):
    """The film of tests/tracing/drawn_film along its file, and the row of the true tip."""
    line = film.objects[0]["points"]
    (x, y), tip = line[-1] - line[-4], line[-1]
    way = np.array([x, y]) / np.hypot(x, y)
    places = [np.interp(MM, np.linspace(-8, 0, 50), c) for c in _last_part(line, film, 8.0).T]
    along = np.stack(places, axis=1)
    beyond = MM > 0
    along[beyond] = tip + MM[beyond, None] / film.pitch_mm * way
    across = np.gradient(along, axis=0)
    across = np.stack([-across[:, 1], across[:, 0]], axis=1)
    across /= np.hypot(*across.T)[:, None]
    xy = along[:, None] + COLUMNS[None, :, None] / film.pitch_mm * across[:, None]
    soft = gaussian_filter(film.pixels.astype(float), 0.05 / film.pitch_mm)
    low, high = np.percentile(soft, (1, 90))
    return (map_coordinates(soft, (xy[..., 1], xy[..., 0]), order=1) - low) / (high - low)


def _last_part(line, film, length_mm):
    """50 points evenly along the last ``length_mm`` of a line."""
    arc = np.r_[0, np.cumsum(np.hypot(*np.diff(line, axis=0).T))] * film.pitch_mm
    at = np.linspace(arc[-1] - length_mm, arc[-1], 50)
    return np.stack([np.interp(at, arc, c) for c in line.T], axis=1)


TRUE_ROW = round(8.0 / ROW)


def test_the_tip_of_a_file_is_found_where_it_is_drawn():
    """Third route (thickness maps, other response and noise); guesses up to 0.4 mm off.

    The cone of the drawn tip is as long as the file is thick there, common practice.
    """
    rng = np.random.default_rng(5)
    errors, deviations = [], []
    for seed in range(1, 9):
        response = (0.0, 0.1, 0.5)[seed % 3]
        film = draw(seed, ["file"], distractors=False, response=response, **CLEAN)
        found = find_end(strip_of(film), TRUE_ROW + rng.uniform(-8, 8), 0.5, FINE)
        errors.append((found.row - TRUE_ROW) * ROW + POINT_MM)
        deviations.append(np.hypot(1.4 * found.deviation, 0.1))
    errors = np.abs(errors)
    assert np.median(errors) < 0.15
    assert np.mean(errors < 1.96 * np.array(deviations)) >= 0.75  # of 8; 0.95 expected


def plain(diameter_at, mu, noise, seed=0):
    """Strip of a round rod of ``diameter_at(mm above its end)`` by Beer-Lambert, blurred."""
    up = -MM[:, None]
    radius = 0.5 * diameter_at(np.maximum(up, 0)) * (up > 0)
    chord = 2 * np.sqrt(np.maximum(radius**2 - COLUMNS[None] ** 2, 0))
    rng = np.random.default_rng(seed)
    bone = gaussian_filter(rng.normal(size=chord.shape), 0.15 / np.array([ROW, CELL]))
    film = gaussian_filter(1 - np.exp(-mu * chord), 0.06 / np.array([ROW, CELL]))
    return film + noise * bone / bone.std()


@pytest.mark.parametrize("size_mm", [0.10, 0.20])
def test_a_tip_in_bone_is_not_called_short(size_mm):
    """0.02 mm taper (ISO 3630-1, memory): no bias over many bone patterns, and u holds."""
    found = [
        find_end(plain(lambda up: size_mm + 0.02 * up, 2.4, 0.02, seed), TRUE_ROW - 8, 0.5, FINE)
        for seed in range(30)
    ]
    error = np.array([(f.row - TRUE_ROW) * ROW for f in found])
    u = np.array([np.hypot(1.4 * f.deviation, 0.03) for f in found])
    assert abs(np.median(error)) < 0.06
    assert np.mean(np.abs(error) < 1.96 * u) >= 0.85


def test_the_less_it_stands_out_the_less_it_is_sure():
    calm, wild = (
        find_end(plain(lambda up: 0.1 + 0.02 * up, 2.4, noise, 3), TRUE_ROW, 0.5, FINE)
        for noise in (0.005, 0.06)
    )
    assert wild.deviation > 2 * calm.deviation
    assert wild.stands_out < calm.stands_out


@pytest.mark.parametrize("diameter", [0.5, 0.8])
def test_a_square_cut_end_is_found_within_a_tenth_of_a_millimetre(diameter):
    strip = plain(lambda up: diameter + 0.0 * up, 0.4, 0.01)
    found = find_end(strip, TRUE_ROW + 12, 0.3)
    assert (found.row - TRUE_ROW) * ROW == pytest.approx(0.0, abs=0.1)
    assert found.half == pytest.approx(diameter / 2, abs=0.08)


def test_no_rod_no_end():
    """A guess at the very start of the strip: nothing can lead up to it."""
    assert find_end(plain(lambda up: 0.5 + 0.0 * up, 0.4, 0.01)[:10], 2, 0.3) is None


def test_whitened_noise_is_independent():
    """A first-order autoregression, whitened, has no correlation left (Box & Jenkins 1970)."""
    rng = np.random.default_rng(1)
    tie = np.exp(-ROW / 0.3)
    noise = np.zeros(4000)
    for i in range(1, len(noise)):
        noise[i] = tie * noise[i - 1] + np.sqrt(1 - tie**2) * rng.normal()
    white = fading_tip._whitened(2.0 * noise, np.full(len(noise), 2.0))
    assert np.std(white) == pytest.approx(1.0, abs=0.05)
    assert np.corrcoef(white[1:], white[:-1])[0, 1] == pytest.approx(0.0, abs=0.05)
