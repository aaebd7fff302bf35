"""Length-check films of many-rooted teeth: each root by its own file."""

import pytest
from drawn_tooth import DrawnRoot, DrawnTooth

from radmeasure.files.rulebook import read_rulebook
from radmeasure.model.landmarks import KnownLength, Sphere
from radmeasure.workflow.evaluate import evaluate

RULES = read_rulebook()
TOP_MM = 7.0


def molar(**file_mm):
    """Two straight roots of 13 mm; a file of each length from 7 mm above the CEJ."""
    roots = {
        "mesial": DrawnRoot(at=2.5, width=(3.0, 2.0), filling=None),
        "distal": DrawnRoot(at=-2.5, width=(3.0, 2.0), filling=None),
    }
    tooth = DrawnTooth(fdi="36", crown=TOP_MM, roots=roots)
    film, files = tooth.landmarks(), []
    for root, length in file_mm.items():
        ends = [tooth.to_px((roots[root].at, level)) for level in (-TOP_MM, length - TOP_MM)]
        film = film.with_placed("file_stop", ends[0], root).with_placed("file_tip", ends[1], root)
        files.append(KnownLength(length, 0.02, tuple(ends), "tooth"))
    return film.with_scale(*files)


def working(film, root):
    return evaluate(film, RULES, live=True).reading("working_length", root)


def test_each_root_takes_the_length_of_its_own_file():
    """20 mm = 18.5 + 1.5 = 19.0 + 1.0: file and gap make the same canal, less 1 mm (Weine)."""
    film = molar(mesial=18.5, distal=19.0)
    for root in ("mesial", "distal"):
        reading = working(film, root)
        assert "file length" in reading.method
        assert reading.quantity.value == pytest.approx(19.0, abs=0.01)


def test_a_root_without_a_file_is_measured_along_its_canal():
    reading = working(molar(mesial=18.5), "distal")
    assert reading.method.startswith("canal length")


def test_a_tip_without_a_known_length_says_what_is_missing():
    """A ball gives the scale, a tip the gap: the length of the file is asked for, and taken."""
    ball = Sphere(5.0, 0.01, ((300, 100), (500, 100), (400, 0), (400, 200)))
    film = molar(mesial=18.5).with_scale(ball)
    film = film.with_placed("orifice", None, "mesial").with_placed("canal", None, "mesial")
    reading = working(film, "mesial")
    assert reading.quantity is None and "file_length_mm" in reading.missing
    entered = working(film.with_given("file_length_mm", 18.5), "mesial")
    assert entered.quantity.value == pytest.approx(19.0, abs=0.01)
    assert "length of the file" in " ".join(entered.quantity.budget)
