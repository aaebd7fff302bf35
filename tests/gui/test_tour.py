"""The tour, done by mouse and keys as it says, to its end."""

import json

from PySide6.QtCore import QPointF, Qt
from window_hands import SAMPLES, drag

from radmeasure.gui.tour import STOPS

CTRL = Qt.KeyboardModifier.ControlModifier


def test_the_tour_can_be_done_as_it_says(hands, window, qtbot):
    """Every stop is left by doing what it asks for; none is passed over by itself."""
    marks = json.loads((SAMPLES / "cedar.landmarks.json").read_text())
    tour, desk = window.tour, window.desk
    window.commands["tour_start"].trigger()
    hands.settle()
    assert tour.running and window.canvas.hasFocus()
    seen = [tour._at]

    def went_on():
        hands.settle()
        qtbot.waitUntil(lambda: tour._at > seen[-1], timeout=10000)
        seen.append(tour._at)

    tour._on.click()
    went_on()
    assert desk.tooth == "11"  # the sample names its tooth, so the tour asks for none
    ball = next(e for e in marks["scale"] if e["from"] == "sphere")
    centre = [sum(p[i] for p in ball["points"]) / len(ball["points"]) for i in (0, 1)]
    while tour._at == seen[-1]:  # in whichever order the job asks for the two
        hands.settle()
        if desk.want.name == "technique":
            hands.key(Qt.Key.Key_1)
        elif desk.pending is not None:
            hands.type("5")
        else:
            hands.key(Qt.Key.Key_K)
            hands.click(centre)
        hands.settle()
    went_on()
    hands.click(marks["points"]["coronal_reference"])
    went_on()
    hands.click(marks["roots"]["single"]["points"]["apex"])
    went_on()
    hands.type("10.5")
    went_on()
    hands.key(Qt.Key.Key_Return, CTRL)
    went_on()
    if desk.want is not None:  # something was not suggested
        while desk.want is not None:
            hands.key(Qt.Key.Key_Backspace)
        went_on()
    record = window.leaves.record
    line = next(li for li in record._lines if li.key and '<a href="why' in li.html)
    line.linkActivated.emit(f"why:{line.key}")
    went_on()
    apex = desk.landmarks.roots["single"].points["apex"]
    hands.drag(apex, (apex[0] + 8, apex[1] + 5))
    hands.settle()
    assert tour._at == seen[-1]
    hands.key(Qt.Key.Key_Z, CTRL)
    assert desk.landmarks.roots["single"].points["apex"] == apex  # one undo is enough
    went_on()
    chart = window.levels.chart
    seal = next(h for h in chart.handles if h.name == "seal")
    down = QPointF(*seal.at) - QPointF(seal.along[0], seal.along[1]) * seal.per_mm
    drag(chart, QPointF(*seal.at), down)
    went_on()
    assert abs(desk.plan.seal_mm - 4.0) < 0.2
    assert tour._at == len(STOPS) - 1
    tour._end.click()
    assert not tour.running
    skipped = set(range(len(STOPS))) - set(seen)
    # Only what was left over, if there is nothing.
    assert skipped <= {6}, skipped


def test_the_tour_can_be_left_at_any_stop(window, hands):
    window.commands["tour_start"].trigger()
    hands.settle()
    window.tour._end.click()
    assert not window.tour.running and window.desk.film is not None


def test_going_on_never_takes_the_keys_from_the_film(window, hands, qtbot):
    window.commands["tour_start"].trigger()
    hands.settle()
    qtbot.mouseClick(window.tour._on, Qt.MouseButton.LeftButton)
    assert window.canvas.hasFocus()
