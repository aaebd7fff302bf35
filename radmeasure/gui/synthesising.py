"""Draws a synthetic film beside the window's work and puts it into a case."""

from PySide6.QtCore import QObject, QTimer, Signal

from radmeasure.errors import RadmeasureError
from radmeasure.model.job import BY_ID
from radmeasure.reports.words import error_text


class Synthesising(QObject):
    """One film at a time, with progress, to be cancelled at any moment.

    Signals
    -------
    progress(float)
        Share done, 0 to 1.
    changed
        It began or ended.
    made(str)
        The film joined a case under this film id.
    """

    progress = Signal(float)
    changed = Signal()
    made = Signal(str)

    def __init__(self, window, parent=None):
        super().__init__(parent)
        self.window_, self.desk = window, window.desk
        self._task = None

    @property
    def busy(self):
        return self._task is not None

    def start(self, table, own_case):
        """Draw the film of a recipe; with ``own_case`` a new case is begun for it."""
        if self.busy:
            return
        task = self._task = self.window_.background.start(_make, table)
        task.progress.connect(self.progress)
        task.finished.connect(lambda made: self._show(made, own_case))
        task.failed.connect(self._failed)
        task.cancelled.connect(lambda: self._ended(self.tr("No film was made.")))
        self.changed.emit()

    def cancel(self):
        if self._task is not None:
            self._task.cancel()

    def _show(self, made, own_case):
        session = self.desk.session
        if session is None or ((own_case or session.read_only) and not self.window_.new_case()):
            self._ended()
            return
        session = self.desk.session
        self.desk.set_job(made.job)
        self.desk.show_opened(made.film)
        QTimer.singleShot(0, lambda: self._add(session, made))

    def _add(self, session, made):
        role = BY_ID[made.job].role
        task = self._task = self.window_.background.start(_add, session, made, role)
        task.finished.connect(lambda entry: self._added(session, entry, made))
        task.failed.connect(self._failed)

    def _added(self, session, entry, made):
        if session is self.desk.session:
            self.desk.adopt(entry, made.film)
            self.desk.set_tooth(made.tooth)
            self.made.emit(entry.film_id)
        self._ended()

    def _failed(self, error):
        known = isinstance(error, RadmeasureError)
        self.desk.said.emit(error_text(error) if known else repr(error), True)
        self._ended()

    def _ended(self, words=""):
        self._task = None
        if words:
            self.desk.said.emit(words, False)
        self.changed.emit()


def _make(report, table):
    from radmeasure.workflow.synthetic import make_film

    return make_film(table, report)


def _add(report, session, made, role):
    from radmeasure.workflow.synthetic import keep_truth

    known = {film.sha256: film for film in session.case.films}
    entry = known.get(made.film.sha256)
    if entry is None:
        entry = session.add_film(made.film.raw, made.film.name, role)
    keep_truth(session, entry.film_id, made.truth)
    return entry
