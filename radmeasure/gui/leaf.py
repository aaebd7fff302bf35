"""A page of paper beside the record: scrolls, headings and quiet words in the paper's colours."""

import re
from html import escape

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QLabel, QScrollArea, QSizePolicy, QStyle, QVBoxLayout, QWidget

# Where a long name without blanks may go on in the next line: nothing is seen of it.
BREAK = "\u200b"


def breakable(name):
    """A name of keys or of an entry that may be broken behind its signs: Ctrl+, post., two_."""
    return re.sub(r"(?<=\w)([+._])(?=\w)", rf"\1{BREAK}", name)


def in_lines(text, metrics, width):
    """``text`` in lines no wider than ``width`` px where its words allow, for what cannot wrap."""
    lines = [""]
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        if lines[-1] and metrics.horizontalAdvance(longer) > width:
            lines.append(word)
        else:
            lines[-1] = longer
    return "\n".join(lines)


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
        self._fitted = []  # (widget, its text, how far it stands to the right in px)

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
        self._fitted.clear()
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
        label.setAccessibleName(plain.replace(BREAK, ""))
        label.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        return self.add(label)

    def fitted(self, widget, indent=0):
        """A button or label ``indent`` px in that cannot wrap, broken where the page is narrow."""
        self._fitted.append((widget, widget.text(), indent))
        self._fit(*self._fitted[-1])
        return widget

    def _fit(self, widget, text, indent):
        margins = self.column.contentsMargins()
        bar = self.style().pixelMetric(QStyle.PixelMetric.PM_ScrollBarExtent)
        frame = 2 * self.frameWidth() + 4
        room = self.width() - margins.left() - margins.right() - bar - frame - indent
        before = widget.text()
        if widget.text() != text:
            widget.setText(text)
        over = widget.sizeHint().width() - room
        if over > 0:
            metrics = widget.fontMetrics()
            widget.setText(in_lines(text, metrics, metrics.horizontalAdvance(text) - over))
        if widget.text() != before:
            widget.updateGeometry()

    def resizeEvent(self, event):
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            for one in self._fitted:
                self._fit(*one)

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
