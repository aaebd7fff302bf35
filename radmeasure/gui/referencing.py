"""Looks for reference objects: all over a film when it is opened, or under a click."""

from PySide6.QtCore import QObject

from radmeasure.gui.scaling import Pending
from radmeasure.model.landmarks import Landmarks, Root
from radmeasure.model.tooth import Tooth
from radmeasure.reports.words import error_text, translated

SURE = 0.6  # confidence from which an object is offered unasked


class Referencing(QObject):
    """Offers what it finds; the size is always typed in by a person."""

    def __init__(self, desk, parent=None):
        super().__init__(parent)
        self.desk = desk
        self._task, self._looked_at = None, None
        self._click = None
        self._found, self._told = {}, set()
        desk.film_changed.connect(self._look_over)
        # A film is shown before it has joined the case; from then on it can be looked over.
        desk.want_changed.connect(self._look_over)
        desk.want_changed.connect(self._offer)
        desk.reference_wanted.connect(self.look_at)
        desk.length_drawn.connect(self._drawn)

    @property
    def at_work(self):
        return self._task is not None

    # -- the whole film -------------------------------------------------------------------
    def _look_over(self):
        desk = self.desk
        film_id = None if desk.film is None else desk.film_id
        if film_id == self._looked_at:
            return
        self._looked_at = film_id
        if self._task is not None:
            self._task.cancel()
            self._task = None
        if film_id is None:
            return
        if film_id in self._found:
            self._tell()
            return
        task = self._task = desk.background.start(_find_all, desk.film)
        task.finished.connect(lambda found: self._keep(film_id, found))
        task.done.connect(lambda: self._over(task))

    def _over(self, task):
        if task is self._task:
            self._task = None

    def _keep(self, film_id, found):
        self._found[film_id] = [f for f in found if f.confidence >= SURE]
        if film_id == self.desk.film_id:
            self._tell()
        self._offer()

    def _tell(self):
        """The job the film calls for, once; found out while another was shown, later."""
        film_id = self.desk.film_id
        if film_id not in self._told:
            self._told.add(film_id)
            self.desk.suggest_job("length check" if self.found("file") else "filling check")

    def found(self, kind):
        """Objects of a kind on the film shown, surest first."""
        every = self._found.get(self.desk.film_id, ())
        return sorted((f for f in every if f.kind == kind), key=lambda f: -f.confidence)

    def _offer(self):
        """A ball or wire when a scale is asked for; a file's ends when they are."""
        desk = self.desk
        seen = bool(self.found("sphere") or self.found("wire"))
        if seen != desk.reference_seen:
            desk.set_reference_seen(seen)
            return
        want = desk.want
        if want is None or not desk.ready:
            return
        if want.kind == "scale" and desk.pending is None:
            for one in (*self.found("sphere"), *self.found("wire")):
                if desk.offer(Pending(one.kind, one.points, one.words)):
                    return
        elif want.name in ("file_stop", "file_tip") and desk.suggested is None:
            self._offer_file(want)

    def _offer_file(self, want):
        files = self.found("file")
        marks = self.desk.chart.landmarks if self.desk.chart else None
        if len(files) != 1 or want.root is None or not self.desk.once(("file", want.root)):
            return
        ends = {"file_stop": files[0].points[0], "file_tip": files[0].points[-1]}
        placed = {} if marks is None else marks.roots.get(want.root, Root()).points
        ends = {name: at for name, at in ends.items() if name not in placed}
        tooth = Tooth(self.desk.tooth)
        suggested = Landmarks(tooth, roots={want.root: Root(ends)} if ends else {})
        self.desk.suggest(suggested)

    # -- under a click -----------------------------------------------------------------------
    def look_at(self, film_xy):
        """Look for an object at this place of the film."""
        desk = self.desk
        if self._click is not None:
            self._click.cancel()  # only the last click is meant; others would queue up
        task = self._click = desk.background.start(_find_at, desk.film, tuple(film_xy))
        film = desk.film
        task.finished.connect(lambda found: self._found_at(found) if film is desk.film else None)
        task.done.connect(lambda: self._click_over(task))
        task.failed.connect(lambda error: desk.said.emit(error_text(error), True))

    def _click_over(self, task):
        if task is self._click:
            self._click = None

    def _found_at(self, found):
        if found:
            self.desk.offer(Pending(found.kind, found.points, found.words), asked=True)
        else:
            reason = translated(getattr(found, "reason", ""))
            reason = reason or self.tr("Nothing round or straight is there.")
            self.desk.said.emit(
                self.tr("{0} Drag along something of known length instead.").format(
                    f"{reason[:1].upper()}{reason[1:].rstrip('.')}."
                ),
                False,
            )

    def _drawn(self, points):
        self.desk.offer(Pending("length", points), asked=True)


def _find_all(report, film):
    from radmeasure.workflow.references import find_references

    found = find_references(film, report=report)
    return found or ()


def _find_at(report, film, near):
    from radmeasure.workflow.references import find_reference_at

    return find_reference_at(film, near)
