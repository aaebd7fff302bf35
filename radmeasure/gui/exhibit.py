"""A second film to look at beside the one in work: shown with its marks, never changed."""

from PySide6.QtCore import QObject, Signal

from radmeasure.geometry.turned import Turned
from radmeasure.gui.camera import centred
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
    """Keeps two canvases on the same place of the tooth, in the same size.

    The films are laid over each other on the landmarks both have; without enough of
    them, on their edges.
    """

    def __init__(self, one, other):
        self.one, self.other = one, other
        self.on = True
        self._laid, self._laid_for = None, None
        one.moved.connect(lambda: self._follow(one, other))
        other.moved.connect(lambda: self._follow(other, one))
        other.desk.film_changed.connect(self.meet)

    def meet(self):
        """The film beside looks where the one in work looks."""
        self._follow(self.one, self.other)

    def _follow(self, leader, follower):
        shown = follower.isVisible() and None not in (leader.picture, follower.picture)
        if self.on and shown:
            follower.follow(self._seen(leader, follower))

    def _seen(self, leader, follower):
        """The follower's camera with the same part of the tooth in the middle."""
        size = (follower.width(), follower.height())
        middle = leader.camera.to_shown((leader.width() / 2, leader.height() / 2))
        alignment = self._alignment(leader, follower)
        if alignment:
            zoom = leader.camera.zoom / abs(alignment.factor)
            return centred(follower.film_size, size, alignment(middle), zoom)
        across, down = (b / a for a, b in zip(leader.film_size, follower.film_size, strict=True))
        on = (middle[0] * across, middle[1] * down)
        return centred(follower.film_size, size, on, leader.camera.zoom / down)

    def _alignment(self, leader, follower):
        """How the leader's film lies on the follower's, as shown; kept until either changes."""
        desks = leader.desk, follower.desk
        key = [(desk.landmarks, desk.turned) for desk in desks]
        if self._laid_for is None or not _same(key, self._laid_for):
            self._laid_for = key
            self._laid = None
            if None not in (key[0][0], key[1][0]):
                from radmeasure.workflow.compare import lay_over

                marks = [marks.mapped(turned.to_shown) for marks, turned in key]
                self._laid = lay_over(*marks, (leader.film_size, follower.film_size))
        return self._laid


def _same(key, before):
    return all(
        marks is old and turned == old_turned
        for (marks, turned), (old, old_turned) in zip(key, before, strict=True)
    )
