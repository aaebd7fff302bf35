"""The level chart beside the film, and dragging of post depth, seal and size on it."""

import math

from PySide6.QtCore import QElapsedTimer, QPointF, QRectF, QSize, Qt, QTimer
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QTabBar, QVBoxLayout, QWidget

from radmeasure.gui.level_painter import Painted
from radmeasure.gui.spoken import Spoken, tell
from radmeasure.gui.wording import translate
from radmeasure.reports.words import number, root_title
from radmeasure.workflow.level_chart import View, colour, level_chart

HIT = 14.0
LEAST_PX = 8.8  # letters of the chart where large ones would leave the tooth no room
WHILE_DRAGGING_MS, RESTING_MS = 200, 120  # between two charts; from the last move to one
AT_MOST_MS = 500  # a chart waits for moves that leave no time between them
NEXT_MOVE_MS = 20  # by then it has come, or the hand rests
PIECE_S = 0.0015  # of painting at a time, between the numbers of one move and the next move


class LevelPanel(QWidget):
    """Chart with a tab per root when there are several."""

    def __init__(self, desk, parent=None):
        super().__init__(parent)
        self.desk = desk
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self._tabs = QTabBar(objectName="jobs")
        self._tabs.setDrawBase(False)
        self._tabs.setAccessibleName(self.tr("Root shown"))
        self._tabs.currentChanged.connect(self._choose_root)
        self.chart = LevelChart(desk)
        column.addWidget(self._tabs)
        column.addWidget(self.chart, 1)
        self._roots = ()
        desk.evaluated.connect(self.refresh)
        desk.film_changed.connect(self._take_film)

    def _take_film(self):
        if self.desk.evaluation is None:  # a film only turned has its numbers told next
            self.refresh()

    def refresh(self):
        evaluation = self.desk.evaluation
        roots = tuple(evaluation.landmarks.roots) if evaluation is not None else ()
        if roots != self._roots:
            self._roots = roots
            blocked = self._tabs.blockSignals(True)
            while self._tabs.count():
                self._tabs.removeTab(0)
            for root in roots:
                self._tabs.addTab(root_title(root))
            self._tabs.blockSignals(blocked)
            plan = self.desk.plan
            wanted = plan.root if plan is not None and plan.root in roots else None
            wanted = wanted or _open_to_posts(evaluation) or next(iter(roots), None)
            if wanted is not None:
                self._tabs.setCurrentIndex(roots.index(wanted))
        self._tabs.setVisible(len(roots) > 1)
        self._choose_root(self._tabs.currentIndex())

    def _choose_root(self, index):
        self.chart.show_root(self._roots[index] if 0 <= index < len(self._roots) else None)


def _open_to_posts(evaluation):
    """The first root that no rule keeps a post out of, or None."""
    spaces = () if evaluation is None else evaluation.post_space
    return next((space.root for space in spaces if space.admitted), None)


class LevelChart(Spoken, QWidget):
    """The chart of one root. Arrow keys move the handle that Space picks."""

    def __init__(self, desk, parent=None):
        super().__init__(parent)
        self.desk = desk
        self.root, self.drawing = None, None
        self.theme = "dark"
        self._painted = self._making = self._spare = None  # seen, to be seen next, seen before
        self._handle, self._start = None, None
        self._picked = 0
        self._told = None
        self._value = None
        self._drawn, self._drawn_from, self._outgrown = QElapsedTimer(), None, False
        self._later = QTimer(self, singleShot=True)
        self._later.timeout.connect(self._go_on)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(self.tr("Level chart"))

    def set_theme(self, theme):
        """'paper' or 'dark', as the chart's pens are named."""
        self.theme = theme
        self.update()

    def sizeHint(self):
        return QSize(340, 520)

    def minimumSizeHint(self):
        return QSize(38 * self.fontMetrics().averageCharWidth(), 200)

    def show_root(self, root):
        """Draw a root; while a landmark is dragged, a few times a second will do.

        Then it is made piece by piece, each just after the numbers of a move, when the next
        is furthest off.
        """
        self.root = root
        if self.desk.preview is None:
            self._draw()
        else:
            due = self._making is not None or self._drawn.hasExpired(WHILE_DRAGGING_MS)
            self._later.start(0 if due else RESTING_MS)

    def _go_on(self):
        """One piece of what is to be done while the hand moves."""
        if self.desk.numbers_due and not self._drawn.hasExpired(AT_MOST_MS):
            return  # the next move was faster: after its numbers there is another turn
        if self._making is None:
            drawing = self._laid_out()
            if not drawing:
                self._show(drawing)
                return
            self._making = self._painting(drawing, smooth=False)
        elif self._making.go_on(PIECE_S):
            self._put_up(self._making)
            self._show(self._painted.drawing)
            if self._drawn_from is not self.desk.evaluation:
                self._later.start(RESTING_MS)  # a hand that holds still sees its own numbers
            return
        self._later.start(NEXT_MOVE_MS)

    def _draw(self):
        self._later.stop()
        self._making = None
        self._show(self._laid_out())

    def _show(self, drawing):
        self.drawing = drawing
        self._tell()
        self.update()

    def _laid_out(self):
        """Drawing of the root shown, or None."""
        self._drawn.start()
        self._outgrown = False
        evaluation = self._drawn_from = self.desk.evaluation
        if evaluation is None or self.root is None:
            return None
        size = (float(max(self.width(), 60)), float(max(self.height(), 60)))
        font = QFontMetricsF(self.font()).height() * 0.72
        turned = self.desk.turned
        view = View(turned.turns, turned.mirrored)
        return level_chart(
            evaluation, self.root, self.desk.plan, size, font, view, least_size=LEAST_PX
        )

    def spoken(self):
        """The chart in words, and what can be moved on it."""
        if not self.drawing:
            return self.drawing.why if self.drawing is not None else ""
        return "; ".join((self.drawing.words, *map(self._words, self.handles)))

    def _tell(self):
        """Say what the arrow keys made of the handle picked."""
        handle = self.handles[self._picked % len(self.handles)] if self.handles else None
        words = self._words(handle) if handle is not None and self.hasFocus() else None
        if words != self._told:
            self._told = words
            tell(self, words)

    @property
    def handles(self):
        return self.drawing.handles if self.drawing else ()

    # -- drawing ---------------------------------------------------------------------------
    def paintEvent(self, event):
        if self._outgrown:
            self._making = None
            self.drawing = self._laid_out()
        painter = QPainter(self)
        if self.drawing:
            painter.drawPixmap(0, 0, self._picture())
            painter.setRenderHint(painter.RenderHint.Antialiasing)
            self._draw_handles(painter)
        else:
            painter.fillRect(self.rect(), QColor(colour("paper", self.theme)))
            self._draw_why(painter)
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(self.palette().highlight().color(), 2))
            painter.drawRect(self.rect().adjusted(1, 1, -1, -1))

    def _picture(self):
        """The chart as painted, kept until another is drawn."""
        dpr = self.devicePixelRatioF()
        seen = (self.drawing, self.theme, self.size(), dpr, self.desk.preview is None)
        if self._painted is None or not self._painted.shows(*seen):
            made = self._painting(self.drawing, smooth=self.desk.preview is None)
            made.go_on()
            self._put_up(made)
        return self._painted.picture

    def _painting(self, drawing, smooth):
        dpr, spare = self.devicePixelRatioF(), self._spare
        self._spare = None
        return Painted(drawing, self.theme, self.size(), dpr, self.font(), smooth, spare)

    def _put_up(self, made):
        self._spare, self._painted, self._making = self._painted, made, None

    def _draw_why(self, painter):
        why = self.drawing.why if self.drawing is not None else ""
        text = why or translate("Chart", "The level chart is drawn from your landmarks.")
        painter.setPen(QColor(colour("quiet", self.theme)))
        room = QRectF(self.rect()).adjusted(24, 24, -24, -24)
        flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
        painter.drawText(room, flags, text)

    def _draw_handles(self, painter):
        for i, handle in enumerate(self.handles):
            at = QPointF(*handle.at)
            picked = self.hasFocus() and i == self._picked % len(self.handles)
            painter.setBrush(QColor(colour("paper", self.theme)))
            painter.setPen(QPen(QColor(colour("ink" if picked else "blue", self.theme)), 2.0))
            painter.drawPolygon(_grip(at, handle, 8.0 if picked else 6.0))

    # -- dragging ---------------------------------------------------------------------------
    def _at(self, at):
        found = [(math.dist((at.x(), at.y()), h.at), i) for i, h in enumerate(self.handles)]
        near = min(found, default=(HIT + 1, None))
        return near[1] if near[0] <= HIT else None

    def mousePressEvent(self, event):
        index = self._at(event.position())
        if index is None or event.button() != Qt.MouseButton.LeftButton:
            return
        self._picked, self._handle = index, self.handles[index]
        self._start, self._value = event.position(), None

    def mouseMoveEvent(self, event):
        if self._handle is None:
            index = self._at(event.position())
            over = index is not None
            shape = Qt.CursorShape.SizeAllCursor if over else Qt.CursorShape.ArrowCursor
            self.setCursor(shape)
            self.setToolTip(self._words(self.handles[index]) if over else "")
            return
        d = event.position() - self._start
        self._value = self._chosen(self._handle, d.x(), d.y())
        self.desk.drag_plan(*self._value, self.root)

    def mouseReleaseEvent(self, event):
        if self._handle is not None and self._value is not None:
            self.desk.choose_plan(*self._value, self.root)
        self._handle = self._value = None

    @staticmethod
    def _chosen(handle, dx, dy):
        """(plan entry, value) after dragging a handle."""
        if handle.choices:
            return "size_name", handle.chosen(dx, dy)
        return f"{handle.name}_mm", round(handle.dragged(dx, dy), 1)

    # -- keys ---------------------------------------------------------------------------------
    def keyPressEvent(self, event):
        if not self.handles:
            super().keyPressEvent(event)
            return
        handle = self.handles[self._picked % len(self.handles)]
        key = event.key()
        if key == Qt.Key.Key_Space:
            self._picked = (self._picked + 1) % len(self.handles)
            self.desk.said.emit(self._words(self.handles[self._picked]), False)
            self.update()
        elif key in (Qt.Key.Key_Up, Qt.Key.Key_Right, Qt.Key.Key_Down, Qt.Key.Key_Left):
            more = key in (Qt.Key.Key_Up, Qt.Key.Key_Right)
            self._step(handle, more, bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier))
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            entry = "size_name" if handle.choices else f"{handle.name}_mm"
            self.desk.choose_plan(entry, None, self.root)
        else:
            super().keyPressEvent(event)

    def _words(self, handle):
        names = {
            "depth": self.tr("Depth of the post"),
            "seal": self.tr("Filling kept below it"),
            "size": self.tr("Size of the post"),
            "gain": self.tr("Tooth gained"),
        }
        return f"{names[handle.name]}: {number(handle.value, 1)} mm"

    def _step(self, handle, more, large):
        if handle.choices:
            names = [name for name, _ in sorted(handle.choices, key=lambda c: c[1])]
            plan = self.desk.plan
            now = plan.size_name if plan is not None else None
            i = names.index(now) + (1 if more else -1) if now in names else 0
            self.desk.choose_plan("size_name", names[min(max(i, 0), len(names) - 1)], self.root)
            return
        step = (1.0 if large else 0.1) * (1 if more else -1)
        value = float(min(max(handle.value + step, handle.low), handle.high))
        self.desk.choose_plan(f"{handle.name}_mm", round(value, 1), self.root)

    def focusInEvent(self, event):
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event):
        super().focusOutEvent(event)
        self.update()

    def resizeEvent(self, event):
        super().resizeEvent(event)
        self._outgrown = True  # drawn anew when painted: numbers may follow first


def _grip(at, handle, size):
    """A small lozenge drawn out in the direction the handle moves."""
    dx, dy = handle.along
    return [
        QPointF(at.x() + 1.6 * size * dx, at.y() + 1.6 * size * dy),
        QPointF(at.x() - 0.8 * size * dy, at.y() + 0.8 * size * dx),
        QPointF(at.x() - 1.6 * size * dx, at.y() - 1.6 * size * dy),
        QPointF(at.x() + 0.8 * size * dy, at.y() - 0.8 * size * dx),
    ]
