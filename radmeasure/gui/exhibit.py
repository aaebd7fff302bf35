"""A second film to look at beside the one in work: shown with its marks, never changed."""

from PySide6.QtCore import QObject, Signal

from radmeasure.geometry.turned import Turned
from radmeasure.reports.words import error_text


class Exhibit(QObject):
    """Looks like a desk to a canvas, with nothing wanted and nothing to move."""

    film_changed = Signal()
    chart_changed = Signal()
    want_changed = Signal()

    want = selected = pending = preview = first_vertex = last_placed = None
    drawing = evaluation = suggested = truth = None
    ready = False

    def __init__(self, desk, parent=None):
        super().__init__(parent)
        self.desk, self.background = desk, desk.background
        self.film_id = self.film = self.turned = None
        desk.chart_changed.connect(self._follow)

    @property
    def tooth(self):
        return self.desk.tooth

    @property
    def upper(self):
        return self.desk.upper

    @property
    def entry(self):
        known = {f.film_id: f for f in self.desk.case.films} if self.desk.session else {}
        return known.get(self.film_id)

    @property
    def landmarks(self):
        if self.desk.session is None or self.entry is None:
            return None
        chart = self.desk.case.chart(self.film_id, self.tooth)
        return chart.landmarks if chart else None

    def value(self, name, root=None):
        marks = self.landmarks
        found = marks.get(name, root) if marks is not None else None
        return found, "open" if found is None else "there"

    def show_film(self, film_id):
        """Show a film of the case, or none."""
        self.film_id = film_id
        if film_id is None:
            self.film = self.turned = None
            self.film_changed.emit()
            return
        task = self.background.start(lambda report: self.desk.session.film(film_id))
        task.finished.connect(lambda film: self._show(film_id, film))
        task.failed.connect(lambda error: self.desk.said.emit(error_text(error), True))

    def _show(self, film_id, film):
        entry = self.entry
        if film_id != self.film_id or entry is None:
            return
        self.film = film
        self.turned = Turned(film.width, film.height, entry.turns, entry.mirrored)
        self.film_changed.emit()

    def _follow(self):
        entry = self.entry
        if self.film_id is not None and entry is None:
            self.show_film(None)
        elif self.film is not None:
            turned = Turned(self.film.width, self.film.height, entry.turns, entry.mirrored)
            if turned != self.turned:
                self.turned = turned
                self.film_changed.emit()
            self.chart_changed.emit()

    # What a canvas's hand may call.
    def select(self, key):
        pass

    def nudge(self, dx, dy):
        return False

    def drop_preview(self):
        pass


class Link:
    """Keeps two canvases on the same place of the tooth, in the same size."""

    def __init__(self, one, other):
        self.one, self.other = one, other
        self.on = True
        one.moved.connect(lambda: self._follow(one, other))
        other.moved.connect(lambda: self._follow(other, one))

    def _follow(self, leader, follower):
        shown = follower.isVisible() and None not in (leader.picture, follower.picture)
        if self.on and shown:
            follower.follow(self._seen(leader, follower))

    @staticmethod
    def _seen(leader, follower):
        """The follower's camera with the same part of the tooth in the middle."""
        from radmeasure.gui.camera import centred

        size = (follower.width(), follower.height())
        x, y = leader.camera.to_shown((leader.width() / 2, leader.height() / 2))
        a, b = _tooth_of(leader), _tooth_of(follower)
        if a is not None and b is not None and abs(a[1]) > 1 and abs(b[1]) > 1:
            ratio = b[1] / a[1]
            on = b[0] + (complex(x, y) - a[0]) * ratio
            zoom = leader.camera.zoom / abs(ratio)
            return centred(follower.film_size, size, (on.real, on.imag), zoom)
        scale = follower.film_size[1] / leader.film_size[1]
        on = (x / leader.film_size[0] * follower.film_size[0], y * scale)
        return centred(follower.film_size, size, on, leader.camera.zoom / scale)


def _tooth_of(canvas):
    """(apex, reference minus apex) as complex numbers in the shown frame, or None."""
    desk = canvas.desk
    marks = desk.landmarks
    if marks is None or "coronal_reference" not in marks.points:
        return None
    apices = [r.points["apex"] for r in marks.roots.values() if "apex" in r.points]
    if not apices:
        return None
    apex = complex(*desk.turned.to_shown(apices[0]))
    top = complex(*desk.turned.to_shown(marks.points["coronal_reference"]))
    return apex, top - apex
