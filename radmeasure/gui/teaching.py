"""The teaching copy: a person looks at each film, blanks what is burned in, and writes the copy."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from radmeasure.geometry.turned import Turned
from radmeasure.gui.file_dialog import file_dialog
from radmeasure.gui.mask_view import MaskView
from radmeasure.reports.words import error_text


class TeachingCopy(QWidget):
    """A window of its own beside the work; it stops nothing.

    Attributes
    ----------
    seen : dict of film id to bool
        Films a person has confirmed; drawing on a film takes its confirmation back.
    boxes : dict of film id to tuple of boxes
    """

    def __init__(self, window):
        super().__init__(window, Qt.WindowType.Window)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(self.tr("Teaching copy"))
        self.desk, self.background = window.desk, window.background
        self.settings = window.settings
        self.films, self.at = (), 0
        self.seen, self.boxes = {}, {}
        self._task, self._closed = None, False
        self._build()
        self.resize(980, 680)
        self.desk.session_changed.connect(self._take_films)
        self.desk.ending.connect(self.close)
        self._take_films()

    # -- building ----------------------------------------------------------------------------
    def _build(self):
        self.view = MaskView()
        self.view.changed.connect(self._drawn)
        row = QHBoxLayout(self)
        row.addWidget(self.view, 1)
        side = QVBoxLayout()
        row.addLayout(side)
        self._words(
            side,
            self.tr(
                "Names, numbers and dates of the files are left out by themselves. What is burned "
                "into a picture is not: look at every film."
            ),
        )
        self._words(
            side,
            self.tr(
                "Drag a box over what must not be seen. N makes one by key, arrows move it, Shift "
                "and arrows size it, Delete takes it away. Wheel: larger; F: whole film."
            ),
        )
        self.which = self._words(side, "")
        words = self.tr("I have looked: no name, number or date is left to read on this film.")
        self._words(side, words)
        self.look = QCheckBox(self.tr("Looked at"))
        self.look.setAccessibleName(words)
        self.look.toggled.connect(self._looked)
        side.addWidget(self.look)
        moves = QHBoxLayout()
        self.back = self._button(moves, self.tr("Film before"), lambda: self._step(-1))
        self.forth = self._button(moves, self.tr("Next film"), lambda: self._step(1))
        side.addLayout(moves)
        self.away = QPushButton(self.tr("Take the box away"))
        self.away.clicked.connect(self.view.take_away)
        side.addWidget(self.away)
        side.addStretch(1)
        self.dates = QComboBox()
        self.dates.addItem(self.tr("Dates removed"), False)
        self.dates.addItem(self.tr("Dates shifted, intervals kept"), True)
        self.dates.setAccessibleName(self.tr("Dates"))
        side.addWidget(self.dates)
        self.left = self._words(side, "")
        self.write = QPushButton(self.tr("Write the copy …"))
        self.write.clicked.connect(self._ask_folder)
        side.addWidget(self.write)

    def _words(self, side, text):
        label = QLabel(text)
        label.setWordWrap(True)
        label.setFixedWidth(34 * self.fontMetrics().averageCharWidth())
        label.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Minimum)
        side.addWidget(label)
        return label

    def _button(self, row, text, act):
        button = QPushButton(text)
        button.clicked.connect(lambda _=False: act())
        row.addWidget(button)
        return button

    def closeEvent(self, event):
        self._closed = True
        super().closeEvent(event)

    # -- films -------------------------------------------------------------------------------
    def _take_films(self):
        """The case's films; what was confirmed and drawn on those still there stays."""
        if self.desk.session is None or self._closed:
            return
        self.films = self.desk.case.films
        known = {film.film_id for film in self.films}
        self.seen = {f.film_id: self.seen.get(f.film_id, False) for f in self.films}
        self.boxes = {k: v for k, v in self.boxes.items() if k in known}
        self.at = min(self.at, max(len(self.films) - 1, 0))
        self._show()

    def _step(self, step):
        self.at = (self.at + step) % len(self.films)
        self._show()

    def _show(self):
        self.view.show_film(None, None, ())
        self._refresh()
        if not self.films:
            return
        entry, session = self.films[self.at], self.desk.session
        task = self.background.start(lambda report: session.film(entry.film_id))
        task.finished.connect(lambda film: self._decoded(entry, film))
        task.failed.connect(self._failed)

    def _decoded(self, entry, film):
        if self._closed or not self.films or entry != self.films[self.at]:
            return
        turned = Turned(film.width, film.height, entry.turns, entry.mirrored)
        self.view.show_film(film, turned, self.boxes.get(entry.film_id, ()))
        self._refresh(shown=True)
        self.view.setFocus()

    def _refresh(self, shown=False):
        """Words and buttons; a film can be confirmed only while it is on show."""
        film = self.films[self.at] if self.films else None
        words = self.tr("No film in this case.")
        if film is not None:
            words = self.tr("Film {0} of {1}: {2}").format(self.at + 1, len(self.films), film.name)
        self.which.setText(words)
        blocked = self.look.blockSignals(True)
        self.look.setChecked(bool(film) and self.seen[film.film_id])
        self.look.blockSignals(blocked)
        self.look.setEnabled(shown)
        self.away.setEnabled(shown and bool(self.view.boxes))
        for button in (self.back, self.forth):
            button.setEnabled(len(self.films) > 1)
        self._count()

    def _count(self):
        left = sum(not seen for seen in self.seen.values())
        ready = bool(self.films) and not left and self._task is None
        self.write.setEnabled(ready)
        self.left.setText("" if not left else self.tr("Films to look at yet: {0}").format(left))

    def _drawn(self):
        film = self.films[self.at]
        self.boxes[film.film_id] = self.view.boxes
        self.seen[film.film_id] = False
        self._refresh(shown=True)

    def _looked(self, on):
        self.seen[self.films[self.at].film_id] = on
        self._count()

    # -- writing -----------------------------------------------------------------------------
    def _ask_folder(self):
        title, name = self.tr("Name a new folder for the copy"), self.tr("teaching copy")
        dialog = file_dialog(self, self.settings, title, name)
        dialog.fileSelected.connect(self.write_to)
        dialog.show()

    def write_to(self, folder):
        """Write the copy beside; says when it is there."""
        if not self.write.isEnabled():
            return
        boxes = {film.film_id: self.boxes.get(film.film_id, ()) for film in self.films}
        shift = self.dates.currentData()
        self._task = self.background.start(_write, self.desk.session, folder, boxes, shift)
        self._task.finished.connect(lambda _: self._written(folder))
        self._task.failed.connect(self._failed)
        self._task.done.connect(self._ended)
        self._count()

    def _written(self, folder):
        self.desk.said.emit(self.tr("Teaching copy written: {0}").format(Path(folder).name), False)

    def _failed(self, error):
        self.desk.said.emit(error_text(error), True)

    def _ended(self):
        self._task = None
        if not self._closed:
            self._count()


def _write(report, session, folder, boxes, shift_dates):
    from radmeasure.workflow.teaching_copy import write_teaching_copy

    return write_teaching_copy(session, folder, boxes, shift_dates, report)
