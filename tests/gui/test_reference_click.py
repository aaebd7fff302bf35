"""One click beside a reference object shows its fit; it counts only once its size is given."""

import json

import pytest
from window_hands import SAMPLES

TRUTH = json.loads((SAMPLES / "alder.landmarks.json").read_text())


@pytest.fixture
def alder(hands, window):
    """Alder opened, its tooth named, a scale asked for."""
    hands.open(SAMPLES / "alder.png")
    hands.type(TRUTH["tooth"])
    window.desk.choose("scale")
    hands.settle()
    return window


def test_a_click_beside_the_file_shows_its_line_and_counts_once_its_length_is_typed(hands, alder):
    line = TRUTH["scale"][0]["points"]
    x, y = line[len(line) // 2]
    hands.click((x + 8, y))
    hands.settle()
    pending = alder.desk.pending
    assert pending.kind == "file"
    assert pending.points[0] == pytest.approx(line[0], abs=6)
    assert pending.points[-1] == pytest.approx(line[-1], abs=10)
    assert not alder.desk.landmarks.scale
    hands.type("21")
    hands.settle()
    (entry,) = alder.desk.landmarks.scale
    assert (entry.length_mm, entry.along) == (21.0, "tooth")
    assert entry.points == pending.points


def test_a_click_where_nothing_is_says_so(hands, alder):
    said = []
    alder.desk.said.connect(lambda words, _: said.append(words))
    hands.click((40.0, 40.0))
    hands.settle()
    assert alder.desk.pending is None
    assert "Drag along something of known length" in said[-1]
