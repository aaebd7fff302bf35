"""A case somebody else has open: looked at here, followed while it changes, free in the end."""

from PySide6.QtCore import QObject, QTimer

from radmeasure.reports.words import translated

LOOK_EVERY_MS = 1000


class SecondWindow(QObject):
    """Says who has the case, shows what they do, and says when it can be changed here."""

    def __init__(self, desk, parent=None):
        super().__init__(parent)
        self.desk = desk
        self._task = None
        self._timer = QTimer(self, interval=LOOK_EVERY_MS)
        self._timer.timeout.connect(self._look)
        desk.session_changed.connect(self._begin)
        desk.ending.connect(self._timer.stop)

    def _begin(self):
        """The case on the desk is another one, or may or may not be changed now."""
        session = self.desk.session
        followed = session is not None and session.read_only and session.holder is not None
        if followed == self._timer.isActive():
            return
        if followed:
            self._timer.start()
            QTimer.singleShot(0, self._say_who)  # after the notes of the opening
        else:
            self._timer.stop()

    def _say_who(self):
        if self._timer.isActive():
            self.desk.said.emit(translated(self.desk.session.why_read_only), True)

    def _look(self):
        """Take in what the other window wrote; the disk may be slow, so beside."""
        if self._task is None:
            self._task = self.desk.background.start(_follow, self.desk.session)
            self._task.finished.connect(self._free)
            self._task.done.connect(self._looked)

    def _looked(self):
        self._task = None

    def _free(self, free):
        if free and self._timer.isActive():
            self._timer.stop()
            self.desk.said.emit(
                self.tr("The case is free now: Case, Take the case over lets you change it here."),
                True,
            )


def _follow(report, session):
    """Read on; True when nobody has the case any more."""
    session.refresh()
    return session.is_free()
