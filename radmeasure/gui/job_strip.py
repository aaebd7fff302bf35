"""Along the top: whose case, and the jobs."""

from html import escape

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QTabBar, QWidget

from radmeasure.gui.jobs import JOBS, purpose, title
from radmeasure.model.tooth import Tooth
from radmeasure.reports.words import tooth_title


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
        text = self._words()
        if text != self._title.text():
            self._title.setText(text)
            self._title.setToolTip(text)
            self._title.setAccessibleDescription(" ")  # else the tip's HTML is read out

    def _words(self):
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
        quiet = escape(" · ".join(parts))
        return f"<b style='font-size:large'>{escape(label)}</b>&nbsp;&nbsp; {quiet}"
