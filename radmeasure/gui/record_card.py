"""The record: what would be dictated, each sentence with its reason on demand."""

import re
from functools import lru_cache
from html import escape, unescape

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from radmeasure.gui import rule_words, surer
from radmeasure.gui.explain import EXPLANATIONS
from radmeasure.gui.pictures import picture_of
from radmeasure.gui.schematic import Schematic
from radmeasure.model.carried import Carried
from radmeasure.quantity import FAILS, TOO_CLOSE
from radmeasure.reports.words import record, source_text, translated, unbroken, verdict_text

_DIGIT = re.compile(r"\d")
_WHY = re.compile(r'href="(why:[^"]*)"')


@lru_cache(maxsize=512)
def _figures_whole(text):
    """HTML of a text whose figures stay with their units in one line."""
    return escape(unbroken(text))


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
        self.html, self._shape, self._heights = None, None, {}
        self._why, self._followed = None, False
        self.linkActivated.connect(self._note_link)

    # A word is a small target for a gloved hand: the whole sentence answers as its "why".
    def mousePressEvent(self, event):
        self._followed = False
        super().mousePressEvent(event)

    def mouseReleaseEvent(self, event):
        here = self.rect().contains(event.position().toPoint())
        here = here and event.button() == Qt.MouseButton.LeftButton
        super().mouseReleaseEvent(event)
        if here and self._why and not self._followed:
            self.linkActivated.emit(self._why)

    def _note_link(self):
        self._followed = True

    # A label lays its text out five times a change to answer the layout; once is enough.
    def sizeHint(self):
        return QSize(20 * self.fontMetrics().averageCharWidth(), self.fontMetrics().height())

    def minimumSizeHint(self):
        return self.sizeHint()

    def heightForWidth(self, width):
        if width not in self._heights:
            self._heights[width] = super().heightForWidth(width)
        return self._heights[width]

    def changeEvent(self, event):
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._heights.clear()
        super().changeEvent(event)

    def write(self, key, html, plain):
        """Show a text; True when the line takes the room it took."""
        self.key = key
        if html == self.html and not self.isHidden():
            return True
        room = (self.isHidden(), self.heightForWidth(self.width()))
        self.say(html, plain)
        self.setVisible(True)
        return room == (False, self.heightForWidth(self.width()))

    def put_away(self):
        """Show nothing; True when nothing was shown."""
        self.key = None
        hidden = self.isHidden()
        self.setVisible(False)
        return hidden

    def say(self, html, plain):
        if html == self.html:
            return
        self.html = html
        # Digits are of one width: another figure in the same words takes the same room.
        shape = _DIGIT.sub("0", html)
        if shape != self._shape:
            self._shape = shape
            self._heights.clear()
        self.setText(html)
        self.setAccessibleName(plain)
        link = _WHY.search(html)
        self._why = unescape(link[1]) if link else None
        self.setCursor(Qt.CursorShape.PointingHandCursor if link else Qt.CursorShape.ArrowCursor)
        wanted = Qt.FocusPolicy.TabFocus if "<a " in html else Qt.FocusPolicy.NoFocus
        self.setFocusPolicy(wanted)


class Why(QFrame):
    """Below a sentence: definition, picture, the rules with their sources."""

    def __init__(self, parent, theme, picture, paragraphs):
        super().__init__(parent)
        self.theme = theme
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 2, 0, 8)
        words = self._words = QLabel()
        words.setWordWrap(True)
        words.setTextFormat(Qt.TextFormat.RichText)
        self.say(paragraphs)
        words.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        if not picture.empty:
            row.addWidget(Schematic(picture, theme), 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(words, 1, Qt.AlignmentFlag.AlignTop)

    def say(self, paragraphs):
        style = f"color:{self.theme.ink_quiet}; margin-bottom:3px"
        self._words.setText("".join(f'<p style="{style}">{escape(p)}</p>' for p in paragraphs))
        self._words.setAccessibleName(" ".join(paragraphs))


class RecordCard(QScrollArea):
    """Paper card with the record of the tooth in hand.

    Signals
    -------
    asked_for(str, object)
        A landmark or entry somebody wants to place: (name, root).
    """

    asked_for = Signal(str, object)
    why_changed = Signal()

    def __init__(self, desk, theme, parent=None):
        super().__init__(parent)
        self.desk, self.theme = desk, theme
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAccessibleName(self.tr("Record"))
        self._page = QWidget(objectName="paper")
        self._column = QVBoxLayout(self._page)
        self._column.setContentsMargins(14, 12, 18, 18)
        self._column.setSpacing(5)
        self._column.addStretch(1)
        self.setWidget(self._page)
        self._lines, self._sentences = [], {}
        self._said = None
        self._worded = {}  # key -> (what a sentence is made of, its html)
        self._open, self._why = None, None
        desk.evaluated.connect(self.refresh)
        desk.film_changed.connect(self._take_film)

    def set_theme(self, theme):
        self.theme = theme
        self._worded.clear()
        for line in self._lines:
            line.html = None
        self._close_why()
        self.refresh()

    # -- what is written -------------------------------------------------------------------
    def _take_film(self):
        if self.desk.evaluation is None:  # a film only turned has its numbers told next
            self.refresh()

    def refresh(self):
        """Write the record anew; only lines that changed are touched."""
        self._sentences.clear()
        self._said = Carried(self._said)
        written = list(self._written())
        while len(self._lines) < len(written):
            self._lines.append(self._new_line())
        # A label that gets another text has the whole page laid out anew; while a landmark
        # is dragged that is left out unless a line needs another height or goes.
        self._column.setEnabled(self.desk.preview is None)
        same = [
            line.write(key, html, plain)
            for line, (key, html, plain) in zip(self._lines, written, strict=False)
        ]
        same += [line.put_away() for line in self._lines[len(written) :]]
        if not all(same):
            self._column.setEnabled(True)
            self._column.invalidate()
        self._follow_open()
        # Here and now: what was asked of the layout while it was left out, it has forgotten.
        self._column.activate()

    def _new_line(self):
        line = Line(self._page)
        line.linkActivated.connect(self._followed)
        self._column.insertWidget(self._column.count() - 1, line)
        return line

    def _written(self):
        evaluation = self.desk.evaluation
        if evaluation is None:
            yield None, *self._nothing()
            return
        for i, paragraph in enumerate(record(evaluation, self.desk.job.id, self._said)):
            space = "margin-top:9px;" if i else ""
            style = f"color:{self.theme.ink}; font-size:large; font-weight:600; {space}"
            yield None, f'<p style="{style}">{escape(paragraph.title)}</p>', paragraph.title
            for sentence in paragraph.sentences:
                key = self._key(paragraph, sentence)
                self._sentences[key] = sentence
                yield key, self._sentence(sentence, key), sentence.text

    def _key(self, paragraph, sentence):
        """Names a sentence by what it speaks of: others before it come and go."""
        if sentence.about:
            subject = sentence.about[:3]  # at which depth may change while a mark is dragged
        else:
            subject = sentence.rules or _DIGIT.sub("", sentence.text)
        start = key = f"{paragraph.key}/{paragraph.root}/{subject}"
        more = 1
        while key in self._sentences:
            more += 1
            key = f"{start}/{more}"
        return key

    def _nothing(self):
        if self.desk.rules_trouble:
            text = self.tr("No numbers: {0}").format(self.desk.rules_trouble)
        elif self.desk.film is None:
            text = self.tr("No film is open.")
        elif not self.desk.tooth:
            text = self.tr("The record begins with the tooth.")
        else:
            text = self.tr("The record begins with the first landmark.")
        return f'<p style="color:{self.theme.ink_quiet}">{escape(text)}</p>', text

    def _sentence(self, sentence, key):
        """The sentence as html; most say what they said before."""
        s = sentence
        made_of = (s.marked, s.verdict, s.waits_for, s.quiet, self._explains(s), key == self._open)
        before, html = self._worded.get(key, (None, None))
        if made_of != before:
            html = self._html(sentence, key)
            self._worded[key] = (made_of, html)
        return html

    def _html(self, sentence, key):
        theme = self.theme
        colour = {FAILS: theme.fails, TOO_CLOSE: theme.close}.get(sentence.verdict, theme.ink)
        if sentence.quiet:
            colour = theme.ink_quiet
        parts = [
            f"<b>{_figures_whole(text)}</b>" if strong else _figures_whole(text)
            for text, strong in sentence.parts
        ]
        html = "".join(parts)
        if sentence.waits_for:
            root, name = sentence.waits_for[0]
            html += " " + self._link(f"place:{root or ''}/{name}", self.tr("place"))
        if self._explains(sentence):
            html += " " + self._link(
                f"why:{key}", self.tr("less") if key == self._open else self.tr("why")
            )
        return f'<p style="color:{colour}">{html}</p>'

    @staticmethod
    def _explains(sentence):
        known = sentence.about is not None and sentence.about[0] in EXPLANATIONS
        return bool(known or sentence.sources or sentence.rules or sentence.quantity is not None)

    def _link(self, target, text):
        style = f"color:{self.theme.link}; text-decoration:none"
        return f'<a href="{escape(target)}" style="{style}">{escape(text)}</a>'

    # -- on demand -----------------------------------------------------------------------------
    def _followed(self, target):
        kind, _, rest = target.partition(":")
        if kind == "place":
            root, _, name = rest.partition("/")
            self.asked_for.emit(name, root or None)
        elif kind == "why":
            opening = rest != self._open
            self._close_why()
            if opening:
                self._open_why(rest)
            self.refresh()
            self.why_changed.emit()

    @property
    def explaining(self):
        """True while a sentence explains itself."""
        return self._open is not None

    def _close_why(self):
        if self._why is not None:
            self._column.removeWidget(self._why)
            self._why.deleteLater()
        self._why = self._open = None

    def _open_why(self, key):
        sentence = self._sentences[key]
        line = next(line for line in self._lines if line.key == key)
        reading = sentence.about[0] if sentence.about else None
        paragraphs = list(self._reasons(sentence))
        rulebook = self.desk.evaluation.rulebook
        entries = [rule_words.entry_of(rule, rulebook) for rule in sentence.rules]
        rule = next((e for e in entries if e is not None), next(iter(sentence.rules), None))
        picture = picture_of(reading, rule)
        self._why = Why(self._page, self.theme, picture, paragraphs)
        self._column.insertWidget(self._column.indexOf(line) + 1, self._why)
        self._open = key

    def _follow_open(self):
        """Keep an explanation below its own sentence, and true of the numbers now in it."""
        if self._open is None:
            return
        if self._open not in self._sentences:
            self._close_why()
            return
        line = next(line for line in self._lines if line.key == self._open)
        if self._column.indexOf(self._why) != self._column.indexOf(line) + 1:
            self._column.removeWidget(self._why)
            self._column.insertWidget(self._column.indexOf(line) + 1, self._why)
            self._column.setEnabled(True)
        if self.desk.preview is None:  # while a mark is dragged the first lines are enough
            self._why.say(list(self._reasons(self._sentences[self._open])))

    def _reasons(self, sentence):
        """Definition, then each rule: its verdict, reason and source; then what makes it surer."""
        explanation = EXPLANATIONS.get(sentence.about[0] if sentence.about else None)
        if explanation is not None:
            yield f"{explanation.words} {explanation.where_from}"
        evaluation = self.desk.evaluation
        told = []
        for finding in evaluation.findings:
            if sentence.about and (finding.reading, finding.root) == sentence.about[:2]:
                rule = evaluation.rulebook.rules[finding.rule]
                if rule.id in told:
                    continue
                told.append(rule.id)
                source = source_text(finding.source, finding.trust)
                why = translated(rule.why)
                verdict = verdict_text(finding)
                yield f"{verdict[:1].upper()}{verdict[1:]}: {why}. {source}"
        for rule in sentence.rules:
            words = list(rule_words.told(rule, evaluation.rulebook))
            told += words
            yield from words
        if not told:
            yield from sentence.sources
        quantity = self._behind(sentence)
        if quantity is not None:
            yield from surer.told(quantity)

    def _behind(self, sentence):
        """The value a sentence speaks of; of several sides the one that is least sure."""
        if sentence.quantity is not None or sentence.about is None:
            return sentence.quantity
        found = [
            r.quantity
            for r in self.desk.evaluation.readings
            if (r.id, r.root) == sentence.about[:2] and r.quantity is not None
        ]
        return max(found, key=lambda q: q.u, default=None)
