"""Choosing in the window: amounts to gain and the worksheet, by mouse and by keyboard."""

import html

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel
from window_hands import SAMPLES, drag


@pytest.fixture
def elm(hands, window):
    """Elm with its true landmarks placed, the post plan in hand."""
    hands.open(SAMPLES / "elm.png")
    desk = window.desk
    desk.set_job("post plan")
    desk.set_tooth("15")
    hands.take_marks("elm", "15")
    hands.settle()
    return window


def _gains(window):
    (gains,) = window.desk.evaluation.gains
    return gains


def _pull(amount, mm):
    """Drag a slider's handle by the mouse to an amount."""
    from PySide6.QtWidgets import QStyle, QStyleOptionSlider

    slider = amount.slider
    option = QStyleOptionSlider()
    slider.initStyleOption(option)
    handle = slider.style().subControlRect(
        QStyle.ComplexControl.CC_Slider, option, QStyle.SubControl.SC_SliderHandle, slider
    )
    room = slider.width() - handle.width()
    start = QPointF(handle.center())
    step = (10 * mm - slider.value()) / (slider.maximum() - slider.minimum()) * room
    drag(slider, start, start + QPointF(step, 0))


def test_amount_and_its_split_are_dragged(elm, hands):
    """The whole amount and what of it is drawn out; ratio and ferrule follow, undo takes back."""
    page = elm.leaves.turn_to("ways")
    hands.settle()
    whole, drawn, _ = page._parts[0]
    assert _gains(elm).amount_mm == pytest.approx(1.6, abs=0.05)
    before = _gains(elm).option("lengthening").crown_root.value
    _pull(whole, 3.0)
    hands.settle()
    gains = _gains(elm)
    assert gains.dragged and gains.amount_mm == pytest.approx(3.0, abs=0.15)
    assert gains.option("lengthening").crown_root.value > before
    _pull(drawn, 2.0)
    hands.settle()
    both = _gains(elm).option("both")
    assert both.extrusion_mm == pytest.approx(2.0, abs=0.15)
    assert both.lengthening_mm == pytest.approx(gains.amount_mm - both.extrusion_mm)
    elm.desk.undo()
    hands.settle()
    both = _gains(elm).option("both")
    assert both.extrusion_mm == pytest.approx(both.lengthening_mm)


def test_what_is_under_the_hand_stays_while_figures_follow(elm, hands, qtbot):
    """The page is not laid out anew while an amount is dragged."""
    page = elm.leaves.turn_to("ways")
    hands.settle()
    parts = page._parts
    elm.desk.drag_plan("gain_mm", 2.5, "single")
    qtbot.waitUntil(lambda: "2.5 mm" in parts[0][2].text(), timeout=10000)
    assert page._parts is parts


def test_amount_by_keyboard(elm, hands):
    """Arrow keys move a tenth, a typed number is taken, a slip is said and nothing changes."""
    page = elm.leaves.turn_to("ways")
    hands.settle()
    whole = page._parts[0][0]
    whole.slider.setFocus()
    before = _gains(elm).amount_mm
    QTest.keyClick(whole.slider, Qt.Key.Key_Right)
    hands.settle()
    assert _gains(elm).amount_mm == pytest.approx(round(before, 1) + 0.1)
    whole.field.setFocus()
    whole.field.selectAll()
    QTest.keyClicks(whole.field, "2.4")
    QTest.keyClick(whole.field, Qt.Key.Key_Return)
    hands.settle()
    assert _gains(elm).amount_mm == pytest.approx(2.4)
    whole.field.selectAll()
    QTest.keyClicks(whole.field, "two")
    QTest.keyClick(whole.field, Qt.Key.Key_Return)
    hands.settle()
    assert _gains(elm).amount_mm == pytest.approx(2.4)
    assert "not a number" in elm.notice.text


def test_ways_show_each_verdict_and_recommend_none(elm, hands):
    page = elm.leaves.turn_to("ways")
    hands.settle()
    said = " ".join(label.text() for label in page.page.findChildren(QLabel))
    assert "ferrule, distal, at least 1.5 mm" in said and "✗</b> 0." in said
    assert "short of the rules by" in said
    assert "Which way, if any, is the clinician's choice" in html.unescape(said)


def test_worksheet_is_answered_by_one_key_a_line(elm, hands, qtbot):
    """Every question by hand in one go: a key each, the focus goes on by itself."""
    page = elm.leaves.turn_to("worksheet")
    hands.settle()
    qtbot.waitUntil(lambda: hasattr(QApplication.focusWidget(), "leaf"), timeout=5000)
    asked = [filled for filled in page._sheet().entries if filled.entry.choices]
    keys = 0
    while keys < 40:
        focused = QApplication.focusWidget()
        name = getattr(focused, "name", None)
        sheet = {filled.entry.name: filled for filled in page._sheet().entries}
        if name is None or sheet[name].value is not None:
            break
        hands.key(getattr(Qt.Key, f"Key_{sheet[name].entry.choices[0][0].upper()}"))
        hands.settle()
        keys += 1
    open_ = [f for f in asked if f.value is None and not f.entry.optional]
    left = [f for f in page._sheet().missing if f.entry.choices]
    assert left == [] and keys == len(open_)
    said = page._told.text()
    assert "Speaks for a post, core and crown" in said and "Indications met" in said
    assert "Kind of post, considerations only" in said


def _gain_handle(chart):
    return next(h for h in chart.handles if h.name == "gain")


def test_the_gain_is_dragged_on_the_level_chart(elm, hands):
    """Down the root is more; the bone's edge to be is drawn; page, plan and undo agree."""
    chart = elm.levels.chart
    handle = _gain_handle(chart)
    start, pull = QPointF(*handle.at), QPointF(*handle.along) * handle.per_mm
    assert handle.value == pytest.approx(_gains(elm).amount_mm)
    assert not any(shape.pen == "crest_after" for shape in chart.drawing.shapes)
    drag(chart, start, start + pull * (3.0 - handle.value))
    hands.settle()
    assert elm.desk.plan.gain_mm == 3.0 and type(elm.desk.plan.gain_mm) is float
    drawn = [shape for shape in chart.drawing.shapes if shape.pen == "crest_after"]
    assert len(drawn) == 2
    for shape, side in zip(drawn, ("mesial", "distal"), strict=True):
        crest = (f"crest_{side}", "crest")
        bar = next(s for s in chart.drawing.shapes if (s.about, s.pen) == crest)
        moved = shape.points[-1][1] - bar.points[-1][1]
        assert abs(moved) == pytest.approx(3.0 * handle.per_mm, rel=0.01)
    page = elm.leaves.turn_to("ways")
    hands.settle()
    assert page._parts[0][0].field.text() == "3.0"
    elm.desk.undo()
    hands.settle()
    assert elm.desk.plan is None or elm.desk.plan.gain_mm is None


def test_the_gain_is_changed_by_keys_on_the_level_chart(elm, hands):
    chart = elm.levels.chart
    hands.key(Qt.Key.Key_F7)
    for _ in range(len(chart.handles) - 1):
        hands.key(Qt.Key.Key_Space)
    before = _gain_handle(chart).value
    hands.key(Qt.Key.Key_Up, Qt.KeyboardModifier.ShiftModifier)
    hands.settle()
    assert elm.desk.plan.gain_mm == pytest.approx(round(before + 1.0, 1))
    hands.key(Qt.Key.Key_Delete)
    hands.settle()
    assert elm.desk.plan is None
