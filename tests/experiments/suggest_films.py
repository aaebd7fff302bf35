"""Films with their true landmarks, and rough clicks on them, for the suggest experiments."""

import json
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image

from radmeasure.model.landmarks import Hints, Landmarks, Root
from radmeasure.model.tooth import Tooth

CLICK_SD_MM = 0.7


@dataclass(frozen=True, eq=False)
class TrueFilm:
    """A film, its true landmarks and scale, what is known of how it was drawn, and neighbours.

    A neighbour is a mapping: ``tooth``, and ``coronal``, ``apices``, ``cej`` in film px.
    """

    name: str
    pixels: np.ndarray
    truth: Landmarks
    px_per_mm: float
    domain: dict
    neighbours: tuple = ()


def read_film(png):
    """The film ``png`` with the truth beside it."""
    png = Path(png)
    data = json.loads(png.with_name(f"{png.stem}.landmarks.json").read_text())
    values = json.loads(png.with_name(f"{png.stem}.truth.json").read_text())
    roots = {k: Root(r.get("points", {}), r.get("lines", {})) for k, r in data["roots"].items()}
    truth = Landmarks(Tooth(data["tooth"]), points=data["points"], roots=roots)
    pixels, domain = np.asarray(Image.open(png)), values.get("domain", {})
    beside = tuple(values.get("neighbours", ()))
    return TrueFilm(png.stem, pixels, truth, values["px_per_mm_along"], domain, beside)


def films(*folders):
    """Every film with truth in ``folders``, by name."""
    found = sorted(p for folder in folders for p in Path(folder).glob("*.png"))
    read = [read_film(p) for p in found if p.with_name(f"{p.stem}.landmarks.json").exists()]
    return [film for film in read if coronal_end(film.truth) is not None]


def coronal_end(truth):
    """Where a user would click the coronal end, or None when it is off the film.

    The coronal reference, or half-way between the margins of a lost crown.
    """
    placed = truth.points
    if "coronal_reference" in placed:
        return np.array(placed["coronal_reference"])
    pair = ("margin_mesial", "margin_distal")
    if not all(name in placed for name in pair):
        return None
    return np.mean([placed[name] for name in pair], axis=0)


def scattered_hints(film, rng, third_click=False, sd_mm=CLICK_SD_MM):
    """Rough clicks: coronal reference and apex of each root; half-way on the canal if asked."""
    click = _clicker(film, rng, sd_mm)
    points = {"coronal_reference": click(coronal_end(film.truth))}
    roots = {}
    for name, root in film.truth.roots.items():
        lines = {}
        if third_click:
            canal = root.lines["canal"]
            lines = {"canal": [click(canal[len(canal) // 2])]}
        roots[name] = Root({"apex": click(root.points["apex"])}, lines)
    return Hints(film.truth.tooth, points=points, roots=roots)


def neighbour_hints(film, neighbour, rng, sd_mm=CLICK_SD_MM):
    """Rough clicks on one of the teeth beside the tooth."""
    click = _clicker(film, rng, sd_mm)
    roots = {name: Root({"apex": click(apex)}) for name, apex in neighbour["apices"].items()}
    points = {"coronal_reference": click(neighbour["coronal"])}
    return Hints(Tooth(neighbour["tooth"]), points=points, roots=roots)


def _clicker(film, rng, sd_mm):
    sd = sd_mm * film.px_per_mm
    high = np.array(film.pixels.shape[::-1]) - 1.0

    def click(point):
        return tuple(np.clip(np.asarray(point) + rng.normal(0.0, sd, 2), 0, high).tolist())

    return click
