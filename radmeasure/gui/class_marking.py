"""A class marked beside the work: how far it is, to be cancelled, then what came of it."""

import os

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontDatabase
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPlainTextEdit,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)


class ClassMarking(QWidget):
    """A window beside the main one; closing it while the work runs stops the work.

    Parameters
    ----------
    window : Window
    folder, out : str
        Folder of the class, and the new folder for the results.
    """

    def __init__(self, window, folder, out):
        super().__init__(window, Qt.WindowType.Window)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(self.tr("A class marked"))
        self._out = out
        self._build(os.path.basename(folder))
        self.task = window.background.start(_mark, folder, out)
        # What is said of it in the end is the main window's: this one may be gone by then.
        self.task.progress.connect(self._show_share)
        self.task.finished.connect(self._show_summary)
        self.task.failed.connect(self._put_away)
        self.task.done.connect(self._ended)

    def _build(self, name):
        column = QVBoxLayout(self)
        self.words = QLabel(self.tr("Marking {0}").format(name))
        self.words.setTextFormat(Qt.TextFormat.PlainText)
        self.words.setWordWrap(True)
        column.addWidget(self.words)
        self.bar = QProgressBar()
        self.bar.setRange(0, 100)
        self.bar.setAccessibleName(self.tr("Share of the class that is marked"))
        self.button = QPushButton(self.tr("Cancel"))
        self.button.clicked.connect(self.close)
        row = QHBoxLayout()
        row.addWidget(self.bar, 1)
        row.addWidget(self.button)
        column.addLayout(row)
        self.summary = QPlainTextEdit()
        self.summary.setReadOnly(True)
        self.summary.setTabChangesFocus(True)
        self.summary.setAccessibleName(self.tr("Summary of the class"))
        fixed = QFontDatabase.systemFont(QFontDatabase.SystemFont.FixedFont)
        fixed.setPointSizeF(self.font().pointSizeF())
        self.summary.setFont(fixed)
        self.summary.hide()
        column.addWidget(self.summary, 1)
        self.resize(48 * self.fontMetrics().averageCharWidth(), self.sizeHint().height())

    def _show_share(self, share):
        self.bar.setValue(round(100 * share))

    def _show_summary(self, found):
        self.words.setText(self.tr("Results in {0}").format(self._out))
        self.bar.hide()
        self.button.setText(self.tr("Close"))
        self.summary.setPlainText(found[0])
        self.summary.show()
        self.resize(min(120 * self.fontMetrics().averageCharWidth(), 1100), 560)

    def _put_away(self, _):
        self.close()

    def _ended(self):
        self.task = None

    def closeEvent(self, event):
        if self.task is not None:
            self.task.cancel()
        super().closeEvent(event)


def _mark(report, folder, out):
    from radmeasure.workflow.mark_class import class_words, mark_class

    marks = mark_class(folder, out, report)
    return class_words(marks), len(marks.troubles)
