"""Along the top: whose case, and the jobs."""

from html import escape

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFont, QFontMetricsF
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QTabBar, QWidget

from radmeasure.gui.jobs import JOBS, purpose, title
from radmeasure.model.tooth import Tooth
from radmeasure.reports.words import tooth_title

_BETWEEN = "\N{NO-BREAK SPACE}\N{NO-BREAK SPACE} "
# How much larger Qt draws what HTML calls large.
_LARGE = 1.2


class JobStrip(QWidget):
    """Title of the case on the left, one tab per job."""

    job_chosen = Signal(str)

    def __init__(self, desk, parent=None):
        super().__init__(parent)
        self.desk = desk
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 0, 10, 0)
        self._title = QLabel()
        self._title.setTextFormat(Qt.TextFormat.RichText)
        # The jobs keep their room; a long title is cut and told in full under the pointer.
        self._title.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self._tabs = QTabBar(objectName="jobs")
        self._tabs.setDrawBase(False)
        self._tabs.setExpanding(False)
        self._tabs.setAccessibleName(self.tr("Jobs"))
        for job in JOBS:
            index = self._tabs.addTab(title(job))
            self._tabs.setTabToolTip(index, purpose(job))
        self._tabs.currentChanged.connect(lambda i: self.job_chosen.emit(JOBS[i].id))
        row.addWidget(self._title, 1)
        row.addWidget(self._tabs, 0)
        desk.session_changed.connect(self.refresh)
        desk.want_changed.connect(self.refresh)

    def refresh(self):
        desk = self.desk
        if desk.session is None:
            return
        index = JOBS.index(desk.job)
        if self._tabs.currentIndex() != index:
            blocked = self._tabs.blockSignals(True)
            self._tabs.setCurrentIndex(index)
            self._tabs.blockSignals(blocked)
        self._say()

    def resizeEvent(self, event):
        super().resizeEvent(event)
        if self.desk.session is not None:
            self._say()

    def _say(self):
        """The title, cut with dots where the jobs leave too little room for it."""
        name, quiet = self._words()
        room = self._title.width()
        strong = QFont(self._title.font(), self._title)
        strong.setBold(True)
        strong.setPointSizeF(_LARGE * strong.pointSizeF())
        strong, plain = QFontMetricsF(strong), QFontMetricsF(self._title.font())
        cut = strong.elidedText(name, Qt.TextElideMode.ElideRight, room)
        left = room - strong.horizontalAdvance(cut) - plain.horizontalAdvance(_BETWEEN) - 2
        rest = plain.elidedText(quiet, Qt.TextElideMode.ElideRight, left) if cut == name else ""
        text = _html(cut, rest)
        if text != self._title.text():
            self._title.setText(text)
            self._title.setToolTip(_html(name, quiet))
            self._title.setAccessibleName(f"{name}, {quiet}" if quiet else name)
            self._title.setAccessibleDescription(" ")  # else the tip's HTML is read out

    def _words(self):
        """The case's name, and what else is to be said of it."""
        desk = self.desk
        parts = []
        if desk.tooth:
            tooth = self.tr("tooth {number}").format(number=desk.tooth)
            parts.append(f"{tooth}, {tooth_title(Tooth(desk.tooth))}")
        if desk.entry is not None:
            parts.append(desk.entry.name)
        unnamed = self.tr("Case without a name") if desk.case.films else self.tr("New case")
        label = desk.case.label or unnamed
        if desk.session.read_only:
            parts.append(self.tr("for reading only"))
        return label, " · ".join(parts)


def _html(name, quiet):
    return f"<b style='font-size:large'>{escape(name)}</b>{_BETWEEN}{escape(quiet)}"
