"""Numbers follow the hand: quick on every move, in full when the hand rests.

The quick evaluation runs as soon as the mark is painted in its new place, of the newest
place only. Run beside it would take twice as long and hold up the painting too, for both
need the interpreter; so only what is too long for that (a molar on a slow machine) runs
beside, newest first. The full one, with Monte Carlo where a formula is bent, always does.
"""

import time
from collections import deque
from statistics import median_low

from PySide6.QtCore import QObject, QTimer, Signal

# A move that comes meanwhile waits no longer than this. Time of the processor, not of the
# clock: beside, the clock also counts the waiting for the interpreter. Longer than a frame:
# beside, the latest marks are hardly earlier and numbers much later (docs/decisions/0005).
QUICK_ENOUGH_S = 0.024
REST_MS = 150


class Evaluator(QObject):
    """Keeps the newest evaluation.

    Signals
    -------
    evaluated(object, bool)
        The Evaluation, and whether it is the full one.
    """

    evaluated = Signal(object, bool)

    def __init__(self, background, parent=None):
        super().__init__(parent)
        self._background = background
        self._question = None
        self._task = None
        self._waiting = None
        self._took = deque(maxlen=5)  # seconds of the last quick evaluations
        self._soon = QTimer(self, singleShot=True, interval=0)
        self._soon.timeout.connect(self._answer_now)
        self._rest = QTimer(self, singleShot=True, interval=REST_MS)
        self._rest.timeout.connect(self._ask_in_full)

    @property
    def settled(self):
        """True when the newest evaluation is the full one."""
        return self._question is None and self._task is None and not self._rest.isActive()

    @property
    def due(self):
        """True while the newest question is about to be answered."""
        return self._soon.isActive()

    @property
    def quick(self):
        """True while an evaluation is quick enough to run here after every move."""
        return not self._took or median_low(self._took) <= QUICK_ENOUGH_S

    def ask(self, question, resting=True):
        """Evaluate ``question``, a callable ``question(live, check)``.

        ``check``, when given, raises Cancelled once the answer is no longer wanted.

        Parameters
        ----------
        question : callable or None
            None forgets what was asked.
        resting : bool
            False while something is dragged: the full evaluation waits.
        """
        self._question = question
        self._rest.stop()
        if self._task is not None:
            self._task.cancel()
        if question is None:
            return
        if self.quick:
            self._soon.start()
        elif self._waiting is None:
            self._start_beside(question)
        if resting:
            self._rest.start()

    def _answer_now(self):
        question = self._question
        if question is None:
            return
        start = time.thread_time()
        evaluation = question(True)
        took = time.thread_time() - start
        self._took.append(took)
        self.evaluated.emit(evaluation, False)

    def _start_beside(self, question):
        task = self._waiting = self._background.start(_timed, question)
        task.finished.connect(lambda answer: self._beside(question, answer))
        task.failed.connect(lambda error: self._beside(question, None))
        task.cancelled.connect(lambda: self._beside(question, None))

    def _beside(self, question, answer):
        self._waiting = None
        if answer is not None:
            evaluation, took = answer
            self._took.append(took)
            if self._question is not None:
                self.evaluated.emit(evaluation, False)
        if self._question is not None and self._question is not question:
            self._start_beside(self._question)

    def _ask_in_full(self):
        question = self._question
        if question is None:
            return
        task = self._task = self._background.start(lambda report: question(False, report.check))
        task.finished.connect(lambda evaluation: self._in_full(question, evaluation))
        task.done.connect(lambda: self._ended(task))

    def _in_full(self, question, evaluation):
        if self._question is question:
            self._question = None
            self.evaluated.emit(evaluation, True)

    def _ended(self, task):
        if self._task is task:
            self._task = None


def _timed(report, question):
    start = time.thread_time()
    evaluation = question(True)
    return evaluation, time.thread_time() - start
