"""Suggestions from image processing: asked for beside, broken off by the next click."""

from dataclasses import replace

from PySide6.QtCore import QObject, Signal

from radmeasure.errors import RadmeasureError
from radmeasure.gui.leading import OPEN
from radmeasure.model.landmarks import Hints
from radmeasure.reports.words import error_text

# What tells where the tooth begins: its reference, or where the crown is lost its margins.
_TOPS = (
    ("coronal_reference",),
    ("margin_mesial", "margin_distal"),
    ("cej_mesial", "cej_distal"),
)


class Suggesting(QObject):
    """Starts by itself once the reference and an apex per root are there.

    Signals
    -------
    changed(bool)
        Whether it is at work.
    """

    changed = Signal(bool)

    def __init__(self, desk, parent=None):
        super().__init__(parent)
        self.desk = desk
        self.automatic = True
        self._task, self._tried = None, set()
        self._key_asked = self._asked = None
        desk.chart_changed.connect(self._break_off)
        desk.placed.connect(self._look)

    @property
    def at_work(self):
        return self._task is not None

    def _break_off(self):
        """The next click goes on without waiting; what it places is a hint for the next try."""
        desk = self.desk
        if self._task is None:
            return
        marks = desk.chart.landmarks if desk.chart else None
        same = marks is not None and (marks.points, marks.roots) == self._asked
        if not same or desk.preview is not None:
            self._tried.discard(self._key_asked)
            self.cancel()

    def _look(self, name, root):
        desk = self.desk
        marks = desk.chart.landmarks if desk.chart else None
        if not self.automatic or marks is None:
            return
        key = self._key(marks)
        if key is None or key in self._tried:
            return
        leading = desk.leading
        # Of a tooth that had its suggestions a mark may be corrected without getting new ones,
        # which an undo would take back in place of the correction.
        again = any(tried[:3] == key[:3] for tried in self._tried)
        if any(
            w.placeable and leading.state(w) == OPEN and (leading.asked(w) or not again)
            for w in leading.wants
        ):
            self.start()

    def _key(self, marks):
        """What suggestions are made from; None while it is not all there."""
        tops = [tuple(marks.points.get(name) for name in names) for names in _TOPS]
        top = next((top for top in tops if None not in top), None)
        apices = tuple(marks.get("apex", root) for root in self.desk.roots)
        if top is None or None in apices:
            return None
        return (self.desk.film_id, marks.tooth.fdi, self.desk.roots, top, apices)

    def start(self):
        """Ask for suggestions now; says what is lacking."""
        desk = self.desk
        marks = desk.chart.landmarks if desk.chart else None
        key = self._key(marks) if marks is not None else None
        if key is None:
            desk.said.emit(
                self.tr("Suggestions begin with the coronal reference and the apex of each root."),
                False,
            )
            return
        self.cancel()
        self._tried.add(key)
        self._key_asked, self._asked = key, (marks.points, marks.roots)
        film, turned = desk.film, desk.turned
        task = self._task = desk.background.start(_suggest, film, turned, marks)
        task.finished.connect(lambda found: self._found(task, found))
        task.failed.connect(lambda error: self._failed(task, error))
        task.cancelled.connect(lambda: self._over(task))
        self.changed.emit(True)

    def cancel(self):
        if self._task is not None:
            self._task.cancel()
            self._over(self._task)

    def _over(self, task):
        if task is self._task:
            self._task = None
            self.changed.emit(False)

    def _found(self, task, found):
        if task is not self._task:
            return
        self._over(task)
        found = None if found is None else self._of_the_job(found)
        if found is not None and any(found.placed()):
            self.desk.suggest(found)
        else:
            self.desk.said.emit(self.tr("Nothing could be suggested on this film."), False)

    def _of_the_job(self, found):
        """Without posts and files where the job's film has none: something else looked so."""
        asked = {name.rstrip("?") for name in self.desk.job.asks}
        for root, name, _ in tuple(found.placed()):
            if name.startswith(("post_", "file_")) and name not in asked:
                found = found.with_placed(name, None, root)
        return found

    def _failed(self, task, error):
        if task is self._task:
            self._over(task)
            known = isinstance(error, RadmeasureError)
            self.desk.said.emit(error_text(error), known)


def _suggest(report, film, turned, marks):
    """Suggestions in film pixels; image processing sees the film as it is shown."""
    from radmeasure.workflow.suggest import suggest_landmarks

    shown = replace(film, pixels=turned.array(film.pixels))
    placed = marks.mapped(turned.to_shown_pixels)
    hints = Hints(placed.tooth, placed.scale, placed.points, placed.roots)
    found = suggest_landmarks(shown, hints, report)
    sure = {key: float(value) for key, value in found.confidence.items()}
    return replace(found.mapped(turned.from_shown_pixels), confidence=sure)
