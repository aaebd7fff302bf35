"""Films and cases onto the desk: decoded beside, added to the case, never half."""

from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal

from radmeasure.errors import Cancelled
from radmeasure.reports.words import decimal, error_text, translated

CASE_SUFFIX = ".radcase"


class Opening(QObject):
    """Opens what the user names, one after the other."""

    opened = Signal(str)
    changed = Signal()

    def __init__(self, desk, parent=None):
        super().__init__(parent)
        self.desk = desk
        self._waiting = []
        self._task = None

    @property
    def busy(self):
        return self._task is not None or bool(self._waiting)

    def open(self, paths, roles=None):
        """Open films and cases; a case takes the place of the one on the desk.

        A film gets the role of the job in hand when ``roles`` names none. A structured
        report among them makes a case anew, with its film and those named beside it.
        """
        from radmeasure.workflow.dicom_in import is_report

        roles = roles or (None,) * len(paths)
        paths = [Path(p) for p in paths]
        if any(is_report(path) for path in paths):
            cases = [path for path in paths if path.suffix.lower() == CASE_SUFFIX]
            others = tuple(path for path in paths if path not in cases)
            paths, roles = [*cases, others], (None,) * (len(cases) + 1)
        self._waiting += zip(paths, roles, strict=True)
        self.changed.emit()  # first: what runs here holds up the reading beside
        if self._task is None:
            self._next()

    def _next(self):
        if not self._waiting:
            return
        path, role = self._waiting.pop(0)
        if isinstance(path, tuple):
            self._rebuild(path)
            return
        if path.suffix.lower() == CASE_SUFFIX:
            self._open_case(path)
            return
        task = self._task = self.desk.background.start(_read, path)
        task.finished.connect(lambda film: self._show(path, film, role))
        task.failed.connect(self._failed)

    def _open_case(self, path):
        if path.absolute() == self.desk.session.path:
            self._ended()  # it is open here already
            return
        task = self._task = self.desk.background.start(_open_session, path)
        task.finished.connect(lambda session: self._begin(path, session))
        task.failed.connect(self._failed)

    def _begin(self, path, session):
        self.desk.begin(session)
        self.opened.emit(str(path))
        self._ended()

    def _rebuild(self, paths):
        at_hand = () if self.desk.film is None else (self.desk.film,)
        task = self._task = self.desk.background.start(_open_session, paths, at_hand)
        task.finished.connect(lambda session: self._rebuilt(paths, session))
        task.failed.connect(self._failed)

    def _rebuilt(self, paths, session):
        self._begin(paths[0], session)
        self.desk.said.emit(self.tr("Case made anew from its structured report"), False)

    def _show(self, path, film, role):
        desk = self.desk
        if desk.session.read_only:
            desk.said.emit(translated(desk.session.why_read_only), True)
            self._ended()
            return
        desk.show_opened(film)
        # The film is painted first; writing it into the case must not hold that up.
        QTimer.singleShot(0, lambda: self._add(path, film, role))

    def _add(self, path, film, role):
        role = role or self.desk.job.role
        task = self._task = self.desk.background.start(_add, self.desk.session, film, role)
        task.finished.connect(lambda entry: self._added(path, entry, film))
        task.failed.connect(self._failed)

    def _added(self, path, entry, film):
        offered = self.desk.tooth
        self.desk.adopt(entry, film)
        self._say_of(film, self.desk.tooth != offered)
        self.opened.emit(str(path))
        self._ended()

    def _say_of(self, film, tooth_taken):
        """What the file says of itself, in one notice: a second would wipe out the first."""
        said = [translated(note) for note in film.notes]
        if tooth_taken:
            words = self.tr("the file names tooth {0}: taken up, Ctrl+T names another")
            said.insert(0, words.format(self.desk.tooth))
        if film.spacing is not None and film.spacing.magnification:
            words = self.tr("a magnification of {0} is stated, not applied: Entries offers it")
            said.append(words.format(decimal(f"{film.spacing.magnification:.3g}")))
        if said:
            self.desk.said.emit(" · ".join(said), False)

    def _failed(self, error):
        self.desk.said.emit(error_text(error), True)
        if self.desk.film_id is None:
            self.desk.show_film(None)
        self._ended()

    def _ended(self):
        self._task = None
        self._next()
        self.changed.emit()


def _open_session(report, path, at_hand=()):
    """A case opened, or made anew from several paths and films."""
    from radmeasure.workflow.dicom_in import rebuild
    from radmeasure.workflow.session import Session

    several = isinstance(path, tuple)
    session = rebuild(path, at_hand=at_hand) if several else Session.open(path)
    try:
        report.check()
    except Cancelled:  # the window has gone meanwhile
        session.close()
        raise
    return session


def _read(report, path):
    from radmeasure.workflow.films import open_film

    return open_film(path)


def _add(report, session, film, role):
    """The film's entry in the case: the one it has there already, or a new one."""
    from radmeasure.model import edits

    for known in session.case.films:
        if known.sha256 == film.sha256:
            return known
    session.keep_at_hand(film)  # first: whoever hears of the film may want it at once
    entry = session.add_film(film.raw, film.name, role, film.acquired)
    if film.turns or film.mirrored:
        session.apply(edits.SetOrientation(entry.film_id, film.turns, film.mirrored))
    return entry
