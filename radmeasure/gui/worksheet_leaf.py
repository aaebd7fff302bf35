"""The decision worksheet: one key answers one line; what speaks for and against stands below."""

from html import escape

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QFrame, QLabel, QPushButton, QSizePolicy, QVBoxLayout

from radmeasure.gui.flow import FlowLayout
from radmeasure.gui.leaf import Leaf
from radmeasure.gui.wording import translate
from radmeasure.quantity import FAILS, TOO_CLOSE
from radmeasure.reports.words import paragraphs_text, translated, worksheet_paragraphs


class Question(QFrame):
    """One entry: its words and a button per answer; the answer's key works while it has focus."""

    def __init__(self, leaf, filled):
        super().__init__()
        self.leaf, self.name = leaf, filled.entry.name
        self.open = True  # not answered yet
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(translated(filled.entry.label))
        column = QVBoxLayout(self)
        column.setContentsMargins(6, 2, 6, 4)
        column.setSpacing(2)
        words = QLabel(translated(filled.entry.label))
        words.setWordWrap(True)
        words.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        column.addWidget(words)
        row = FlowLayout()
        self._buttons = {}
        for key, value, label in filled.entry.choices:
            words = f"{key}  {translated(label)}" if label != key else key
            button = QPushButton(words)
            button.setAccessibleName(words)
            leaf.fitted(button, 12)
            button.setCheckable(True)
            self._buttons[value] = button
            button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            button.clicked.connect(lambda _=False, v=value: leaf.answer(self.name, v))
            row.addWidget(button)
        column.addLayout(row)

    def show_value(self, value):
        """Mark the answer that was given; None marks none."""
        self.open = value is None
        given = ""
        for answer, button in self._buttons.items():
            button.setChecked(value is not None and value == answer)
            given = button.accessibleName() if button.isChecked() else given
        self.setAccessibleDescription(given)

    def keyPressEvent(self, event):
        key = event.key()
        if event.text() and self.leaf.answer_key(self.name, event.text()):
            return
        if key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.leaf.answer(self.name, None)
        elif key == Qt.Key.Key_Down:
            self.focusNextChild()
        elif key == Qt.Key.Key_Up:
            self.focusPreviousChild()
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event):
        super().focusInEvent(event)
        self.leaf.ensureWidgetVisible(self)

    def paintEvent(self, event):
        """A line round the question whose keys are heard."""
        super().paintEvent(event)
        if self.hasFocus():
            painter = QPainter(self)
            painter.setPen(QPen(self.palette().highlight().color(), 2))
            painter.drawRect(self.rect().adjusted(1, 1, -1, -1))


class WorksheetLeaf(Leaf):
    """Questions by hand first, then reasons; nothing adds up to a score."""

    def __init__(self, desk, theme, parent=None):
        super().__init__(translate("Leaves", "Worksheet"), theme, parent)
        self.desk = desk
        self._shown, self._laid, self._questions = None, None, {}
        desk.chart_changed.connect(self.refresh)
        desk.evaluated.connect(self.refresh)

    def _sheet(self):
        from radmeasure.workflow.worksheet import worksheet_of

        desk = self.desk
        return worksheet_of(desk.case, desk.tooth, desk.evaluation, desk.rulebook)

    def set_theme(self, theme):
        self._shown = self._laid = None
        super().set_theme(theme)

    def refresh(self):
        desk = self.desk
        if not self.isVisible() or desk.session is None or desk.preview is not None:
            return
        if not desk.tooth or desk.rulebook is None:
            self._shown = self._laid = None
            self.clear()
            self.words(self.tr("The worksheet begins with the tooth."), quiet=True)
            self.column.addStretch(1)
            return
        key = (desk.tooth, desk.case.worksheets.get(desk.tooth), desk.evaluation)
        if self._shown is not None and all(a is b or a == b for a, b in zip(key, self._shown)):
            return
        self._shown = key
        self._write(self._sheet())

    def _write(self, sheet):
        """Questions stay where they are while one is answered, so that the keys go on."""
        hand = [filled for filled in sheet.entries if filled.entry.choices]
        laid = (self.desk.tooth, [filled.entry.name for filled in hand])
        if laid != self._laid:
            self._laid = laid
            self._lay_out(hand)
        for filled in hand:
            self._questions[filled.entry.name].show_value(filled.value)
        answered = sum(filled.value is not None for filled in hand)
        told = self.tr("{0} of {1} answered; a key answers, arrows go on")
        self._counted.setText(told.format(answered, len(hand)))
        paragraphs = worksheet_paragraphs(sheet)
        self._told.setText("".join(map(self._paragraph, paragraphs)))
        self._told.setAccessibleName(paragraphs_text(paragraphs))

    def _lay_out(self, hand):
        from radmeasure.workflow.worksheet import load_worksheet_table

        self.clear()
        self.heading(self.tr("Asked by hand"))
        self._counted = self.words("", quiet=True)
        self._questions = {filled.entry.name: Question(self, filled) for filled in hand}
        index = load_worksheet_table().index
        for name, question in self._questions.items():
            if index is not None and name == index.entries[0]:
                parts = self.tr("{0}: what is left of each part of the crown, 0 to {1}")
                self.words(parts.format(translated(index.name), index.high), quiet=True)
            self.add(question)
        self._told = self.words("")
        self.column.addStretch(1)

    def _paragraph(self, paragraph):
        """Heading and sentences as in the printed record, each with its sources."""
        lines = [f'<p style="font-size:large; font-weight:600">{escape(paragraph.title)}</p>']
        colours = {FAILS: self.theme.fails, TOO_CLOSE: self.theme.close}
        for sentence in paragraph.sentences:
            colour = colours.get(sentence.verdict, self.theme.ink)
            if sentence.quiet:
                colour = self.theme.ink_quiet
            words = "".join(
                f"<b>{escape(text)}</b>" if strong else escape(text)
                for text, strong in sentence.parts
            )
            sources = escape("; ".join(sentence.sources))
            quiet = f'<span style="color:{self.theme.ink_quiet}; font-size:small">{sources}</span>'
            lines.append(f'<p style="color:{colour}">{words} {quiet}</p>')
        return "".join(lines)

    def focusInEvent(self, event):
        """Turned to by the keyboard: the first open question takes the keys."""
        super().focusInEvent(event)
        if self._questions:
            following = next((n for n, q in self._questions.items() if q.open), None)
            self._questions[following or next(iter(self._questions))].setFocus(event.reason())

    # -- answering ---------------------------------------------------------------------------
    def answer(self, name, value):
        from radmeasure.workflow.worksheet import answer

        self.desk.apply(answer(self.desk.tooth, name, value))

    def answer_key(self, name, key):
        """True when the key answered something; the next open question gets the focus."""
        from radmeasure.workflow.worksheet import answer_by_key, next_open

        edit = answer_by_key(self.desk.tooth, name, key)
        if edit is None:
            return False
        self.desk.apply(edit)
        following = next_open(self._sheet(), name)
        if following in self._questions:
            self._questions[following].setFocus()
        return True
