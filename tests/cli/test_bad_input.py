"""Bad films and landmark files: exit 2, one clear line, no output file."""

import copy
import json
import os
import struct
import zlib

import numpy as np
import pytest
from PIL import Image

from radmeasure.cli import main

GOOD = {
    "format": "radmeasure.landmarks",
    "version": 1,
    "tooth": "11",
    "scale": [
        {
            "from": "known_length",
            "length_mm": 21.0,
            "u_mm": 0.25,
            "points": [[40, 10], [40, 180]],
            "along": "tooth",
        }
    ],
    "points": {"coronal_reference": [40, 190], "cej_mesial": [60, 120], "cej_distal": [20, 120]},
    "roots": {"single": {"points": {"apex": [40, 5]}, "lines": {}}},
}


@pytest.fixture
def film(tmp_path):
    path = tmp_path / "film.png"
    ramp = np.linspace(0, 65535, 200 * 80).reshape(200, 80).astype(np.uint16)
    Image.fromarray(ramp).save(path)
    return path


def run(capsys, film, landmarks, out):
    """Exit status and the lines on stderr."""
    status = main(["measure", str(film), "--landmarks", str(landmarks), "--out", str(out)])
    return status, capsys.readouterr().err.splitlines()


def refused(capsys, film, landmarks, tmp_path, says):
    out = tmp_path / "out.json"
    status, lines = run(capsys, film, landmarks, out)
    assert status == 2
    assert len(lines) == 1, lines
    assert lines[0].startswith("radmeasure: error: ")
    for word in says:
        assert word in lines[0]
    assert not out.exists()
    assert not [p for p in tmp_path.iterdir() if p.name.startswith(".")]


def write(tmp_path, data):
    path = tmp_path / "l.json"
    path.write_text(data if isinstance(data, str) else json.dumps(data))
    return path


def test_the_good_file_is_measured(capsys, film, tmp_path):
    out = tmp_path / "out.json"
    status, lines = run(capsys, film, write(tmp_path, GOOD), out)
    assert (status, lines) == (0, [])
    assert json.loads(out.read_text())["format"] == "radmeasure.readings"


def changed(path, value):
    """GOOD with one entry set (or, with ``...``, removed)."""
    data = copy.deepcopy(GOOD)
    place = data
    for step in path[:-1]:
        place = place[step]
    if value is ...:
        del place[path[-1]]
    else:
        place[path[-1]] = value
    return data


BAD_ENTRIES = [
    (("format",), "other.landmarks", ["format", "radmeasure.landmarks"]),
    (("format",), ..., ["format"]),
    (("version",), 2, ["version 2", "newer"]),
    (("version",), "1", ["version"]),
    (("tooth",), "19", ["tooth", "19", "ISO 3950"]),
    (("tooth",), 11, ["tooth", "ISO 3950"]),
    (("tooth",), ..., ["tooth"]),
    (("colour",), "red", ["unknown key", "colour", "known: format"]),
    (("points", "nose"), [1, 2], ["nose", "known: coronal_reference"]),
    (("points", "cej_mesial"), [1, 2, 3], ["cej_mesial"]),
    (("points", "cej_mesial"), ["1", 2], ["cej_mesial"]),
    (("points", "cej_mesial"), [1, None], ["cej_mesial"]),
    (("points", "cej_mesial"), [True, 1], ["cej_mesial"]),
    (("points", "cej_mesial"), [500, 120], ["cej_mesial", "off the film"]),
    (("points", "cej_mesial"), [-1, 120], ["cej_mesial", "off the film"]),
    (("roots", "left"), {"points": {}}, ["left", "known: single"]),
    (("roots", "single", "points", "tip"), [1, 2], ["tip", "known: apex"]),
    (("roots", "single", "lines", "nerve"), [[1, 2], [3, 4]], ["nerve", "known: canal"]),
    (("roots", "single", "lines", "canal"), [[1, 2]], ["canal", "at least 2"]),
    (("roots", "single", "lines", "canal"), [[1, 2], [1, 2]], ["canal", "coincide"]),
    (("roots", "single", "shape"), [], ["shape", "known: points, lines"]),
    (("scale", 0, "from"), "ruler", ["ruler", "known_length"]),
    (("scale", 0, "length_mm"), 0, ["length_mm", "above 0"]),
    (("scale", 0, "length_mm"), -3, ["length_mm", "above 0"]),
    (("scale", 0, "u_mm"), "x", ["u_mm"]),
    (("scale", 0, "u_mm"), ..., ["u_mm"]),
    (("scale", 0, "points"), [[40, 10], [40, 10]], ["coincide"]),
    (("scale", 0, "points"), [[40, 10]], ["at least 2"]),
    (("scale", 0, "along"), "up", ["along", "across"]),
    (("scale", 0), {"from": "sphere", "diameter_mm": 5, "u_mm": 0.1, "points": [[1, 1], [2, 2]]},
     ["at least 3"]),
    (("scale", 0), {"from": "detector", "mm_per_px": 0.04, "magnification": 0}, ["magnification"]),
    (("u_px",), {"apex": 0}, ["u_px apex"]),
    (("u_px",), {"ear": 2}, ["ear"]),
    (("given",), {"file_length_mm": 210}, ["file_length_mm", "210"]),
    (("given",), {"mood": 1}, ["mood", "known: file_length_mm"]),
    (("given",), {"technique": "guess"}, ["technique", "paralleling"]),
]  # fmt: skip


@pytest.mark.parametrize(("path", "value", "says"), BAD_ENTRIES)
def test_a_wrong_entry_is_named(capsys, film, tmp_path, path, value, says):
    refused(capsys, film, write(tmp_path, changed(path, value)), tmp_path, says)


BAD_TEXTS = {
    "empty": ("", "empty"),
    "truncated": (json.dumps(GOOD)[:100], "not valid JSON"),
    "a list": ("[1, 2]", "not an object"),
    "NaN": (json.dumps(GOOD).replace("[40, 5]", "[NaN, 5]"), "NaN"),
    "infinite": (json.dumps(GOOD).replace("[40, 5]", "[1e999, 5]"), "apex"),
    "deep": ("[" * 100_000, "nested"),
}


@pytest.mark.parametrize("name", BAD_TEXTS)
def test_a_broken_landmark_file(capsys, film, tmp_path, name):
    text, word = BAD_TEXTS[name]
    refused(capsys, film, write(tmp_path, text), tmp_path, [word])


def test_landmarks_that_are_no_text(capsys, film, tmp_path):
    refused(capsys, film, film, tmp_path, ["UTF-8"])


def test_landmarks_that_are_a_folder_or_absent(capsys, film, tmp_path):
    refused(capsys, film, tmp_path, tmp_path, ["folder"])
    refused(capsys, film, tmp_path / "none.json", tmp_path, ["none."])


def png_header(width, height):
    """A PNG that claims a size and holds nothing."""

    def chunk(kind, data):
        body = kind + data
        return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))

    header = struct.pack(">IIBBBBB", width, height, 16, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", b"") + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("empty.png", b""),
        ("text.png", b"this is not an image at all"),
        ("huge.png", png_header(60_000, 60_000)),
        ("hollow.png", png_header(100, 100)),
        ("zip.dcm", b"PK\x03\x04" + bytes(200)),
        ("preamble.dcm", bytes(128) + b"DICM"),
        ("noise.jpg", b"\xff\xd8\xff" + bytes(range(256))),
        ("noise.tif", b"II*\x00" + bytes(range(256))),
    ],
)
def test_a_broken_film(capsys, tmp_path, name, data):
    path = tmp_path / name
    path.write_bytes(data)
    refused(capsys, path, write(tmp_path, GOOD), tmp_path, [name])


def test_a_cut_film(capsys, film, tmp_path):
    cut = tmp_path / "cut.png"
    cut.write_bytes(film.read_bytes()[:-4000])
    refused(capsys, cut, write(tmp_path, GOOD), tmp_path, ["cut.png"])


def test_a_film_that_is_a_folder_absent_or_a_pipe(capsys, tmp_path):
    landmarks = write(tmp_path, GOOD)
    refused(capsys, tmp_path, landmarks, tmp_path, ["folder"])
    refused(capsys, tmp_path / "none.png", landmarks, tmp_path, ["none."])
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    refused(capsys, pipe, landmarks, tmp_path, ["pipe"])


def test_output_into_nowhere_changes_nothing(capsys, film, tmp_path):
    out = tmp_path / "no" / "folder" / "out.json"
    status, lines = run(capsys, film, write(tmp_path, GOOD), out)
    assert status == 2
    assert len(lines) == 1
    assert "cannot be written" in lines[0]


def test_a_required_reading_that_is_missing(capsys, film, tmp_path):
    """Done in part: exit 1, the readings file is written all the same."""
    out = tmp_path / "out.json"
    words = ["measure", str(film), "--landmarks", str(write(tmp_path, GOOD)), "--out", str(out)]
    assert main([*words, "--quiet", "--require", "tooth_length"]) == 0
    assert main([*words, "--quiet", "--require", "bone_support"]) == 1
    assert out.exists()
    assert main([*words, "--quiet", "--require", "beauty"]) == 2
    assert "beauty" in capsys.readouterr().err
