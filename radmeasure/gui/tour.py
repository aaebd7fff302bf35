"""A first walk through the program on a sample case, about three minutes long."""

from dataclasses import dataclass

from PySide6.QtCore import QT_TRANSLATE_NOOP, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from radmeasure.gui.focus import put_away
from radmeasure.gui.wording import translate

SAMPLE = "Cedar"


@dataclass(frozen=True)
class Stop:
    """One stop: what is said, and ``done(window)``, which is True when it was done."""

    text: str
    done: object = None


def _placed(name):
    return lambda w: (
        w.desk.ready
        and any(n == name for _, n, _ in (w.desk.landmarks.placed() if w.desk.landmarks else ()))
    )


def _given(name):
    return lambda w: w.desk.landmarks is not None and name in w.desk.landmarks.given


def _plan(entry):
    return lambda w: w.desk.plan is not None and getattr(w.desk.plan, entry) is not None


STOPS = (
    Stop(
        QT_TRANSLATE_NOOP(
            "Tour",
            "This is Cedar, a synthetic film of a root-filled tooth 11 that is to carry a post. "
            "The line at the bottom always says what is wanted next, and which key does what. "
            "Go on when you have found it.",
        ),
    ),
    Stop(
        QT_TRANSLATE_NOOP(
            "Tour",
            "How was the film taken? Press 1, paralleling. And millimetres need something of known "
            "size: when the line asks how wide the ringed ball is, type 5 and Enter; if it is not "
            "ringed, press K and click it first.",
        ),
        lambda w: _given("technique")(w) and bool(w.desk.landmarks.scale),
    ),
    Stop(
        QT_TRANSLATE_NOOP(
            "Tour",
            "Now click the incisal edge of the tooth in the middle. The inset shows it larger.",
        ),
        _placed("coronal_reference"),
    ),
    Stop(QT_TRANSLATE_NOOP("Tour", "And click the apex of its root."), _placed("apex")),
    Stop(
        QT_TRANSLATE_NOOP("Tour", "The crown will be 10.5 mm high: type 10.5 and Enter."),
        _given("planned_crown_mm"),
    ),
    Stop(
        QT_TRANSLATE_NOOP(
            "Tour",
            "The hollow, dashed marks are suggestions. They count in no number until you confirm "
            "them: Enter keeps one, Ctrl+Enter keeps all. Look at them, then keep them.",
        ),
        _placed("filling_apical"),
    ),
    Stop(
        QT_TRANSLATE_NOOP(
            "Tour",
            "What the film does not show clearly is not suggested but asked for. Click the place "
            "that the line at the bottom names, or press Backspace to leave it for later.",
        ),
        lambda w: w.desk.want is None,
    ),
    Stop(
        QT_TRANSLATE_NOOP(
            "Tour",
            "The record is written as you would dictate it. “why” behind a sentence tells what it "
            "means, by which rule, where the rule is from, and what would make it surer. Try one.",
        ),
        lambda w: w.leaves.record.explaining,
    ),
    Stop(
        QT_TRANSLATE_NOOP(
            "Tour",
            "Drag any mark on the film: the numbers follow. Then press Ctrl+Z: it goes back. "
            "Everything is on disk at once; nothing needs saving.",
        ),
        lambda w: w.desk.session.can_redo,
    ),
    Stop(
        QT_TRANSLATE_NOOP(
            "Tour",
            "On the level chart the shaded window is the room for a post. Of the two lozenges at "
            "its end the outer one holds the filling kept below it: drag it from 5 to 4 mm and see "
            "what is gained, and what speaks against it.",
        ),
        _plan("seal_mm"),
    ),
    Stop(
        QT_TRANSLATE_NOOP(
            "Tour",
            "That is all. Ctrl+R writes the record as PDF, Ctrl+K finds any command, F1 lists the "
            "keys. Synthetic films are for trying out only.",
        ),
    ),
)


class Tour(QWidget):
    """A card above the film; goes on by itself when a stop is done."""

    ended = Signal()

    def __init__(self, window):
        super().__init__(objectName="notice")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.window_ = window
        self._at = 0
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 6, 10, 6)
        self._words = QLabel()
        self._words.setWordWrap(True)
        # Two lines at any stop, so that the film below does not move from one to the next.
        self._words.setMinimumHeight(2 * self.fontMetrics().lineSpacing())
        self._on = QPushButton(self.tr("&Go on"))
        self._on.clicked.connect(self.go_on)
        self._end = QPushButton(self.tr("End the tour"))
        self._end.clicked.connect(self.end)
        for button in (self._on, self._end):
            # A click must not take the keys away from the film.
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        row.addWidget(self._words, 1)
        row.addWidget(self._on)
        row.addWidget(self._end)
        self.hide()

    @property
    def running(self):
        return self.isVisibleTo(self.parentWidget())

    @property
    def stop(self):
        return STOPS[self._at]

    def begin(self):
        self._at = 0
        self.show()
        self._say()

    def look(self):
        """Go on when what was asked for is there."""
        if not self.running or self.window_.desk.session is None:
            return
        while self.stop.done is not None and self.stop.done(self.window_):
            self._at += 1
            self._say()

    def go_on(self):
        if self._at + 1 < len(STOPS):
            self._at += 1
            self._say()
            self.look()
        else:
            self.end()

    def end(self):
        put_away(self, self.window_.canvas)
        self.ended.emit()

    def _say(self):
        count = self.tr("{0} of {1}").format(self._at + 1, len(STOPS))
        words = translate("Tour", self.stop.text)
        self._words.setText(f"<b>{count}</b>&nbsp; {words}")
        self._words.setAccessibleName(f"{count}: {words}")
        last = self._at + 1 == len(STOPS)
        self._on.setVisible(not last)
        self._end.setText(self.tr("Close") if last else self.tr("End the tour"))
