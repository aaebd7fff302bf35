"""What is painted while a mark is dragged."""

import json

import numpy as np
from PySide6.QtCore import QPoint, QPointF, QRect
from PySide6.QtGui import QImage, QRegion
from window_hands import SAMPLES, move, press, release

from radmeasure.gui.level_painter import Painted

RGB = QImage.Format.Format_RGB32


def _post_plan(hands):
    """The tooth's own points and the apex of Cedar placed, the post plan in hand."""
    truth, desk = json.loads((SAMPLES / "cedar.landmarks.json").read_text()), hands.window.desk
    desk.set_job("post plan")
    for name, place in truth["points"].items():
        desk.place(name, None, tuple(place))
    desk.place("apex", "single", tuple(truth["roots"]["single"]["points"]["apex"]))
    hands.settle()


def test_the_other_names_stay_while_a_mark_is_dragged(window, hands):
    """Only the name of the mark under the hand moves, and never onto another one."""
    hands.open(SAMPLES / "birch.png")
    desk, canvas = window.desk, window.canvas
    desk.set_tooth("21")
    desk.place("coronal_reference", None, (300.0, 700.0))
    desk.place("apex", "single", (300.0, 250.0))
    hands.settle()
    at = hands.at((300.0, 250.0))
    press(canvas, at)
    seen, pictures = [], []
    for step in range(1, 60):
        move(canvas, at + QPointF(0, 5.0 * step))
        pictures.append(canvas._still_key)
        named = [(item.key, rect) for item, _, rect, _ in canvas.overlay._around]
        seen.append(named)
        one = [i for i in canvas.overlay.items if i.key == ("apex", "single")]
        metrics = canvas.fontMetrics()
        own = canvas.overlay._laid_out(
            canvas.camera, canvas.size(), metrics, one, canvas.overlay._around
        )
        assert own and not any(own[0][2].intersects(rect) for _, rect in named)
    assert seen[0] and all(named == seen[0] for named in seen)
    # The other marks keep their slant till the apex, an end of the axis, is let go.
    assert all(key == pictures[0] for key in pictures)
    release(canvas, at)
    hands.settle()
    assert canvas.overlay._axis_at_rest == canvas.overlay.axis


def test_no_sentence_is_cut_off_while_a_mark_is_dragged(window, hands, qtbot):
    """A sentence that gets longer gets its room at once: a caution may stand at its end."""
    hands.open(SAMPLES / "cedar.dcm")
    desk, record = window.desk, window.leaves.record
    desk.set_job("post plan")
    truth = json.loads((SAMPLES / "cedar.landmarks.json").read_text())
    for name, place in truth["points"].items():
        desk.place(name, None, tuple(place))
    desk.place("apex", "single", tuple(truth["roots"]["single"]["points"]["apex"]))
    hands.settle()
    x, y = desk.landmarks.get("crest_mesial")
    heights = set()
    for step in range(-40, 200, 8):
        desk.drag("crest_mesial", None, (x, y - step))
        qtbot.wait(30)
        lines = [line for line in record._lines if line.isVisible()]
        heights.add(tuple(line.heightForWidth(line.width()) for line in lines))
        assert all(line.height() >= line.heightForWidth(line.width()) for line in lines)
    assert len(heights) > 1
    desk.drop_preview()
    hands.settle()
    lines = [line for line in record._lines if line.isVisible()]
    assert all(line.height() >= line.heightForWidth(line.width()) for line in lines)


def test_the_screen_shows_what_a_drag_would_paint_anew(window, hands):
    """Only what moves is painted again, and nothing of where it was is left behind."""
    hands.open(SAMPLES / "cedar.dcm")
    desk, canvas = window.desk, window.canvas
    _post_plan(hands)
    x, y = hands.at(desk.landmarks.get("apex", "single")).toTuple()
    press(canvas, QPointF(x, y))
    corner = QPointF(12, canvas.height() - 12)  # where the scale bar stands
    path = [QPointF(x + 3 * k, y + 2 * k) for k in range(12)]
    path += [corner, corner + QPointF(40, -30), QPointF(x, y), QPointF(x + 200, y + 90)]
    partly = 0
    for at in path:
        move(canvas, at)
        hands.qtbot.wait(20)
        partly += canvas._changed() != QRegion(canvas.rect())
        place = QRect(canvas.mapTo(window, QPoint(0, 0)), canvas.size())
        shown = window.screen().grabWindow(window.winId()).toImage().copy(place)
        anew = canvas.grab().toImage()
        assert _apart(shown, anew) is None, at
    assert partly > 10
    release(canvas, at)
    hands.settle()


def test_the_chart_follows_a_drag_piece_by_piece(window, hands, qtbot):
    """The old one is seen whole until the new one is; a hand that holds still sees its chart."""
    hands.open(SAMPLES / "cedar.dcm")
    desk, chart = window.desk, window.levels.chart
    _post_plan(hands)
    before, followed, (x, y) = chart.drawing, [], desk.landmarks.get("apex", "single")
    for step in range(1, 60):
        desk.drag("apex", "single", (x, y + step))
        qtbot.wait(17)
        if chart.drawing is not before:
            before = chart.drawing
            followed.append(step)
        assert chart._painted.drawing == chart.drawing  # what its handles are taken from
    assert len(followed) > 1
    for rests_after in range(1, 6):  # at any piece
        qtbot.wait(250)  # another chart is due
        for step in range(rests_after):
            desk.drag("apex", "single", (x + rests_after, y + step / 2))
            qtbot.wait(17)
        qtbot.wait(700)
        assert chart.drawing == chart._laid_out()
    desk.drop_preview()
    hands.settle()
    chart.repaint()
    assert chart._painted.smooth


def test_a_chart_in_pieces_is_the_chart(window, hands):
    """Painted with the hand on the clock or at once: the same picture."""
    hands.open(SAMPLES / "cedar.dcm")
    desk, chart = window.desk, window.levels.chart
    desk.place("coronal_reference", None, (300.0, 700.0))
    desk.place("apex", "single", (300.0, 250.0))
    hands.settle()
    given = (chart.drawing, "paper", chart.size(), 1.0, chart.font())
    whole, pieces, turns = Painted(*given), Painted(*given), 1
    assert whole.go_on()
    while not pieces.go_on(0.0):
        turns += 1
    assert turns > 2
    assert pieces.picture.toImage() == whole.picture.toImage()


def _apart(one, other):
    """(left, top, right, bottom) of where two pictures differ, or None.

    A step of a few grey levels is the rim of a stroke, smoothed in two halves.
    """
    a, b = (
        np.frombuffer(image.convertToFormat(RGB).constBits(), np.uint8)
        .reshape(image.height(), image.width(), 4)
        .astype(int)
        for image in (one, other)
    )
    rows, columns = np.nonzero(np.abs(a - b).max(axis=2) > 8)
    return (columns.min(), rows.min(), columns.max(), rows.max()) if len(rows) else None
