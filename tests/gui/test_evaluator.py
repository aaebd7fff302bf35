"""Which evaluations run in the window after every move, and which beside."""

import gc
import threading
from types import SimpleNamespace

import pytest
from PySide6.QtCore import QPointF
from window_hands import SAMPLES, move, press, release

from radmeasure.errors import Cancelled
from radmeasure.gui import evaluator as module
from radmeasure.gui.background import Background
from radmeasure.gui.evaluator import Evaluator


@pytest.fixture
def evaluator(qtbot):
    background = Background()
    yield Evaluator(background)
    background.shutdown()


@pytest.fixture
def answer(monkeypatch, evaluator, qtbot):
    """``answer(seconds)`` has a question answered that takes so much processor time."""

    def run(seconds):
        ticks = iter((0.0, seconds))
        clock = SimpleNamespace(thread_time=lambda: next(ticks))
        monkeypatch.setattr(module, "time", clock)
        with qtbot.waitSignal(evaluator.evaluated):
            evaluator.ask(lambda live: object(), resting=False)

    return run


def test_one_slow_evaluation_does_not_send_the_next_ones_beside(evaluator, answer):
    """A pause of the collector or of the machine says nothing of the next move."""
    for seconds in (0.008, 0.008, 0.060, 0.008):
        answer(seconds)
        assert evaluator.quick


def test_evaluations_that_stay_slow_run_beside_until_they_are_quick_again(evaluator, answer):
    """A first one is slow, for it loads what it needs."""
    answer(0.060)
    assert not evaluator.quick
    answer(0.008)
    assert evaluator.quick
    for _ in range(3):
        answer(0.030)
    assert not evaluator.quick
    for _ in range(3):
        answer(0.008)
    assert evaluator.quick


def test_a_full_evaluation_ends_when_a_mark_is_taken_up_again(evaluator, qtbot):
    begun, ended = threading.Event(), threading.Event()

    def first(live, check=None):
        while not live:  # as long as draws take on a slow machine
            begun.set()
            try:
                check()
            except Cancelled:
                ended.set()
                raise
        return object()

    evaluator.ask(first)
    qtbot.waitUntil(begun.is_set)
    evaluator.ask(lambda live, check=None: object(), resting=False)
    qtbot.waitUntil(ended.is_set)


def test_the_collector_leaves_what_is_loaded_alone(window, qtbot):
    """Looking through all libraries takes 40 ms; it is at work again once they are set aside."""
    qtbot.waitUntil(lambda: gc.isenabled() and gc.get_freeze_count() > 0, timeout=20000)
    assert gc.get_freeze_count() > 10_000


def test_the_collector_rests_while_a_mark_is_dragged(window, hands, qtbot):
    """It is at work again once the mark is let go, or the drag is broken off."""
    qtbot.waitUntil(lambda: gc.isenabled() and gc.get_freeze_count() > 0, timeout=20000)
    hands.open(SAMPLES / "cedar.dcm")
    desk, canvas = window.desk, window.canvas
    desk.place("apex", "single", (300.0, 250.0))
    hands.settle()
    at = hands.at((300.0, 250.0))
    for end in (release, lambda canvas, at: desk.drop_preview()):
        press(canvas, at)
        move(canvas, at + QPointF(0, 9))
        assert not gc.isenabled()
        end(canvas, at + QPointF(0, 9))
        assert gc.isenabled()
        release(canvas, at)
        hands.settle()
        at = hands.at(desk.landmarks.get("apex", "single"))
