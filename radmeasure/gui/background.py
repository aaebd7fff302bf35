"""Long work off the interface thread, with progress and cancel.

The executor's threads see only plain Python objects and one long-lived relay;
the per-task QObject is made, referenced and destroyed on the interface thread
alone. (Handing a per-task QObject to a worker crashed in half of all runs.)
"""

import itertools
import os
import sys
import threading
import time
import traceback
from concurrent.futures import ThreadPoolExecutor

from PySide6.QtCore import QObject, Qt, Signal, Slot

from radmeasure.errors import Cancelled

REPORT_EVERY_S = 0.04
# A worker gives the interpreter up this soon when the window asks for it; Python's own
# 5 ms, several times a frame, are felt.
GIVE_WAY_S = 0.0005
STAND_BACK = 5


class Reporter:
    """What the work calls: ``report(share)`` with the share done, 0 to 1; raises Cancelled."""

    def __init__(self, number, emit):
        self._number, self._emit = number, emit
        self._stop = threading.Event()
        self._last = 0.0

    def cancel(self):
        self._stop.set()

    def check(self):
        if self._stop.is_set():
            raise Cancelled

    def __call__(self, share, *_):
        self.check()
        now = time.monotonic()
        if now - self._last > REPORT_EVERY_S or share >= 1:
            self._last = now
            self._emit(self._number, "progress", (float(share),))


class Task(QObject):
    """One piece of work as the interface thread sees it."""

    progress = Signal(float)
    finished = Signal(object)
    failed = Signal(object)
    cancelled = Signal()
    done = Signal()

    def __init__(self, reporter, parent):
        super().__init__(parent)
        self._reporter = reporter

    def cancel(self):
        self._reporter.cancel()


class _Relay(QObject):
    message = Signal(int, str, object)


class Background(QObject):
    """Runs functions on a few threads; results arrive on the interface thread.

    Parameters
    ----------
    threads : int
        One by default: evaluations and suggestions queue behind each other and
        a superseded one is cancelled.
    """

    def __init__(self, parent=None, threads=1):
        super().__init__(parent)
        self._numbers = itertools.count(1)
        self._live = {}
        self._relay = _Relay(self)
        self._relay.message.connect(self._heard, Qt.ConnectionType.QueuedConnection)
        self._executor = ThreadPoolExecutor(threads, "radmeasure", initializer=_stand_back)
        self._ended = False
        sys.setswitchinterval(GIVE_WAY_S)

    @property
    def busy(self):
        return bool(self._live)

    def start(self, function, *args, **kwargs):
        """Run ``function(report, *args, **kwargs)``; returns its Task.

        After :meth:`shutdown` nothing is run any more, and the Task never ends.
        """
        number = next(self._numbers)
        reporter = Reporter(number, self._relay.message.emit)
        task = Task(reporter, self)
        if self._ended:
            return task
        self._live[number] = task
        self._executor.submit(
            _run, number, reporter, self._relay.message.emit, function, args, kwargs
        )
        return task

    @Slot(int, str, object)
    def _heard(self, number, kind, args):
        task = self._live.get(number)
        if task is None:
            return
        if kind != "progress":
            del self._live[number]
        getattr(task, kind).emit(*args)
        if kind != "progress":
            task.done.emit()
            task.deleteLater()

    def shutdown(self):
        """Cancel what runs and wait for the threads; nothing is delivered afterwards."""
        if self._ended:
            return
        self._ended = True
        for task in self._live.values():
            task.cancel()
        self._live.clear()
        self._executor.shutdown(wait=True, cancel_futures=True)
        self._relay.message.disconnect(self._heard)


def _stand_back():
    """The window comes before the work: where threads have priorities of their own, lower it."""
    if sys.platform == "linux":
        os.setpriority(os.PRIO_PROCESS, threading.get_native_id(), STAND_BACK)


def _run(number, reporter, emit, function, args, kwargs):
    try:
        reporter.check()
        outcome = ("finished", (function(reporter, *args, **kwargs),))
        reporter.check()
    except Cancelled:
        outcome = ("cancelled", ())
    except Exception as error:
        # Text only: the frames would keep the worker's locals alive.
        error.details = traceback.format_exc()
        error.__traceback__ = None
        outcome = ("failed", (error,))
    emit(number, *outcome)
