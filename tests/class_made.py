"""A class for tests: shipped synthetic films with their truth, and students who mark them."""

import json
import shutil
from pathlib import Path

import numpy as np

from radmeasure.files.landmarks_json import landmarks_text, read_landmarks
from radmeasure.model.landmarks import ROOT_LINES
from radmeasure.teaching.placement import axes

SAMPLES = Path(__file__).resolve().parents[1] / "sample_images"
FILMS = ("alder", "birch", "cedar", "elm", "fir", "ivy-plan", "juniper-earlier")


def teacher(folder):
    """Puts seven films with their truth into a folder; two of them with their picture."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in FILMS:
        shutil.copy(SAMPLES / f"{name}.truth.json", folder)
    for picture in ("alder.dcm", "cedar.dcm"):
        shutil.copy(SAMPLES / picture, folder)
    return folder


def truth_of(name):
    """(exact landmarks, px per mm) of a film."""
    path = SAMPLES / f"{name}.truth.json"
    return read_landmarks(path), json.loads(path.read_text())["px_per_mm_along"]


def as_marked(name, draw, scatter_mm, bias_mm=None):
    """Landmarks as a student places them.

    Parameters
    ----------
    name : str
    draw : numpy Generator
    scatter_mm : float
        Standard deviation along each axis; a line moves as a whole, sideways or not.
    bias_mm : mapping of landmark name to (along, across), optional
    """
    truth, px_per_mm = truth_of(name)
    marked = truth
    for root, mark, value in list(truth.placed()):
        along, across = axes(truth, root)
        a, c = (bias_mm or {}).get(mark, (0.0, 0.0))
        moved = (a * along + c * across + draw.normal(0, scatter_mm, 2)) * px_per_mm
        if mark in ROOT_LINES:
            new = tuple((x + moved[0], y + moved[1]) for x, y in value)
        else:
            new = tuple(np.add(value, moved))
        marked = marked.with_placed(mark, new, root)
    return marked


def student(folder, name, seed, scatter_mm, bias_mm=None, films=FILMS, end=".landmarks.json"):
    """Hands in a landmark file for every film."""
    (folder / name).mkdir(exist_ok=True)
    draw = np.random.default_rng(seed)
    for film in films:
        text = landmarks_text(as_marked(film, draw, scatter_mm, bias_mm))
        (folder / name / f"{film}{end}").write_text(text)
