"""Where a file's shaft ends, though it loses contrast before; films drawn by plain numpy."""

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from radmeasure.tracing import reference_plate, reference_rods
from radmeasure.tracing.reference_shaft import find_tip, follow

PX_PER_MM = 25.0
CONE_MM = 0.13  # of a tip, too thin to be seen (assumption, no source)


def film(end_mm, drop_mm, beyond, line_beyond=0.0, grain=0.006):
    """A level shaft of row 300 from the open into a tooth at 8 mm.

    From ``drop_mm`` to ``end_mm`` it shows only ``beyond`` of its contrast, after it a bright
    line of ``line_beyond`` goes on, as bone between two roots may.
    """
    rng = np.random.default_rng(7)
    y, x = np.mgrid[0:600, 0:1000]
    s, o = (x - 100) / PX_PER_MM, (y - 300) / PX_PER_MM
    width = np.exp(-0.5 * (o / 0.11) ** 2)
    height = np.where(s < 8, 0.35, 0.2 - 0.004 * (s - 8))
    height = np.where(s > drop_mm, beyond * height, height)
    height = np.where(s > end_mm - CONE_MM, line_beyond, height) * (s > 0)
    tooth = 0.45 / (1 + np.exp(-(s - 8) / 0.15)) * (np.abs(o) < 5)
    bone = gaussian_filter(rng.normal(size=x.shape), 5.0)
    grey = 0.05 + tooth - 0.06 * (s > drop_mm) + height * width
    grey = gaussian_filter(grey, 1.0) + grain * (s > 8) * bone / bone.std()
    grey += rng.normal(0, 0.003, x.shape)
    return np.round(4000 * grey).clip(0, 4095).astype(np.uint16)


def tip_of(pixels):
    plate = reference_plate.prepare(pixels)
    rods = reference_rods.measured(plate)
    shafts = [shaft for shaft in (follow(plate, rod) for rod in rods) if not isinstance(shaft, str)]
    return find_tip(plate, shafts[0])


@pytest.mark.parametrize("drop_mm", [15.0, 17.0])
def test_a_shaft_that_comes_out_of_a_shadow_fainter_is_followed_to_its_end(drop_mm):
    """It loses half of its contrast at once, as where a crown's shadow ends, and goes on."""
    line, u = tip_of(film(21.0, drop_mm, 0.4))
    error = (line[-1][0] - 100) / PX_PER_MM - 21.0
    assert abs(error) < 0.6
    assert abs(error) < 1.96 * u / PX_PER_MM


def test_a_shaft_that_ends_is_not_followed_into_the_bone():
    line, u = tip_of(film(17.0, 30.0, 1.0))
    assert (line[-1][0] - 100) / PX_PER_MM == pytest.approx(17.0, abs=0.2)
    assert u < 0.3 * PX_PER_MM


def test_a_faint_line_beyond_that_may_be_the_shaft_or_bone_is_no_sure_tip():
    """As strong as what else lines the bone: either refused or told to be unsure."""
    found = tip_of(film(15.0, 30.0, 1.0, line_beyond=0.085, grain=0.02))
    if isinstance(found, str):
        assert "tip" in found
    else:
        assert found[1] > 0.3 * PX_PER_MM


def test_what_ends_soon_beyond_a_loss_of_contrast_is_not_told_from_bone():
    """A line of the bone's own beyond the tip looks as the file's last millimetre would."""
    found = tip_of(film(21.0, 19.1, 0.4))
    assert isinstance(found, str) and "bone" in found
