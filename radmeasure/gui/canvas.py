"""The film on black: shows, zooms, pans, sets the greys. What a click means stands in hand.py."""

import math

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QPainter, QPen, QPixmap, QRegion
from PySide6.QtWidgets import QSizePolicy, QWidget

from radmeasure.gui import camera as cameras
from radmeasure.gui.camera import Camera
from radmeasure.gui.grey import Grey
from radmeasure.gui.hand import Hand
from radmeasure.gui.inset import Inset
from radmeasure.gui.overlay import Overlay
from radmeasure.gui.picture import Picture, pyramid
from radmeasure.gui.spoken import Spoken, film_words

SURROUND = QColor("#000000")
REFINE_MS = 120


class Canvas(Spoken, QWidget):
    """Film canvas.

    Signals
    -------
    pointed(object)
        (x, y, grey value) under the pointer in film pixels, or None.
    view_changed
        Camera or greys are others.
    moved
        The camera was moved by a person, not by fitting to another size.
    """

    pointed = Signal(object)
    view_changed = Signal()
    moved = Signal()
    resized = Signal()

    def __init__(self, desk, parent=None):
        super().__init__(parent)
        self.desk = desk
        self.camera, self.grey = Camera(), None
        self.picture, self.overlay = None, Overlay()
        self._room = None  # memory of the picture before
        self._fit_pending, self._follow_fit = True, True
        self._frame, self._frame_key = None, None
        self._still, self._still_key = None, None
        self._touched = None  # QRegion of the mark dragged, when last painted
        self._bar_found, self._bar_key, self._bar_seen = None, None, None
        self._unbuilt = None  # the picture whose coarser levels are not worked out yet
        self._fast = False
        self.show_marks = True
        self._copying = False  # a picture for others shows no focus
        self.cursor_at = None  # where the keyboard would place, shown frame
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(self.tr("Film"))
        self.inset = Inset(self)
        self.hand = Hand(self)
        self._refine = QTimer(self, singleShot=True, interval=REFINE_MS)
        self._refine.timeout.connect(self._refined)
        desk.film_changed.connect(self._take_film)
        desk.chart_changed.connect(self._take_chart)
        desk.want_changed.connect(self._take_want)

    def minimumSizeHint(self):
        return QSize(240, 240)

    # -- what is shown ---------------------------------------------------------------------------
    def _take_film(self):
        desk = self.desk
        self.cursor_at = None
        self.inset.leave()
        if self.picture is not None:
            self._room = self.picture.room
        if desk.film is None:
            self.picture = None
            self.update()
            return
        keep = self.grey is not None and getattr(self, "_film", None) is desk.film
        self._film = desk.film
        if not keep:
            self.grey = Grey(desk.film.bits, desk.film.default_table)
        self.picture = Picture(desk.turned.view(desk.film.pixels), self.grey.rgb(), self._room)
        self._unbuilt = self.picture if self.picture.deepest else None
        self.overlay.take(desk)
        self._fit_pending = True
        self._fit()

    def show_now(self):
        """Paint the film before anything is said of it."""
        if self.picture is not None:
            self.repaint()

    def _build_pyramid(self):
        """The means, once the first picture is there: they would only hold it up."""
        picture, self._unbuilt = self._unbuilt, None
        if picture is None or picture is not self.picture:
            return
        task = self.desk.background.start(lambda report: pyramid(picture.levels[0]))
        task.finished.connect(lambda levels: self._refine_with(picture, levels))

    def _refine_with(self, picture, levels):
        if picture is self.picture:
            picture.set_levels(levels)
            self.update()

    def _take_chart(self):
        self.overlay.take(self.desk)
        if self.desk.preview is None:
            self._touched = None
            self.update()
        else:
            self.repaint(self._changed())  # the mark first, the numbers after it

    def _changed(self):
        """QRegion of what a drag's next move changes; all, unless the rest is kept and seen."""
        moving, before = self.desk.selected, self._touched
        self._touched = self.overlay.reach(self.camera, self.size(), self.fontMetrics(), moving)
        kept = self._still_now(moving) == self._still_key
        if not kept or before is None or self._touched is None:
            return QRegion(self.rect())
        changed = self._touched.united(before)
        if self._bar() != self._bar_seen:
            for bar in filter(None, (self._bar(), self._bar_seen)):
                changed += _around(bar)
        return changed

    def _still_now(self, moving):
        """What tells the picture kept during a drag from another."""
        self._film_frame()
        return (self._frame_key, self.overlay.still(moving), self.overlay.show_labels)

    def _take_want(self):
        want = self.desk.want
        if want is None or not want.placeable:
            self.cursor_at = None
        self.hand.want_changed()
        self.update()

    # -- camera ----------------------------------------------------------------------------------
    @property
    def film_size(self):
        return self.desk.turned.size if self.desk.turned else (1, 1)

    @property
    def follows_fit(self):
        """True while the whole film is shown, whatever the size of the window."""
        return self._follow_fit

    def fit(self):
        """The whole film, and from now on whatever the size of the window."""
        self._fit()
        self.moved.emit()

    def _fit(self):
        self._follow_fit = True
        if self.picture is not None and self.width() > 10:
            self._fit_pending = False
            self._look_through(cameras.fitted(self.film_size, self._size()))

    def actual_size(self):
        """One film pixel on one screen pixel, round the middle of what is seen."""
        zoom = 1 / self.devicePixelRatioF()
        middle = self.camera.to_shown((self.width() / 2, self.height() / 2))
        self.set_camera(cameras.centred(self.film_size, self._size(), middle, zoom))

    def zoom_by(self, factor, about=None):
        about = about or (self.width() / 2, self.height() / 2)
        self.set_camera(self.camera.zoomed(factor, about))

    def pan(self, dx, dy):
        self.set_camera(self.camera.panned(dx, dy))

    def set_camera(self, camera):
        """Look elsewhere."""
        self._follow_fit = False
        self._look_through(camera)
        self.moved.emit()

    def follow(self, camera):
        """Look where another canvas looks."""
        self._follow_fit = False
        self._look_through(camera)

    def _look_through(self, camera):
        if self.picture is not None:
            camera = camera.kept_near(self.film_size, self._size())
        if camera.zoom * self.devicePixelRatioF() == 1.0:
            # On whole pixels, so that a film pixel is exactly a screen pixel.
            camera = Camera(camera.zoom, round(camera.left), round(camera.top))
        if camera != self.camera:
            self.camera = camera
            self.view_changed.emit()
        self.update()

    def _size(self):
        return (self.width(), self.height())

    def show_point(self, shown):
        """Bring a point into sight without changing the zoom."""
        x, y = self.camera.to_widget(shown)
        edge = 40
        if not (edge < x < self.width() - edge and edge < y < self.height() - edge):
            self.set_camera(cameras.centred(self.film_size, self._size(), shown, self.camera.zoom))

    # -- greys -----------------------------------------------------------------------------------
    def set_grey(self, grey, dragging=False):
        if self.picture is None:
            return
        self.grey = grey
        if dragging:
            self._fast = True
            self.picture.set_coarse(self.devicePixelRatioF() > 1.25)
            self._refine.start()
        self.picture.set_rgb(grey.rgb())
        self.view_changed.emit()
        self.update()

    def _refined(self):
        self._fast = False
        if self.picture is not None:
            self.picture.set_coarse(False)
        self.update()

    def grey_as_opened(self):
        if self.desk.film is not None:
            self.set_grey(Grey(self.desk.film.bits, self.desk.film.default_table))

    def grey_fitted(self):
        """Window over what is in sight."""
        if self.picture is None:
            return
        a = self.picture.levels[0]
        x0, y0 = (max(0, int(c)) for c in self.camera.to_shown((0, 0)))
        x1, y1 = (max(0, math.ceil(c)) for c in self.camera.to_shown(self._size()))
        part = a[y0:y1, x0:x1]
        if part.size:
            step = max(1, int(math.sqrt(part.size / 250_000)))
            self.set_grey(self.grey.fitted(part[::step, ::step]))

    # -- drawing ---------------------------------------------------------------------------------
    def paintEvent(self, event):
        painter = QPainter(self)
        if self.picture is None:
            painter.fillRect(self.rect(), SURROUND)
            return
        moving = self.desk.selected if self.desk.preview is not None else None
        if moving is not None and self.show_marks:
            self._draw_drag(painter, moving)
        else:
            painter.drawPixmap(0, 0, self._film_frame())
            if self.show_marks:
                selected = self.desk.selected
                self.overlay.draw(painter, self.camera, self.size(), selected, self._fast)
        if self._unbuilt is not None:
            QTimer.singleShot(0, self._build_pyramid)
        self.hand.draw(painter)
        self._draw_bar(painter, event.region())
        if self.hasFocus() and not self._copying:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(self.palette().highlight().color(), 2))
            painter.drawRect(self.rect().adjusted(1, 1, -1, -1))

    def _film_frame(self):
        """The film as seen, kept until camera, greys or size change."""
        dpr = self.devicePixelRatioF()
        key = (self.camera, self.picture, self.picture.version, self.size(), dpr)
        if key != self._frame_key:
            width, height = round(self.width() * dpr), round(self.height() * dpr)
            if self._frame is None or self._frame.size() != QSize(width, height):
                self._frame = QPixmap(width, height)
            self._frame.setDevicePixelRatio(1)
            painter = QPainter(self._frame)
            c, zoom, (wide, high) = self.camera, self.camera.zoom * dpr, self.film_size
            film = QRectF(-c.left * zoom, -c.top * zoom, wide * zoom, high * zoom)
            inner = film.adjusted(1, 1, -1, -1).toRect()
            for rect in QRegion(0, 0, width, height) - QRegion(inner):
                painter.fillRect(rect, SURROUND)
            self.picture.draw(painter, zoom, c.left, c.top, width, height)
            painter.end()
            self._frame.setDevicePixelRatio(dpr)
            self._frame_key = key
        return self._frame

    def _draw_drag(self, painter, moving):
        """While a mark is dragged only the mark is drawn anew, over a picture of all the rest."""
        key = self._still_now(moving)
        if key != self._still_key:
            self._still, self._still_key = QPixmap(self._frame), key
            still = QPainter(self._still)
            still.setFont(self.font())
            self.overlay.draw_still(still, self.camera, moving)
            self.overlay.draw_still_labels(still, self.camera, self.size(), moving)
            still.end()
        painter.drawPixmap(0, 0, self._still)
        self.overlay.draw_moving(painter, self.camera, moving)
        self.overlay.draw_moving_label(painter, self.camera, self.size(), moving)

    def _draw_bar(self, painter, region):
        """A scale bar along the tooth, when there is a scale and ``region`` reaches to it."""
        bar = self._bar()
        if bar is None or (QRegion(_around(bar)) - region).isEmpty():
            self._bar_seen = bar
        if bar is None or not region.intersects(_around(bar)):
            return
        room, text = bar
        x, top, foot = room.left() + 6, room.top() + 6, room.bottom() - 6
        for colour, width in ((QColor(0, 0, 0, 160), 4.0), (QColor("#FFFFFF"), 1.6)):
            painter.setPen(QPen(colour, width))
            painter.drawLine(QPointF(x, top), QPointF(x, foot))
            for y in (top, foot):
                painter.drawLine(QPointF(x - 4, y), QPointF(x + 4, y))
        plate = QRectF(x + 6, room.top(), room.width() - 12, painter.fontMetrics().height())
        painter.fillRect(plate, QColor(0, 0, 0, 190))
        painter.drawText(plate, Qt.AlignmentFlag.AlignCenter, text)

    def _bar(self):
        """(its room, its words) of the scale bar, None without a scale."""
        mm = self._bar_mm()
        key = (mm, self.camera, self.size(), self.overlay.version, self.font())
        if key != self._bar_key:
            self._bar_key, self._bar_found = key, self._find_bar(mm)
        return self._bar_found

    def _find_bar(self, mm):
        if mm is None or not (math.isfinite(mm) and mm > 0):
            return None
        length_mm = next((n for n in (5, 10, 2, 1) if 40 < n / mm * self.camera.zoom < 220), None)
        if length_mm is None:
            return None
        text = self.tr("{length} mm").format(length=length_mm)
        return self._bar_room(text, length_mm / mm * self.camera.zoom), text

    def _bar_mm(self):
        """mm a film pixel along the tooth, None without a scale."""
        evaluation = self.desk.evaluation
        along = None if evaluation is None else evaluation.scale.along
        return None if along is None else along.value

    def _bar_room(self, text, length):
        """The corner for the scale bar: the first that covers no mark and no reference."""
        wide, high = self.fontMetrics().horizontalAdvance(text) + 20, length + 12
        left, right = 6, self.width() - wide - 6
        top, low = 6, self.height() - high - 6
        corners = ((left, low), (right, low), (right, top), (left, top))
        rooms = [QRectF(x, y, wide, high) for x, y in corners]
        free = (room for room in rooms if not self.overlay.covers(self.camera, room))
        return next(free, rooms[0])

    # -- events ----------------------------------------------------------------------------------
    def resizeEvent(self, event):
        super().resizeEvent(event)
        self.resized.emit()
        if self.picture is not None and (self._fit_pending or self._follow_fit):
            self._fit()

    def changeEvent(self, event):
        if event.type() == QEvent.Type.PaletteChange:
            self.update()
        super().changeEvent(event)

    def wheelEvent(self, event):
        delta = event.angleDelta().y() or event.angleDelta().x()
        if self.picture is not None and delta:
            at = event.position()
            self.zoom_by(1.0015**delta, (at.x(), at.y()))
            self.hand.moved(at)
        event.accept()

    def mousePressEvent(self, event):
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        self.hand.press(event)

    def mouseMoveEvent(self, event):
        self.hand.move(event)
        self._point_out(event.position())

    def mouseReleaseEvent(self, event):
        self.hand.release(event)

    def mouseDoubleClickEvent(self, event):
        self.hand.double_click(event)

    def leaveEvent(self, event):
        self.pointed.emit(None)
        self.hand.left()

    def keyPressEvent(self, event):
        if not self.hand.key(event):
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event):
        if not self.hand.key_up(event):
            super().keyReleaseEvent(event)

    def focusInEvent(self, event):
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event):
        super().focusOutEvent(event)
        self.hand.lost_focus()
        self.update()

    def _point_out(self, at):
        if self.picture is None:
            return
        x, y = (math.floor(c) for c in self.camera.to_shown((at.x(), at.y())))
        a = self.picture.levels[0]
        if 0 <= x < a.shape[1] and 0 <= y < a.shape[0]:
            film = self.desk.turned.from_shown_pixels((x, y))
            self.pointed.emit((round(film[0]), round(film[1]), int(a[y, x])))
        else:
            self.pointed.emit(None)

    # -- for others ------------------------------------------------------------------------------
    def spoken(self):
        return film_words(self.desk)

    def to_film(self, at):
        """Widget position (QPointF) as film pixels."""
        return self.desk.turned.to_film(self.camera.to_shown((at.x(), at.y())))

    def to_widget(self, film):
        """Film pixels as a widget position."""
        return QPointF(*self.camera.to_widget(self.desk.turned.to_shown(film)))

    def picture_of(self):
        """What is in sight, as a QPixmap."""
        self.inset.leave()
        self._copying = True
        try:
            return self.grab()
        finally:
            self._copying = False


def _around(bar):
    """Rectangle of the widget in which a scale bar is drawn."""
    return bar[0].toAlignedRect().adjusted(-4, -4, 4, 4)
