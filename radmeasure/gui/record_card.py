"""The record: what would be dictated, each sentence with its reason on demand."""

from html import escape

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QLabel, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from radmeasure.quantity import FAILS, TOO_CLOSE
from radmeasure.reports.words import record


class Line(QLabel):
    """One heading or sentence; sets its text only when that changes."""

    def __init__(self, parent):
        super().__init__(parent)
        self.setWordWrap(True)
        self.setTextFormat(Qt.TextFormat.RichText)
        self.setTextInteractionFlags(
            Qt.TextInteractionFlag.LinksAccessibleByMouse
            | Qt.TextInteractionFlag.LinksAccessibleByKeyboard
        )
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        self.shown = None

    def say(self, html, plain):
        if html == self.shown:
            return
        self.shown = html
        self.setText(html)
        self.setAccessibleName(plain)
        wanted = Qt.FocusPolicy.TabFocus if "<a " in html else Qt.FocusPolicy.NoFocus
        self.setFocusPolicy(wanted)


class RecordCard(QScrollArea):
    """Paper card with the record of the tooth in hand.

    Signals
    -------
    asked_for(str, object)
        A landmark or entry somebody wants to place: (name, root).
    """

    asked_for = Signal(str, object)
    explained = Signal(str)

    def __init__(self, desk, theme, parent=None):
        super().__init__(parent)
        self.desk, self.theme = desk, theme
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAccessibleName(self.tr("Record"))
        self._page = QWidget(objectName="paper")
        self._column = QVBoxLayout(self._page)
        self._column.setContentsMargins(22, 14, 18, 18)
        self._column.setSpacing(5)
        self._column.addStretch(1)
        self.setWidget(self._page)
        self._lines, self._open = [], set()
        desk.evaluated.connect(self.refresh)
        desk.film_changed.connect(self.refresh)

    def set_theme(self, theme):
        self.theme = theme
        for line in self._lines:
            line.shown = None
        self.refresh()

    # -- what is written -------------------------------------------------------------------
    def refresh(self):
        """Write the record anew; only lines that changed are touched."""
        written = list(self._written())
        while len(self._lines) < len(written):
            line = Line(self._page)
            line.linkActivated.connect(self._followed)
            self._column.insertWidget(len(self._lines), line)
            self._lines.append(line)
        for line, (html, plain) in zip(self._lines, written):
            line.say(html, plain)
            line.setVisible(True)
        for line in self._lines[len(written) :]:
            line.setVisible(False)

    def _written(self):
        evaluation = self.desk.evaluation
        if evaluation is None:
            yield self._nothing()
            return
        for i, paragraph in enumerate(record(evaluation, self.desk.job.id)):
            space = "margin-top:9px;" if i else ""
            yield (
                f'<p style="color:{self.theme.ink}; font-size:large; font-weight:600; {space}">'
                f"{escape(paragraph.title)}</p>",
                paragraph.title,
            )
            for j, sentence in enumerate(paragraph.sentences):
                key = f"{paragraph.key}/{paragraph.root}/{j}"
                yield self._sentence(sentence, key), sentence.text

    def _nothing(self):
        if self.desk.film is None:
            text = self.tr("No film is open.")
        elif not self.desk.tooth:
            text = self.tr("The record begins with the tooth.")
        else:
            text = self.tr("The record begins with the first landmark.")
        return f'<p style="color:{self.theme.ink_quiet}">{escape(text)}</p>', text

    def _sentence(self, sentence, key):
        theme = self.theme
        colour = {FAILS: theme.fails, TOO_CLOSE: theme.close}.get(sentence.verdict, theme.ink)
        if sentence.quiet:
            colour = theme.ink_quiet
        body = "".join(
            f"<b>{escape(text)}</b>" if strong else escape(text) for text, strong in sentence.parts
        )
        parts = [body]
        if sentence.waits_for:
            parts.append(self._place_link(*sentence.waits_for[0]))
        if sentence.sources:
            parts.append(self._why_link(key))
        html = f'<p style="color:{colour}">{" ".join(parts)}</p>'
        if key in self._open and sentence.sources:
            why = "<br>".join(escape(source) for source in sentence.sources)
            html += (
                f'<p style="color:{theme.ink_quiet}; margin-left:12px; font-size:small">{why}</p>'
            )
        return html

    def _place_link(self, root, name):
        return self._link(f"place:{root or ''}/{name}", self.tr("place"))

    def _why_link(self, key):
        return self._link(f"why:{key}", self.tr("less") if key in self._open else self.tr("why"))

    def _link(self, target, text):
        style = f"color:{self.theme.link}; text-decoration:none"
        return f'<a href="{escape(target)}" style="{style}">{escape(text)}</a>'

    def _followed(self, target):
        kind, _, rest = target.partition(":")
        if kind == "place":
            root, _, name = rest.partition("/")
            self.asked_for.emit(name, root or None)
        elif kind == "why":
            self._open ^= {rest}
            self.refresh()
