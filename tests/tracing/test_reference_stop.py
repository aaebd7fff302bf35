"""The stop of a file: the shadow of a tilted disc, and its face on drawn strips."""

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from radmeasure.tracing.reference_plate import prepare
from radmeasure.tracing.reference_stop import Stop, find_stop, path_through, strip_along

PX_PER_MM = 25.0


def length_by_stepping(s, o, near, thick, radius, tilt):
    """Length of a ray inside a tilted disc, by stepping along the ray; all mm.

    The ray runs along z, the disc's axis lies in the s-z plane, ``tilt`` off s.
    """
    z = np.linspace(-6, 6, 24001)
    centre = near - 0.5 * thick * np.cos(tilt)
    along = (s - centre) * np.cos(tilt) + z * np.sin(tilt)
    off = -(s - centre) * np.sin(tilt) + z * np.cos(tilt)
    inside = (np.abs(along) <= thick / 2) & (off**2 + o**2 <= radius**2)
    return inside.sum() * (z[1] - z[0])


@pytest.mark.parametrize("tilt_deg", [2.0, 12.0, 25.0])
def test_path_through_a_disc_is_what_stepping_along_the_ray_gives(tilt_deg):
    """Brute force as the reference; the model leaves out the factor 1 / cos t (common to all)."""
    tilt, radius, thick, near = np.radians(tilt_deg), 1.5, 1.3, 2.0
    for s in (0.6, 1.0, 1.4, 1.9, 2.0, 2.2):
        for o in (0.2, 0.8, 1.2):
            stepped = length_by_stepping(s, o, near, thick, radius, tilt)
            model = path_through(s, o, near, thick * np.cos(tilt), radius, np.sin(tilt))
            assert model * 2 * radius / np.cos(tilt) == pytest.approx(stepped, abs=0.01)


@pytest.mark.parametrize("tilt_deg", [0.0, 10.0, 25.0])
def test_the_half_level_lies_at_the_face_however_tilted(tilt_deg):
    """The face on the axis projects to the middle of the flank (derived)."""
    o = 0.7
    args = (2.0, 1.3, 1.5, np.sin(np.radians(tilt_deg)))
    plateau = path_through(2.0 - 0.65, o, *args)
    assert path_through(2.0, o, *args) == pytest.approx(0.5 * plateau, rel=1e-6)


def drawn(tilt_deg=8.0, crown_mm=0.4, height=0.3, thick=1.3, ramp_mm=1.5):
    """A film with a vertical shaft, a disc on it and a crown below; the face is at row 400."""
    rng = np.random.default_rng(5)
    y, x = np.mgrid[0:1000, 0:600]
    s, o = (y - 400) / PX_PER_MM, (x - 300) / PX_PER_MM
    tilt = np.radians(tilt_deg)
    density = 1.2 * np.sqrt(np.maximum(0.2**2 - o**2, 0)) / 0.2 * (s > -14)
    if height:
        density += height * path_through(s, o, 0.0, thick * np.cos(tilt), 1.4, np.sin(tilt))
    density += np.clip((s - crown_mm - 0.08 * o**2) / ramp_mm, 0, 1)
    density = gaussian_filter(density, 0.04 * PX_PER_MM) + 0.05
    return np.round(2000 * density + rng.normal(0, 5, density.shape)).clip(0).astype(np.uint16)


def searched(pixels):
    plate = prepare(pixels)
    axis = np.array([300.0, 0.0]), np.array([0.0, 1.0])
    return find_stop(plate, strip_along(plate, *axis, 60, 700, 0.4 * PX_PER_MM))


@pytest.mark.parametrize("tilt_deg", [0.0, 8.0, 20.0])
@pytest.mark.parametrize("crown_mm", [0.6, 0.1])
def test_the_face_is_found_to_a_tenth_of_a_mm(tilt_deg, crown_mm):
    stop = searched(drawn(tilt_deg, crown_mm))
    assert isinstance(stop, Stop)
    assert abs(stop.near - 400) < 0.1 * PX_PER_MM
    assert abs(stop.near - 400) < 3 * stop.u_px
    assert stop.radius_px == pytest.approx(1.4 * PX_PER_MM, rel=0.05)


@pytest.mark.parametrize(
    ("access_mm", "dense", "above_mm"), [(1.0, 0.3, 0.3), (0.7, 0.7, 0.2), (1.4, 0.6, 0.3)]
)
def test_a_face_an_opened_crown_hides_is_taken_to_rest_on_it(access_mm, dense, above_mm):
    """A stop is set on the crown (common practice): not deep in it, nor as sure as one seen."""
    rng = np.random.default_rng(5)
    y, x = np.mgrid[0:1000, 0:600]
    s, o = (y - 400) / PX_PER_MM, (x - 300) / PX_PER_MM
    density = 1.2 * np.sqrt(np.maximum(0.2**2 - o**2, 0)) / 0.2 * (s > -14)
    density += 0.3 * path_through(s, o, 0.0, 1.3, 1.4, 0.14)
    crown = np.clip((s + above_mm) / 0.5, 0, 1)
    density += crown * np.where(np.abs(o) < access_mm, dense, 1.0)
    density = gaussian_filter(density, 0.04 * PX_PER_MM) + 0.05
    pixels = np.round(2000 * density + rng.normal(0, 5, density.shape)).clip(0)
    stop = searched(pixels.astype(np.uint16))
    assert isinstance(stop, Stop)
    assert stop.rests
    assert abs(stop.near - 400) < 0.25 * PX_PER_MM
    assert abs(stop.near - 400) < 2 * stop.u_px


def test_the_end_of_a_handle_is_not_taken_for_the_stop_the_crown_hides():
    """Stops are about 1 to 2 mm thick (common practice); 3 mm of this handle are seen as one."""
    rng = np.random.default_rng(5)
    y, x = np.mgrid[0:1000, 0:600]
    s, o = (y - 400) / PX_PER_MM, (x - 300) / PX_PER_MM
    density = 1.2 * np.sqrt(np.maximum(0.2**2 - o**2, 0)) / 0.2 * (s > -14)
    density += 0.3 * path_through(s, o, 0.0, 1.3, 1.4, 0.14)
    density += 0.4 * path_through(s, o, -5.0, 3.0, 1.9, 0.02)
    density += np.clip((s + 0.3) / 0.5, 0, 1) * np.where(np.abs(o) < 1.0, 0.3, 1.0)
    density = gaussian_filter(density, 0.04 * PX_PER_MM) + 0.05
    pixels = np.round(2000 * density + rng.normal(0, 5, density.shape)).clip(0)
    stop = searched(pixels.astype(np.uint16))
    assert isinstance(stop, Stop)
    assert abs(stop.near - 400) < 0.25 * PX_PER_MM


def test_a_face_the_crown_covers_is_less_sure():
    free, covered = (searched(drawn(crown_mm=crown, ramp_mm=0.4)) for crown in (0.6, 0.0))
    assert covered.u_px > 2 * free.u_px


def test_without_a_disc_none_is_seen():
    assert searched(drawn(height=0.0)) == "no stop can be seen on the file"


def test_a_long_handle_is_no_stop():
    """Stops are about 1 to 2 mm thick, handles 9 mm and more (common practice, no source)."""
    assert isinstance(searched(drawn(thick=9.0)), str)
