"""The case's films in order of treatment, each with its role; shown from two films on."""

from PySide6.QtCore import QRect, QSize, Qt, Signal
from PySide6.QtGui import QIcon, QImage, QPixmap
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QStyle

from radmeasure.gui.grey import Grey
from radmeasure.gui.looks import role_word
from radmeasure.model.case import FILM_ROLES

SIDE = 72


class FilmStrip(QListWidget):
    """A narrow column of small pictures with words; the current one is on show.

    Signals
    -------
    film_chosen(str)
    beside_chosen(str)
        A film that is to be seen beside: Ctrl and click.
    """

    film_chosen = Signal(str)
    beside_chosen = Signal(str)
    appeared = Signal()  # or gone: the rest of the window shares another width

    def __init__(self, desk, parent=None):
        super().__init__(parent)
        self.desk = desk
        self._small, self._listed = {}, None
        self.wanted = True  # by whoever works here, once there are two films
        self.setAccessibleName(self.tr("Films by visit"))
        self.setIconSize(QSize(SIDE, SIDE))
        self.setViewMode(QListWidget.ViewMode.IconMode)
        self.setFlow(QListWidget.Flow.TopToBottom)
        self.setWrapping(False)
        self.setMovement(QListWidget.Movement.Static)
        self.setWordWrap(True)
        self.setSpacing(4)
        self.setFixedWidth(SIDE + 46)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)  # a click leaves the keys with the film
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.currentItemChanged.connect(self._chosen)
        desk.session_changed.connect(self.refresh)
        desk.film_changed.connect(self.refresh)
        desk.want_changed.connect(self._mark)  # a film just opened joins the case a little later
        self.hide()

    @staticmethod
    def in_order(films):
        """Films by visit, then by the treatment's order of roles, then as added."""
        order = {role: i for i, role in enumerate(FILM_ROLES)}
        numbered = enumerate(films)
        ranked = sorted(numbered, key=lambda n: (n[1].visit or "9", order[n[1].role], n[0]))
        return [film for _, film in ranked]

    def refresh(self):
        if self.desk.session is None:
            return
        films = self.in_order(self.desk.case.films)
        several = self.wanted and len(films) > 1
        if several == self.isHidden():
            self.setVisible(several)
            self.appeared.emit()
        if films != self._listed:
            self._listed = films
            self._fill(films)
        self._mark()

    def _mark(self):
        """Show which film is on the canvas."""
        blocked = self.blockSignals(True)
        for i in range(self.count()):
            if self.item(i).data(Qt.ItemDataRole.UserRole) == self.desk.film_id:
                self.setCurrentRow(i)
        self.blockSignals(blocked)

    def _fill(self, films):
        blocked = self.blockSignals(True)
        self.clear()
        told = [role_word(f.role) + (f"\n{f.visit}" if f.visit else "") for f in films]
        self._widen(told)
        for film, words in zip(films, told, strict=True):
            item = QListWidgetItem(words)
            item.setData(Qt.ItemDataRole.UserRole, film.film_id)
            hint = self.tr("Ctrl and click shows it beside")
            item.setToolTip(f"{film.name}\n{hint}")
            item.setTextAlignment(Qt.AlignmentFlag.AlignHCenter)
            item.setSizeHint(self._room(words))
            self.addItem(item)
            self._picture(film, item)
        self.blockSignals(blocked)

    def _widen(self, told):
        """As wide as a picture, and as the longest word, which cannot go on in the next line."""
        words = " ".join(told).split()
        longest = max(map(self.fontMetrics().horizontalAdvance, words), default=0)
        beside = self.style().pixelMetric(QStyle.PixelMetric.PM_ScrollBarExtent) + 30
        self.setFixedWidth(max(SIDE + 46, longest + beside))

    def _room(self, words):
        """What picture and words need: left to the list, the next film covers the date."""
        scroll = self.style().pixelMetric(QStyle.PixelMetric.PM_ScrollBarExtent)
        width = self.width() - scroll - 2 * self.spacing() - 2 * self.frameWidth()
        wrapped = Qt.AlignmentFlag.AlignHCenter | Qt.TextFlag.TextWordWrap
        lines = self.fontMetrics().boundingRect(QRect(0, 0, width - 8, 1000), wrapped, words)
        return QSize(width, SIDE + lines.height() + 10)

    def _picture(self, film, item):
        if film.film_id in self._small:
            item.setIcon(self._small[film.film_id])
            return
        blank = QPixmap(SIDE, SIDE)
        blank.fill(Qt.GlobalColor.black)
        item.setIcon(QIcon(blank))
        session, film_id = self.desk.session, film.film_id
        task = self.desk.background.start(lambda report: _small(session.film(film_id)))
        task.finished.connect(lambda image: self._drawn(film_id, image))

    def _drawn(self, film_id, image):
        picture = QPixmap.fromImage(image)
        self._small[film_id] = icon = QIcon(picture)
        icon.addPixmap(picture, QIcon.Mode.Selected)  # a film is never tinted
        for i in range(self.count()):
            if self.item(i).data(Qt.ItemDataRole.UserRole) == film_id:
                self.item(i).setIcon(self._small[film_id])

    def mousePressEvent(self, event):
        item = self.itemAt(event.position().toPoint())
        if item is not None and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.beside_chosen.emit(item.data(Qt.ItemDataRole.UserRole))
            return
        super().mousePressEvent(event)

    def keyPressEvent(self, event):
        """Figures answer the line at the bottom; the list would look for films so called."""
        if event.text().isdecimal():
            event.ignore()
        else:
            super().keyPressEvent(event)

    def _chosen(self, item, _before):
        if item is not None:
            self.film_chosen.emit(item.data(Qt.ItemDataRole.UserRole))


def _small(film):
    """A small picture of a film, for the strip."""
    step = max(1, min(film.width, film.height) // (2 * SIDE))
    grey = Grey(film.bits, film.default_table).levels()[film.pixels[::step, ::step]]
    height, width = grey.shape
    image = QImage(grey.tobytes(), width, height, width, QImage.Format.Format_Grayscale8)
    return image.scaled(
        SIDE, SIDE, Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
    )
