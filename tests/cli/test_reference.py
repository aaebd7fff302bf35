"""radmeasure reference: the contract's references file, and what it refuses."""

import json
from pathlib import Path

import pytest

from radmeasure.cli import main

SAMPLES = Path(__file__).resolve().parents[2] / "sample_images"


def test_the_file_written_has_the_documented_shape(tmp_path, capsys):
    """docs/command-line.md: format, version and for each object five entries."""
    out = tmp_path / "found.json"
    assert main(["reference", str(SAMPLES / "birch.png"), "--out", str(out)]) == 0
    written = json.loads(out.read_text())
    assert (written["format"], written["version"]) == ("radmeasure.references", 1)
    (ball,) = written["found"]
    assert set(ball) == {"kind", "points", "size_px", "u_size_px", "confidence"}
    assert ball["kind"] == "sphere"
    assert len(ball["points"]) >= 3
    assert 0 < ball["u_size_px"] < 0.02 * ball["size_px"]
    assert 0.6 < ball["confidence"] <= 1
    assert "sphere" in capsys.readouterr().out


def test_near_nothing_lists_nothing_and_says_why(tmp_path, capsys):
    out = tmp_path / "found.json"
    film = str(SAMPLES / "birch.png")
    assert main(["reference", film, "--near", "15,15", "--out", str(out)]) == 0
    assert json.loads(out.read_text())["found"] == []
    assert capsys.readouterr().out.strip()


@pytest.mark.parametrize("near", ["12", "a,b", "1,2,3", "nan,4", "5,inf", "-4,10", "10,100000"])
def test_a_place_that_is_none_is_an_error_and_writes_nothing(tmp_path, capsys, near):
    out = tmp_path / "found.json"
    film = str(SAMPLES / "birch.png")
    assert main(["reference", film, f"--near={near}", "--out", str(out)]) == 2
    assert capsys.readouterr().err.startswith("radmeasure: error: ")
    assert not out.exists()


def test_a_film_that_is_none_is_an_error_and_writes_nothing(tmp_path, capsys):
    bad, out = tmp_path / "film.png", tmp_path / "found.json"
    bad.write_bytes(b"no picture")
    assert main(["reference", str(bad), "--out", str(out)]) == 2
    assert capsys.readouterr().err.startswith("radmeasure: error: ")
    assert not out.exists()
