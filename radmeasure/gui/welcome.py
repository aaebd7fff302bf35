"""What stands in place of a film: open one, or try a sample."""

from functools import partial
from itertools import islice

from PySide6.QtCore import QDateTime, QLocale, Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from radmeasure.gui.focus import EnterPresses, put_away
from radmeasure.gui.jobs import BY_ID, title

# Cases offered to go on with.
GO_ON_WITH = 3


class Welcome(QWidget):
    """Shown over the canvas while the case has no film."""

    def __init__(self, window, canvas):
        super().__init__(canvas, objectName="welcome")
        self.window_ = window
        self._enter = EnterPresses(self)
        self._pairs = []  # (grid, first row, buttons) that stand two by two where there is room
        column = QVBoxLayout(self)
        column.addStretch(2)
        words = self.tr("Drop a film here")
        head = QLabel(f"<p style='font-size:x-large'>{words}</p>")
        head.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        column.addWidget(head)
        row = QGridLayout()
        row.setColumnStretch(0, 1)
        row.setColumnStretch(3, 1)
        first = []
        for text, act in (
            (self.tr("Open … (Ctrl+O)"), window.open),
            (self.tr("Three-minute tour"), window.tour_start),
        ):
            button = QPushButton(text)
            button.clicked.connect(lambda _=False, act=act: act())
            button.installEventFilter(self._enter)
            first.append(button)
        self._pairs.append((row, 0, first))
        column.addLayout(row)
        column.addSpacing(18)
        self._cases = QGridLayout()
        column.addLayout(self._cases)
        column.addSpacing(18)
        self._samples = QGridLayout()
        column.addLayout(self._samples)
        column.addStretch(3)
        self._filled = self._listed = False

    def follow(self):
        """Stand over the canvas while there is no film."""
        desk = self.window_.desk
        empty = desk.film is None and not self.window_.opening.busy
        if empty:
            self._fill()
            self._list_cases()
            self.setGeometry(self.parentWidget().rect())
            self._arrange()
            self.show()
        else:
            put_away(self, self.parentWidget())

    def _arrange(self):
        for grid, first, buttons in self._pairs:
            widest = max((b.sizeHint().width() for b in buttons), default=0)
            columns = 2 if 2 * widest + 40 <= self.width() else 1
            for i, button in enumerate(buttons):
                grid.addWidget(button, first + i // columns, 1 + i % columns)

    def _list_cases(self):
        """The cases worked on last: what was interrupted is one press away."""
        practice, session = self.window_.practice, self.window_.desk.session
        if practice is None or session is None or self._listed:
            return
        self._listed = True
        own = str(session.path)
        found = (case for case in practice.find() if case.films and case.path != own)
        last = list(islice((case for case in found if case.present), GO_ON_WITH))
        if last:
            words = QLabel(self.tr("or go on with a case:"))
            words.setAlignment(Qt.AlignmentFlag.AlignHCenter)
            self._cases.addWidget(words, 0, 1)
        self._cases.setColumnStretch(0, 1)
        self._cases.setColumnStretch(2, 1)
        before = self._pairs[0][2][-1]
        for i, case in enumerate(last):
            button = QPushButton(self._case_words(case), self)
            QWidget.setTabOrder(before, button)  # as they are seen: before the samples
            before = button
            button.setFlat(True)
            button.clicked.connect(partial(self._go_on, case.path))
            button.installEventFilter(self._enter)
            self._cases.addWidget(button, 1 + i, 1)

    def _go_on(self, path, _=False):
        self.window_.opening.open([path])

    def _case_words(self, case):
        """Label or teeth, the job, and the day it was last changed, in local time."""
        teeth = self.tr("tooth {number}").format(number=", ".join(case.teeth)) if case.teeth else ""
        job = title(BY_ID[case.job]) if case.job in BY_ID else ""
        when = QDateTime.fromString(case.changed, Qt.DateFormat.ISODateWithMs).toLocalTime()
        parts = (case.label, teeth, job, QLocale().toString(when, QLocale.FormatType.ShortFormat))
        return " · ".join(part for part in parts if part)

    def _fill(self):
        if self._filled:
            return
        self._filled = True
        from radmeasure.workflow.samples import sample_films

        samples = sample_films()
        if samples:
            words = QLabel(self.tr("or try a synthetic sample, for teaching only:"))
            words.setAlignment(Qt.AlignmentFlag.AlignHCenter)
            words.setWordWrap(True)
            self._samples.addWidget(words, 0, 1, 1, 2)
        self._samples.setColumnStretch(0, 1)
        self._samples.setColumnStretch(3, 1)
        buttons = []
        for sample in samples:
            button = QPushButton(f"{sample.name}: {title(BY_ID[sample.job])}")
            button.setFlat(True)
            button.clicked.connect(lambda _=False, s=sample: self.window_.open_sample(s))
            button.installEventFilter(self._enter)
            buttons.append(button)
        self._pairs.append((self._samples, 1, buttons))
