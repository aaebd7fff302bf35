"""Films whose exact truth comes from a generator that is not ours.

The truth is three-dimensional, the film a projection: even true landmark positions
leave a residue, which must lie inside the stated uncertainty.
"""

import json
from pathlib import Path

import pytest

from radmeasure.files.landmarks_json import read_landmarks
from radmeasure.files.rulebook import read_rulebook
from radmeasure.model.landmarks import Detector
from radmeasure.workflow.evaluate import evaluate

FOLDER = Path(__file__).resolve().parents[2].parent / "shared" / "films"
NAMES = sorted(p.name.removesuffix(".truth.json") for p in FOLDER.glob("*.truth.json"))
pytestmark = pytest.mark.skipif(not NAMES, reason="the films of an outside generator are absent")


@pytest.fixture(scope="module")
def measured():
    """{film: [(id, root, side, value, interval, truth)]} of all films."""
    rulebook = read_rulebook()
    found = {}
    for name in NAMES:
        landmarks = read_landmarks(FOLDER / f"{name}.landmarks.json")
        evaluation = evaluate(landmarks, rulebook)
        truth = json.loads((FOLDER / f"{name}.truth.json").read_text())["values"]
        rows = []
        for key, true in truth.items():
            id_, root, side = key.split("|")
            id_ = "canal_length" if id_ == "canal_length_to_foramen" else id_
            reading = evaluation.reading(id_, root, None if side == "None" else side)
            if reading is not None and reading.quantity is not None:
                q = reading.quantity
                rows.append((id_, root, side, q.value, q.interval95, true))
        found[name] = rows
    return found


def _off(measured, ids, limit):
    """Names of film and root where a reading lies further from the truth than ``limit``."""
    return {
        (film, id_, root, side)
        for film, rows in measured.items()
        for id_, root, side, value, _, true in rows
        if id_ in ids and limit(film, value, true)
    }


def test_truth_lies_in_the_interval_in_19_of_20(measured):
    rows = [row for film in measured.values() for row in film]
    inside = sum(low <= true <= high for *_, (low, high), true in rows)
    assert len(rows) > 200
    assert inside >= 0.95 * len(rows)


def test_tooth_length(measured):
    """Within 2 % on single-rooted teeth and 4 % on molars.

    Known exception: on 'curved' the wire lies off the tooth's plane (0.7 %) and the cusp
    off its axis (1 mm), which one film cannot show: 2.02 %.
    """

    def far(film, value, true):
        return abs(value / true - 1) > (0.04 if "molar" in film else 0.02)

    assert _off(measured, {"tooth_length"}, far) <= {("curved", "tooth_length", "single", "None")}


def test_bone_support_within_one_point(measured):
    far = _off(measured, {"bone_support"}, lambda film, value, true: abs(value - true) > 1)
    assert not far


def test_crown_root_ratio_within_two_percent(measured):
    """Known exceptions: the anatomic ratio where the reference cusp lies off the axis."""
    ids = {"crown_root_anatomic", "crown_root_clinical"}
    far = _off(measured, ids, lambda film, value, true: abs(value / true - 1) > 0.02)
    assert far <= {
        ("curved", "crown_root_anatomic", "single", "None"),
        ("file-molar", "crown_root_anatomic", "distal", "None"),
        ("filled-molar", "crown_root_anatomic", "distal", "None"),
    }


def test_two_axis_scale_halves_the_error_of_the_pitch_alone():
    """A bisected film with a file: tooth length against the receptor's pitch alone."""
    landmarks = read_landmarks(FOLDER / "file-bisected.landmarks.json")
    truth = json.loads((FOLDER / "file-bisected.truth.json").read_text())
    true = truth["values"]["tooth_length|single|None"]
    rulebook = read_rulebook()
    without_file = landmarks.with_given("file_length_mm", None)
    pitch = without_file.with_scale(Detector(truth["pitch_mm"]))
    both = evaluate(landmarks, rulebook).reading("tooth_length", "single").quantity.value
    alone = evaluate(pitch, rulebook).reading("tooth_length", "single").quantity.value
    assert abs(both - true) <= 0.5 * abs(alone - true)
