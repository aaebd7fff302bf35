"""A scene becomes a film."""

from dataclasses import dataclass

import numpy as np

from radmeasure.phantoms import beam as beams
from radmeasure.phantoms import raycast, receptor, scene, trabeculae

_LYING = (1.0, 0.8, 1.15)  # trabeculae of a lower molar region run level (assumption)
_EVEN = (1.0, 1.0, 1.0)


@dataclass(frozen=True)
class Tables:
    """Data of ``calibration/`` the films need.

    Attributes
    ----------
    anatomy : mapping
        anatomy.toml.
    spectra, attenuation : mapping of column name to ndarray
    """

    anatomy: dict
    spectra: dict
    attenuation: dict

    def beam(self, name):
        thick = self.anatomy["scintillator"]["thickness_mm"]
        return beams.beam(self.spectra, self.attenuation, thick, name)


def bone_texture(made, anatomy):
    """Share of bone in the spongiosa along the ray of every pixel."""
    recipe = made.recipe
    value = anatomy["value"]
    spacing = value["trabecula_thickness"]["mm"] + value["trabecula_separation"]["mm"]
    percent = recipe.bone.trabecular_percent or value["bone_volume_percent"]["value"]
    rows, columns = made.view.shape
    pitch = recipe.receptor.pitch_um / 1000
    half = made.jaw.half_width_mm - made.jaw.plate_mm
    # The block repeats without a seam, so it need not be wider than the film.
    wide, high = columns * pitch + 2, rows * pitch + 2
    lying = recipe.tooth.kind == "molar" and not recipe.tooth.upper
    seed = recipe.seed if recipe.bone_seed is None else recipe.bone_seed
    bone = trabeculae.network(
        seed, wide, high, 2 * half, spacing, percent / 100, _LYING if lying else _EVEN
    )
    step = max(1, round(0.08 / pitch))
    # The block of bone hangs on the tooth, not on the film, so recall films show the same bone.
    origin = (-wide / 2, -high / 2)
    return trabeculae.seen(made.view, bone, -half, half, origin, step)


def primary(made, tables, report=None):
    """Signal behind the scene relative to the open beam, without scatter, blur or noise.

    Parameters
    ----------
    made : Scene
    tables : Tables
    report : callable, optional
        Called with the share done, 0 to 1; it may raise to stop.

    Returns
    -------
    ndarray, shape (H, W), float64
    """
    the_beam = tables.beam(made.recipe.receptor.beam)
    names = the_beam.materials
    share = bone_texture(made, tables.anatomy)
    cheek = tables.anatomy["value"]["cheek"]["mm"]
    found = raycast.boxes(made.parts, made.view)
    out = np.empty(made.view.shape)
    todo = list(raycast.tiles(made.view.shape))
    for number, tile in enumerate(todo):
        if report is not None:
            report(0.1 + 0.8 * number / len(todo))
        y0, y1, x0, x1 = tile
        rays, here, split = raycast.sample(made.view, made.parts, found, tile)
        mm = raycast.thickness(here, rays, names)
        local = share[y0:y1, x0:x1].repeat(split, axis=0).repeat(split, axis=1).ravel()
        spongy = mm[names.index("spongiosa")].copy()
        mm[names.index("spongiosa")] = 0
        mm[names.index("cortical")] += spongy * local
        mm[names.index("marrow")] += spongy * (1 - local)
        mm[names.index("soft")] += cheek
        signal = the_beam.signal(mm)
        out[y0:y1, x0:x1] = signal.reshape(y1 - y0, split, x1 - x0, split).mean(axis=(1, 3))
    return out


def develop(recipe, signal, magnification, tables):
    """Grey values of a primary signal."""
    pitch = recipe.receptor.pitch_um / 1000
    quanta = tables.beam(recipe.receptor.beam).quanta(recipe.receptor.kerma_ugy, pitch**2)
    rng = np.random.default_rng([recipe.seed, 3])
    count = receptor.detected(signal, recipe.receptor, quanta, magnification, rng)
    return receptor.grey(count, recipe.receptor, quanta, recipe.tooth.kind)


def make(recipe, tables, report=None):
    """Scene and pixels of a recipe.

    Returns
    -------
    made : Scene
    pixels : ndarray, shape (H, W), uint16
    """
    made = scene.build(recipe, tables.anatomy)
    signal = primary(made, tables, report)
    return made, develop(recipe, signal, made.view.magnification, tables)
