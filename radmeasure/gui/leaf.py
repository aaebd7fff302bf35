"""A page of paper beside the record: scrolls, headings and quiet words in the paper's colours."""

from html import escape

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QLabel, QScrollArea, QSizePolicy, QVBoxLayout, QWidget


class Leaf(QScrollArea):
    """Scrolling paper with a column of widgets."""

    def __init__(self, name, theme, parent=None):
        super().__init__(parent)
        self.theme = theme
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAccessibleName(name)
        self.page = QWidget(objectName="paper")
        self.column = QVBoxLayout(self.page)
        self.column.setContentsMargins(22, 12, 18, 18)
        self.column.setSpacing(6)
        self.setWidget(self.page)

    def set_theme(self, theme):
        self.theme = theme
        self.refresh()

    def refresh(self):
        """Write the page anew."""

    def showEvent(self, event):
        super().showEvent(event)
        self.refresh()

    def clear(self):
        """Take everything off the page."""
        while self.column.count():
            item = self.column.takeAt(0)
            if item.widget() is not None:
                item.widget().hide()
                item.widget().deleteLater()
            elif item.layout() is not None:
                _clear_layout(item.layout())

    def heading(self, text):
        return self._label(f'<p style="font-size:large; font-weight:600">{escape(text)}</p>', text)

    def words(self, text, quiet=False):
        label = self._label(f"<p>{escape(text)}</p>", text)
        label.setProperty("quiet", quiet)  # its colour stands in the style sheet
        return label

    def table(self, html, rows):
        """A table written as HTML; ``rows`` of its cells are what a screen reader says."""
        return self._label(html, "; ".join(", ".join(filter(None, row)) for row in rows))

    def _label(self, html, plain):
        label = QLabel(html)
        label.setTextFormat(Qt.TextFormat.RichText)
        label.setWordWrap(True)
        label.setAccessibleName(plain)
        label.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        return self.add(label)

    def add(self, widget, *alignment):
        """Put a widget at the end of the column."""
        self.column.addWidget(widget, 0, *alignment)
        # Shown by Qt only later, it would take no room until then: a page seen pressed together.
        widget.show()
        return widget


def _clear_layout(layout):
    while layout.count():
        item = layout.takeAt(0)
        if item.widget() is not None:
            item.widget().hide()
            item.widget().deleteLater()
        elif item.layout() is not None:
            _clear_layout(item.layout())
    layout.deleteLater()
