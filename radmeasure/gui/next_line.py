"""The line at the bottom: what is wanted next, which key does what, and where it is typed in."""

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QPushButton, QWidget

from radmeasure.gui.focus import put_away
from radmeasure.gui.spoken import tell
from radmeasure.gui.wording import entry_words, hint_words, want_words
from radmeasure.reports.words import decimal

SAID_MS = 7000


class NextLine(QWidget):
    """Shows the desk's want; takes typed numbers without a dialog.

    Signals
    -------
    typed(str)
        What was entered.
    chosen(int)
        Number of the choice that was made.
    """

    typed = Signal(str)
    chosen = Signal(int)

    def __init__(self, desk, parent=None):
        super().__init__(parent, objectName="nextline")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.desk = desk
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 6, 14, 6)
        row.setSpacing(10)
        self.words = QLabel()
        self.words.setTextFormat(Qt.TextFormat.RichText)
        self.entry = _Entry()
        self.entry.setMaximumWidth(90)
        self.entry.returnPressed.connect(self._entered)
        self.unit = QLabel()
        self.hint, self._hint = _Hint(self), ""
        self.hint.setSizePolicy(
            self.hint.sizePolicy().horizontalPolicy().Ignored,
            self.hint.sizePolicy().verticalPolicy(),
        )
        self.side = QLabel()
        self.side.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        for widget, stretch in (
            (self.words, 0),
            (self.entry, 0),
            (self.unit, 0),
            (self.hint, 1),
            (self.side, 0),
        ):
            row.addWidget(widget, stretch)
        self._row, self._buttons = row, []
        self._announced = None
        self._asked = None
        desk.want_changed.connect(self.refresh)
        desk.film_changed.connect(self.refresh)

    @property
    def asks_text(self):
        """True while something is to be typed."""
        return self.entry.isVisibleTo(self)

    @property
    def offers_choice(self):
        """True while one of several buttons answers."""
        return bool(self._buttons)

    def refresh(self):
        want, desk = self.desk.want, self.desk
        words = want_words(want, desk)
        start = self.tr("Next:")
        self.words.setText(f"<b>{start}</b> {words}")
        self._say_hint(hint_words(want, desk))
        label = entry_words(want, desk.pending)
        asked = None if want is None else (want.key, desk.film_id, desk.tooth, desk.pending)
        if asked != self._asked:
            self._asked = asked
            self.entry.clear()
        self.entry.setVisible(label is not None)
        self.unit.setVisible(bool(label and label.unit))
        if label is not None:
            self.entry.setAccessibleName(words)
            self.unit.setText(label.unit)
            self.entry.setPlaceholderText(decimal(label.example))
        self._offer(self._choices(want))
        self._announce(words)

    def _say_hint(self, words=None):
        """The keys, cut with dots where the line is too short for all of them."""
        self._hint = self._hint if words is None else words
        elide = Qt.TextElideMode.ElideRight
        text = self.hint.fontMetrics().elidedText(self._hint, elide, max(self.hint.width(), 1))
        cut = text != self._hint
        self.hint.setText(text)
        self.hint.setToolTip(self._hint if cut else "")
        self.hint.setAccessibleName(self._hint)

    def _choices(self, want):
        from radmeasure.gui.wording import choices

        return choices(want, self.desk)

    def _offer(self, texts):
        if [b.text() for b in self._buttons] == texts:
            return
        for button in self._buttons:
            self._row.removeWidget(button)
            button.deleteLater()
        self._buttons = []
        for i, text in enumerate(texts):
            button = QPushButton(text)
            button.clicked.connect(lambda _=False, i=i: self.chosen.emit(i))
            self._row.insertWidget(3 + i, button)
            self._buttons.append(button)

    def _announce(self, words):
        """Tell a screen reader what is wanted, once."""
        if words == self._announced:
            return
        self._announced = words
        tell(self, words)

    def showEvent(self, event):
        super().showEvent(event)
        # As high as with something to type in, so that the film above it keeps its place.
        margins = self._row.contentsMargins()
        height = self.entry.sizeHint().height() + margins.top() + margins.bottom()
        self.setMinimumHeight(height)

    def begin(self, text):
        """Start typing with ``text``, as when a digit is pressed over the film."""
        self.entry.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.entry.setText(text)
        self.entry.end(False)

    def _entered(self):
        self.typed.emit(self.entry.text().strip())

    def keyPressEvent(self, event):
        # An empty entry leaves the key alone: it skips, as over the film.
        if event.key() == Qt.Key.Key_Backspace and not self.entry.text():
            self.desk.skip()
            event.accept()
            return
        if event.key() == Qt.Key.Key_Escape:
            self.entry.clear()
            self.parentWidget().setFocus()
            event.accept()
            return
        super().keyPressEvent(event)


class _Hint(QLabel):
    """Words that take the room that is left; ``line`` cuts them to it."""

    def __init__(self, line):
        super().__init__()
        self._line = line

    def resizeEvent(self, event):
        super().resizeEvent(event)
        self._line._say_hint()


class _Entry(QLineEdit):
    """Lets Backspace go on to the line when there is nothing to take back."""

    def keyPressEvent(self, event):
        if event.key() == Qt.Key.Key_Backspace and not self.text():
            event.ignore()
            return
        super().keyPressEvent(event)


class Notice(QWidget):
    """Words above it for what happened: trouble stays until the next act, the rest fades.

    It lies over the lower end of chart and record, never over the film, and takes no room:
    a film that is fitted anew under the pointer makes a click miss.

    Parameters
    ----------
    parent : QWidget
    room : callable
        Gives the QRect of the parent above which it may not rise, and on whose foot it lies.
    film : QWidget
        Gets the keys when a notice that has them goes.
    """

    def __init__(self, parent, room, film):
        super().__init__(parent, objectName="notice")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._room, self._film = room, film
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 4, 8, 4)
        self._words = QLabel()
        self._words.setTextFormat(Qt.TextFormat.PlainText)
        self._words.setWordWrap(True)
        self._close = QPushButton(self.tr("Close"))
        self._close.setFocusPolicy(Qt.FocusPolicy.TabFocus)  # a click takes no keys from the film
        self._close.clicked.connect(self._put_away)
        row.addWidget(self._words, 1)
        row.addWidget(self._close)
        self._timer = QTimer(self, singleShot=True, interval=SAID_MS)
        self._timer.timeout.connect(self._put_away)
        self.trouble = False
        self.hide()

    @property
    def text(self):
        return self._words.text() if self.isVisibleTo(self.parentWidget()) else ""

    def say(self, words, trouble=False):
        # What went wrong is not wiped away by what merely happened.
        if not trouble and self.trouble and self.isVisible():
            return
        self.trouble = trouble
        self._words.setText(words)
        self._close.setVisible(trouble)
        self.setProperty("trouble", "true" if trouble else "false")
        self.style().unpolish(self)
        self.style().polish(self)
        self.lie_down()
        self.show()
        self.raise_()
        tell(self, words, urgent=trouble)
        self._timer.stop()
        if not trouble:
            self._timer.start()

    def lie_down(self):
        """Take its place in the room there is now."""
        room = self._room()
        height = max(self.heightForWidth(room.width()), self.sizeHint().height())
        height = min(height, room.height())
        self.setGeometry(room.left(), room.bottom() + 1 - height, room.width(), height)

    def settle(self):
        """The user went on: trouble need not stay."""
        if self.trouble:
            self._put_away()
            self.trouble = False

    def _put_away(self):
        put_away(self, self._film)
