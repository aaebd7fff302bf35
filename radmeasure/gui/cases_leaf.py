"""The practice list: cases by tooth, date, job and next recall; searched as one types."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QLineEdit, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from radmeasure.gui.wording import translate
from radmeasure.reports.words import translated


class CasesLeaf(QWidget):
    """Enter or double-click opens a case."""

    def __init__(self, window, theme, parent=None):
        super().__init__(parent, objectName="paper")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.window_ = window
        column = QVBoxLayout(self)
        column.setContentsMargins(22, 12, 18, 12)
        self._search = QLineEdit()
        self._search.setPlaceholderText(self.tr("tooth, label, job or date"))
        self._search.setAccessibleName(self.tr("Search cases"))
        self._search.textChanged.connect(self.refresh)
        self._list = QListWidget()
        self._list.setAccessibleName(translate("Leaves", "Cases"))
        self._list.setWordWrap(True)
        self._list.itemActivated.connect(self._open)
        self._words = QLabel()
        self._words.setWordWrap(True)
        for widget in (self._search, self._list, self._words):
            column.addWidget(widget)
        self.setFocusProxy(self._search)

    def set_theme(self, theme):
        self.refresh()

    def showEvent(self, event):
        super().showEvent(event)
        self.refresh()

    def refresh(self):
        if not self.isVisible():
            return
        practice = self.window_.practice
        self._list.clear()
        if practice is None:
            self._words.setText(self.tr("The practice list is not at hand."))
            return
        typed = self._search.text()
        found = practice.find(typed) or self._shown_with(practice, typed)
        for case in found:
            item = QListWidgetItem(self._line(case))
            item.setData(Qt.ItemDataRole.UserRole, case.path)
            self._list.addItem(item)
        self._words.setText(self.tr("%n case(s)", "", len(found)))

    def _shown_with(self, practice, typed):
        """Cases by what the list shows of them: the index knows jobs in English only."""
        words = typed.casefold().split()
        shown = ((case, self._line(case).casefold()) for case in practice.find())
        return [case for case, line in shown if all(word in line for word in words)]

    def _line(self, case):
        label = case.label or self.tr("no label")
        parts = [label, ", ".join(case.teeth), translated(case.job), case.changed[:10]]
        line = " · ".join(p for p in parts if p)
        for tooth, date in case.recalls[:1]:
            line += "\n" + self.tr("recall of {tooth} due {date}").format(tooth=tooth, date=date)
        return line

    def _open(self, item):
        self.window_.opening.open([item.data(Qt.ItemDataRole.UserRole)])
