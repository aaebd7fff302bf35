"""Random anatomy for training films: teeth and jaws unlike the mean of the tables.

Scorers that have seen one way of drawing a tooth learn that way, not teeth. So the
tables of calibration/anatomy.toml, the way enamel thins out towards the cervix and the
flatness of the proximal faces are drawn at random, wider than life (assumptions of this
experiment, no source).
"""

from contextlib import contextmanager
from copy import deepcopy
from unittest import mock

import numpy as np

from radmeasure.phantoms import tooth_shape
from radmeasure.phantoms.profile import tabulated


def random_anatomy(anatomy, rng):
    """A varied copy of ``anatomy`` and what was drawn that matters to the CEJ."""
    made = deepcopy(anatomy)
    domain = {
        "cervical_curve": float(rng.uniform(0.2, 1.3)),
        "enamel": [float(max(rng.uniform(-0.1, 0.25), 0.0)), float(rng.uniform(0.25, 0.9)),
                   float(rng.uniform(1.2, 4.0))],
        "square": float(max(rng.uniform(-0.4, 0.7), 0.0)),
    }  # fmt: skip

    def factor(spread):
        return float(np.exp(rng.normal(0.0, spread)))

    for row in made["tooth"].values():
        row["cej_curve"] = [domain["cervical_curve"] * factor(0.25) * v for v in row["cej_curve"]]
        row["enamel"] *= factor(0.2)
        for name in ("crown_md", "crown_bl", "cervix_bl"):
            row[name] *= factor(0.06)
    for form in made["form"].values():
        _vary_form(form, rng, factor)
        form["square"] = [domain["square"], domain["square"] * float(rng.uniform(0.0, 0.6))]
    for row in made["canal"].values():
        if isinstance(row, dict):
            for name in ("md", "bl"):
                row[name] = [factor(0.1) * factor(0.3) * v for v in row[name]]
    for group in made["roots"].values():
        _vary_roots(group, rng, factor)
    _vary_values(made["value"], rng, factor)
    made["scintillator"]["thickness_mm"] *= factor(0.4)
    return made, domain


def _vary_form(form, rng, factor):
    form["contact"] = [float(np.clip(v + rng.normal(0, 0.06), 0.4, 0.9)) for v in form["contact"]]
    form["edge_md"] = float(np.clip(form["edge_md"] * factor(0.08), 0.5, 0.98))
    form["edge_bl"] = float(np.clip(form["edge_bl"] * factor(0.2), 0.15, 0.85))
    form["edge_drop"] = [factor(0.4) * v for v in form["edge_drop"]]
    form["cusps"] = [[m, li, drop * factor(0.4)] for m, li, drop in form["cusps"]]


def _vary_roots(group, rng, factor):
    group["trunk"] *= factor(0.12)
    for row in group.values():
        if isinstance(row, dict):
            row["splay"] = [v + float(rng.normal(0.0, 2.5)) for v in row["splay"]]
            row["md"], row["bl"] = row["md"] * factor(0.08), row["bl"] * factor(0.08)
            row["share"] *= factor(0.05)


def _vary_values(value, rng, factor):
    def drawn(name, low, high):
        value[name]["mm"] = float(rng.uniform(low, high))

    drawn("ligament", 0.13, 0.35)
    drawn("lamina_dura", 0.05, 0.5)
    drawn("facial_crest_drop", 0.0, 3.5)
    drawn("gingiva", 0.5, 3.0)
    drawn("cheek", 1.0, 16.0)
    plates = ("cortical_anterior", "cortical_posterior")
    trabeculae = ("trabecula_thickness", "trabecula_separation")
    for name in (*plates, *trabeculae, "chamber_height_upper", "chamber_height_lower"):
        value[name]["mm"] *= factor(0.25)


@contextmanager
def drawn_by(domain):
    """Draw teeth whose enamel ends by another rule, on a dentine that runs on without a step."""
    if not domain:
        yield
        return
    core, crown_profiles = tooth_shape._enamel, tooth_shape._crown_profiles

    def profiles(size, form, root_half2, root_ratio, root_centre, enamel):
        smooth = core(size["enamel"], size["crown"])
        return crown_profiles(size, form, root_half2, root_ratio, root_centre, smooth)

    with (
        mock.patch.object(tooth_shape, "_enamel", _enamel_of(*domain["enamel"])),
        mock.patch.object(tooth_shape, "_crown_profiles", profiles),
    ):
        yield


def _enamel_of(blunt, extent, power):
    """Enamel with a blunt end (mm), an extent (share of the crown) and an exponent."""

    def thickness_of(greatest, crown_mm):
        def thickness(x):
            x = np.maximum(x, 0)
            u = np.minimum(x / (extent * crown_mm), 1)
            return blunt * (1 - np.exp(-x / 0.2)) + (greatest - blunt) * (1 - (1 - u) ** power)

        return tabulated(-30.0, 20.0, thickness)

    return thickness_of
