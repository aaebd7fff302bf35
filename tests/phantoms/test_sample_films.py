"""The shipped samples: what a scenario needs, truth inside the interval, remade exactly."""

import json

import pytest

from radmeasure.files.landmarks_json import check_on_film, read_landmarks
from radmeasure.files.rulebook import read_rulebook
from radmeasure.files.shipped import shipped
from radmeasure.workflow.evaluate import evaluate
from radmeasure.workflow.films import open_film
from radmeasure.workflow.synthesise import synthesise_files

FOLDER = shipped("sample_images")
NAMES = sorted(p.name.removesuffix(".truth.json") for p in FOLDER.glob("*.truth.json"))
RULES = read_rulebook()


def film_of(name):
    return next(p for s in ("dcm", "png", "jpg") if (p := FOLDER / f"{name}.{s}").exists())


def test_every_scenario_has_a_film():
    first = {name.split("-")[0] for name in NAMES}
    assert first == {"alder", "birch", "cedar", "elm", "fir", "hazel", "ivy", "juniper"}


@pytest.mark.parametrize("name", NAMES)
def test_a_sample_opens_with_its_landmarks(name):
    film = open_film(film_of(name))
    landmarks = read_landmarks(FOLDER / f"{name}.landmarks.json")
    check_on_film(landmarks, film.width, film.height)
    assert read_landmarks(FOLDER / f"{name}.truth.json").tooth == landmarks.tooth


def test_truth_lies_in_the_stated_interval_in_19_of_20():
    """The generator's three-dimensional truth against the readings of its own landmarks."""
    inside, outside = 0, []
    for name in NAMES:
        landmarks = read_landmarks(FOLDER / f"{name}.landmarks.json")
        evaluation = evaluate(landmarks, RULES)
        values = json.loads((FOLDER / f"{name}.truth.json").read_text())["values"]
        for key, true in values.items():
            id_, root, side = (None if part == "None" else part for part in key.split("|"))
            reading = evaluation.reading(id_, root, side)
            if reading is None or reading.quantity is None:
                continue
            low, high = reading.quantity.interval95
            if low <= true <= high:
                inside += 1
            else:
                outside.append((name, key, true, low, high))
    assert inside > 150
    assert len(outside) <= (inside + len(outside)) / 20, outside


def test_a_sample_is_remade_bit_for_bit(tmp_path):
    """The same recipe and seed give the same pixels and the same truth."""
    for path in synthesise_files(str(FOLDER / "cedar.toml"), None, str(tmp_path)):
        if path.suffix != ".dcm":  # its header names the moment it was written
            assert path.read_bytes() == (FOLDER / path.name).read_bytes(), path.name
    made, shipped_film = open_film(tmp_path / "cedar.dcm"), open_film(FOLDER / "cedar.dcm")
    assert (made.pixels == shipped_film.pixels).all()
