"""Find a command by typing a part of its name."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import (
    QFrame,
    QHeaderView,
    QLineEdit,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
)

from radmeasure.gui.spoken import tell


class CommandList(QFrame):
    """Lies over the window until a command is run or Escape is pressed; stops nothing."""

    def __init__(self, window):
        super().__init__(window)
        self.window_ = window
        self.setFrameShape(QFrame.Shape.Box)
        self.setAutoFillBackground(True)
        self.setAccessibleName(self.tr("Find a command"))
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 8, 8, 8)
        self.field = QLineEdit()
        self.field.setPlaceholderText(self.tr("type a part of a command's name"))
        self.field.setAccessibleName(self.tr("Find a command"))
        self.list = QTreeWidget()
        self.list.setColumnCount(3)
        self.list.setHeaderHidden(True)
        self.list.setRootIsDecorated(False)
        self.list.setUniformRowHeights(True)
        head = self.list.header()
        head.setStretchLastSection(False)
        head.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        head.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        self.list.setAccessibleName(self.tr("Commands found"))
        self.list.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        column.addWidget(self.field)
        column.addWidget(self.list)
        self.field.textChanged.connect(self._filter)
        self.field.returnPressed.connect(self._run)
        self.list.itemClicked.connect(self._run)
        self.field.installEventFilter(self)
        self.hide()

    def open(self):
        letter = self.fontMetrics().averageCharWidth()
        width = min(80 * letter, self.window_.width() - 40)
        height = min(30 * self.fontMetrics().height(), self.window_.height() - 120)
        self.setGeometry((self.window_.width() - width) // 2, 60, width, height)
        self.field.clear()
        self._filter("")
        self.show()
        self.raise_()
        self.field.setFocus(Qt.FocusReason.PopupFocusReason)

    def _filter(self, text):
        words = text.casefold().split()
        self.list.clear()
        for menu, _command, action in self.window_.commands.listed():
            name = action.text().replace("&", "")
            if not action.isEnabled() or not all(w in f"{menu} {name}".casefold() for w in words):
                continue
            keys = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
            item = QTreeWidgetItem([name, menu, keys])
            item.setData(0, Qt.ItemDataRole.UserRole, action.objectName())
            self.list.addTopLevelItem(item)
        if words:  # an Enter pressed too soon runs nothing
            self._pick(0)

    def _pick(self, row):
        """The command Enter would run; said, for the focus stays where one types."""
        item = self.list.topLevelItem(row)
        self.list.setCurrentItem(item)
        tell(self.field, ", ".join(filter(None, map(item.text, range(3)))) if item else "")

    def _run(self, *_):
        item = self.list.currentItem()
        if item is None:
            return
        self._close()
        self.window_.commands[item.data(0, Qt.ItemDataRole.UserRole)].trigger()

    def _close(self):
        self.hide()
        self.window_.canvas.setFocus()

    def eventFilter(self, watched, event):
        if event.type() != event.Type.KeyPress:
            return False
        if event.key() == Qt.Key.Key_Escape:
            self._close()
            return True
        step = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}.get(event.key())
        count = self.list.topLevelItemCount()
        if step is not None and count:
            row = self.list.indexOfTopLevelItem(self.list.currentItem())  # -1: none yet
            self._pick((max(row, 0) + step) % count if step < 0 else (row + 1) % count)
            return True
        return False
