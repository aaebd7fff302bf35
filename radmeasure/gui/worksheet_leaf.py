"""The decision worksheet: one key answers one line; what speaks for and against stands below."""

from html import escape

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QLabel, QPushButton, QSizePolicy, QVBoxLayout

from radmeasure.gui.flow import FlowLayout
from radmeasure.gui.leaf import Leaf
from radmeasure.gui.wording import translate
from radmeasure.reports.words import source_text, translated


class Question(QFrame):
    """One entry: its words and a button per answer; the answer's key works while it has focus."""

    def __init__(self, leaf, filled):
        super().__init__()
        self.leaf, self.name = leaf, filled.entry.name
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
        for key, value, label in filled.entry.choices:
            button = QPushButton(f"{key}  {translated(label)}" if label != key else key)
            button.setCheckable(True)
            button.setChecked(filled.value == value and filled.value is not None)
            button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            button.clicked.connect(lambda _=False, v=value: leaf.answer(self.name, v))
            row.addWidget(button)
        column.addLayout(row)

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
        self.setFrameShape(QFrame.Shape.Box)
        self.leaf.ensureWidgetVisible(self)

    def focusOutEvent(self, event):
        super().focusOutEvent(event)
        self.setFrameShape(QFrame.Shape.NoFrame)


class WorksheetLeaf(Leaf):
    """Questions by hand first, then reasons; nothing adds up to a score."""

    def __init__(self, desk, theme, parent=None):
        super().__init__(translate("Leaves", "Worksheet"), theme, parent)
        self.desk = desk
        self._shown, self._questions = None, {}
        desk.chart_changed.connect(self.refresh)
        desk.evaluated.connect(self.refresh)

    def _sheet(self):
        from radmeasure.workflow.worksheet import worksheet_of

        desk = self.desk
        return worksheet_of(desk.case, desk.tooth, desk.evaluation, desk.rulebook)

    def refresh(self):
        desk = self.desk
        if not self.isVisible() or desk.session is None or desk.preview is not None:
            return
        if not desk.tooth or desk.rulebook is None:
            self._shown = None
            self.clear()
            self.words(self.tr("The worksheet begins with the tooth."), quiet=True)
            self.column.addStretch(1)
            return
        key = (desk.tooth, desk.case.worksheets.get(desk.tooth), desk.evaluation, self.theme.title)
        if self._shown is not None and all(a is b or a == b for a, b in zip(key, self._shown)):
            return
        self._shown = key
        focus = self.focusWidget()
        focused = getattr(focus, "name", None) if focus is not None and focus.hasFocus() else None
        self.clear()
        self._write(self._sheet())
        if focused in self._questions:
            self._questions[focused].setFocus()

    def _write(self, sheet):
        self._questions = {}
        hand = [f for f in sheet.entries if f.entry.choices]
        answered = sum(f.value is not None for f in hand)
        self.heading(self.tr("Asked by hand"))
        self.words(
            self.tr("{0} of {1} answered; a key answers, arrows go on").format(answered, len(hand)),
            quiet=True,
        )
        for filled in hand:
            question = self._questions[filled.entry.name] = Question(self, filled)
            self.column.addWidget(question)
        for title, reasons in (
            (self.tr("Speaks for a post"), sheet.for_),
            (self.tr("Speaks against"), sheet.against),
            (self.tr("Open"), sheet.open),
        ):
            if reasons:
                self.heading(title)
            for reason in reasons:
                self._reason(reason)
        if sheet.missing:
            self.heading(self.tr("Not known yet"))
            self.words(", ".join(translated(f.entry.label) for f in sheet.missing), quiet=True)
        self.column.addStretch(1)

    def _reason(self, reason):
        words = translated(reason.words)
        text = words[:1].upper() + words[1:]
        source = source_text(reason.source, reason.trust) if reason.source else ""
        label = self._label(
            f"<p>{escape(text)} "
            f'<span style="color:{self.theme.ink_quiet}; font-size:small">{escape(source)}</span>'
            "</p>",
            text,
        )
        label.setToolTip(source)

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
