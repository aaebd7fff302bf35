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


def test_of_many_clicks_the_last_is_looked_at(window, hands, monkeypatch):
    """A search takes its time: clicks that are waiting give way to the last one."""
    from threading import Event

    from radmeasure.gui import referencing

    hands.open(SAMPLES / "cedar.dcm")
    go_on, looked = Event(), []

    def find(report, film, near):
        looked.append(near)
        go_on.wait(10)

    monkeypatch.setattr(referencing, "_find_at", find)
    for x in range(8):
        window.referencing.look_at((float(x), 0.0))
    go_on.set()
    hands.settle()
    assert looked[-1] == (7.0, 0.0) and len(looked) <= 3  # two threads, and the last


def test_what_was_found_on_another_film_is_not_offered(window, hands, monkeypatch):
    from threading import Event

    from radmeasure.gui import referencing

    hands.open(SAMPLES / "cedar.dcm")
    go_on, offered = Event(), []
    monkeypatch.setattr(referencing, "_find_at", lambda *_: go_on.wait(10) and None)
    monkeypatch.setattr(window.referencing, "_found_at", offered.append)
    window.referencing.look_at((10.0, 10.0))
    window.desk.show_film(None)
    go_on.set()
    hands.settle()
    assert offered == []
