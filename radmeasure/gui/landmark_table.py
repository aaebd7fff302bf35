"""The landmarks as a table: all the film offers, for those who do not see or point at it."""

from PySide6.QtCore import QAbstractTableModel, QModelIndex, Qt, Signal
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView

from radmeasure.gui.leading import OPEN, SUGGESTED, THERE
from radmeasure.model.landmarks import ROOT_LINES
from radmeasure.reports.words import landmark_title, number

NAME, STATE, X, Y, WITHIN = range(5)


class LandmarkModel(QAbstractTableModel):
    """One row per landmark the job asks for or the chart holds."""

    def __init__(self, desk, parent=None):
        super().__init__(parent)
        self.desk = desk
        self.rows = []
        self.headings = [
            self.tr("Landmark"),
            self.tr("State"),
            "x",
            "y",
            self.tr("± px"),
        ]

    def refresh(self):
        rows = list(self._keys())
        if rows != self.rows:
            self.beginResetModel()
            self.rows = rows
            self.endResetModel()
        elif rows:
            self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, WITHIN))

    def _keys(self):
        found = dict.fromkeys(w.key for w in self.desk.leading.wants if w.placeable)
        for marks in (self.desk.landmarks, self.desk.suggested):
            if marks is not None:
                found.update(dict.fromkeys((name, root) for root, name, _ in marks.placed()))
        return found

    def rowCount(self, parent=None):
        return 0 if parent is not None and parent.isValid() else len(self.rows)

    def columnCount(self, parent=None):
        return len(self.headings)

    def headerData(self, section, orientation, role=Qt.ItemDataRole.DisplayRole):
        if role != Qt.ItemDataRole.DisplayRole:
            return None
        if orientation == Qt.Orientation.Horizontal:
            return self.headings[section]
        return landmark_title(*self.rows[section])  # hidden, but spoken

    def data(self, index, role=Qt.ItemDataRole.DisplayRole):
        if not index.isValid():
            return None
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            return self._text(*self.rows[index.row()], index.column())
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self._text(*self.rows[index.row()], index.column()) or self.tr("none")
        if role == Qt.ItemDataRole.TextAlignmentRole and index.column() in (X, Y, WITHIN):
            return int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        return None

    def _text(self, name, root, column):
        value, state = self.desk.value(name, root)
        if column == NAME:
            return landmark_title(name, root)
        if column == STATE:
            return self._state(state)
        if column == WITHIN:
            marks = self.desk.landmarks if state == THERE else self.desk.suggested
            stated = marks.stated_u_px(name, root) if state != OPEN else None
            return number(stated, 1) if stated else ""
        if value is None:
            return ""
        if name in ROOT_LINES:
            return self.tr("%n point(s)", "", len(value)) if column == X else ""
        return number(value[column - X], 1)

    def _state(self, state):
        if state == THERE:
            return self.tr("placed")
        return self.tr("suggested") if state == SUGGESTED else self.tr("open")

    def flags(self, index):
        flags = super().flags(index)
        name, _ = self.rows[index.row()]
        if index.column() in (X, Y) and name not in ROOT_LINES and self.desk.ready:
            flags |= Qt.ItemFlag.ItemIsEditable
        return flags

    def setData(self, index, text, role=Qt.ItemDataRole.EditRole):
        """A typed coordinate moves the landmark."""
        name, root = self.rows[index.row()]
        try:
            typed = float(str(text).replace(",", ".").replace("−", "-"))
        except ValueError:
            return False
        value, _ = self.desk.value(name, root)
        film = self.desk.film
        place = list(value or (film.width / 2, film.height / 2))
        place[index.column() - X] = typed
        return self.desk.place(name, root, self.desk.on_film(place), lead=False)


class LandmarkTable(QTableView):
    """Enter takes the landmark up; Delete takes it away; typing moves it.

    Signals
    -------
    asked_for(str, object)
    """

    asked_for = Signal(str, object)

    def __init__(self, desk, parent=None):
        super().__init__(parent, objectName="paper")
        self.desk = desk
        self.rows = LandmarkModel(desk, self)
        self.setModel(self.rows)
        self.setAccessibleName(self.tr("Landmarks"))
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.AnyKeyPressed
            | QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
        )
        self.verticalHeader().hide()
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(NAME, QHeaderView.ResizeMode.Stretch)
        header.setHighlightSections(False)
        desk.chart_changed.connect(self.refresh)
        desk.want_changed.connect(self._follow)

    def set_theme(self, theme):
        self.viewport().update()

    def refresh(self):
        if self.isVisible():
            self.rows.refresh()
            self._follow()

    def showEvent(self, event):
        super().showEvent(event)
        self.refresh()

    def _follow(self):
        """The row of what is selected or wanted is the current one."""
        want = self.desk.want
        key = self.desk.selected or (want.key if want is not None else None)
        if self.isVisible() and not self.hasFocus() and key in self.rows.rows:
            self.selectRow(self.rows.rows.index(key))

    def keyPressEvent(self, event):
        row = self.currentIndex().row()
        editing = self.state() == QAbstractItemView.State.EditingState
        if row < 0 or editing:
            super().keyPressEvent(event)
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.asked_for.emit(*self.rows.rows[row])
        elif event.key() == Qt.Key.Key_Delete:
            self.desk.remove(*self.rows.rows[row])
        else:
            super().keyPressEvent(event)

    def index_of(self, name, root=None, column=NAME):
        """Model index of a landmark, for tests and for speech."""
        if (name, root) not in self.rows.rows:
            return QModelIndex()
        return self.rows.index(self.rows.rows.index((name, root)), column)
