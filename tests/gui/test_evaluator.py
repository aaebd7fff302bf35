"""Which evaluations run in the window after every move, and which beside."""

import gc
from types import SimpleNamespace

import pytest

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


def test_the_collector_leaves_what_is_loaded_alone(window, qtbot):
    """Looking through all libraries takes 40 ms; it is at work again once they are set aside."""
    qtbot.waitUntil(lambda: gc.isenabled() and gc.get_freeze_count() > 0, timeout=20000)
    assert gc.get_freeze_count() > 10_000
