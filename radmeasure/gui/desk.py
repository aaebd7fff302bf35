"""What is on the desk: a case, the film shown, the tooth and job in hand, what is wanted next.

Every widget shows the desk and acts through it; the desk acts through the
session, so that whatever is shown is on disk. No widgets here.
"""

from PySide6.QtCore import QObject, Signal

from radmeasure.errors import RadmeasureError
from radmeasure.gui.desk_film import DeskFilm
from radmeasure.gui.desk_marks import DeskMarks
from radmeasure.gui.desk_numbers import DeskNumbers
from radmeasure.gui.desk_scale import DeskScale
from radmeasure.gui.desk_wants import DeskWants
from radmeasure.gui.evaluator import Evaluator
from radmeasure.gui.jobs import BY_ID, JOBS
from radmeasure.model import edits
from radmeasure.reports.words import error_text, translated


class Desk(DeskFilm, DeskMarks, DeskScale, DeskWants, DeskNumbers, QObject):
    """Attributes
    ----------
    session : Session
    film_id : str or None
    film : Film or None
    turned : Turned or None
        How the film is turned on the screen.
    tooth : str
        ISO 3950 designation in hand, '' for none.
    job : Job
    want : Want or None
        What is asked for next; None when the job has all it needs.
    selected : (name, root) or None
        The landmark the arrow keys move.
    evaluation : Evaluation or None
    """

    session_changed = Signal()
    ending = Signal()  # the case is about to be closed
    film_changed = Signal()
    chart_changed = Signal()
    want_changed = Signal()
    evaluated = Signal()
    placed = Signal(str, object)  # (name, root) of what a person has just placed
    said = Signal(str, bool)  # words, whether it is trouble
    reference_wanted = Signal(object)  # a scale is asked for at this film position
    length_drawn = Signal(object)  # two film positions with a known distance between them
    _heard = Signal(object)

    def __init__(self, background, parent=None):
        super().__init__(parent)
        self.background = background
        self.session = None
        self.film_id = self.film = self.turned = None
        self.tooth, self.job = "", JOBS[0]
        self.job_chosen = False  # by a person, for this case
        self._job_due = None  # what a film calls for, when the hand is free
        self._came_with = frozenset()  # films the case held when it was opened
        self.want = self.selected = None
        self.evaluation, self.evaluated_in_full = None, False
        self._evaluated_for = None  # what the evaluation was worked out from
        self.rulebook, self.sizes = None, ()
        self.rules_trouble = ""  # why there is no rulebook, in words
        self.preview = None  # landmarks as they are dragged
        self.plan_preview = None
        self.truth = None  # exact landmarks of a synthetic film, while somebody looks at them
        self.reference_seen = False  # a ball or wire was found on the film
        self.pending = None  # a reference object that waits for its size
        self._sized = None  # (scale entry, the object) that got its size last
        self._once = set()
        self.drawing = None  # (name, root) of the line being drawn
        self.first_vertex = None  # its first point, while it has no second
        self.last_placed = None  # film position from which the keys go on
        self._nudged = None  # what the arrows moved last, for one undo step a series
        self._held = None  # what was chosen out of turn, though it is there
        self._skipped, self._roots = {}, {}
        self._evaluator = Evaluator(background, self)
        self._evaluator.evaluated.connect(self._take_evaluation)
        self._heard.connect(self._case_changed)
        self._unsubscribe = None

    # -- the case -----------------------------------------------------------------------------
    def begin(self, session):
        """Put a case on the desk; the one before is closed."""
        self.end()
        self.session = session
        self._unsubscribe = session.subscribe(self._heard.emit)
        view = session.remembered()
        self._skipped = {}
        self._roots = {k: tuple(v) for k, v in view.get("roots", {}).items()}
        films = {f.film_id: f for f in session.case.films}
        self._came_with = frozenset(films)
        shown = films.get(view.get("film"), session.case.films[-1] if films else None)
        # A case made elsewhere remembers no job: its film's role says what it was taken for.
        self.job = BY_ID.get(view.get("job")) or self._said_job(shown) or JOBS[0]
        self.job_chosen = "job" in view
        self.tooth = view.get("tooth", "")
        self.last_placed = None
        self._show(None, None)
        self.session_changed.emit()
        for note in session.notes:
            self.said.emit(translated(note), False)
        if shown is not None:
            self.show_film(shown.film_id)

    def end(self):
        """Take the case off the desk and close it."""
        if self.session is None:
            return
        self.ending.emit()
        self._evaluator.ask(None)
        self._unsubscribe()
        self.session.close()
        self.session = None

    @property
    def case(self):
        return self.session.case

    def do(self, action, *args, **kwargs):
        """Run an action of the session; trouble is said, not raised. None when it failed."""
        try:
            return action(*args, **kwargs)
        except RadmeasureError as error:
            self.said.emit(error_text(error), True)
            return None

    def apply(self, edit, merge=False):
        """Make an edit; True when it was made."""
        before = self.case
        if self.do(self.session.apply, edit, merge) is None:
            return False
        if self.case is before:  # dragged about and back: what was tried out is over, all the same
            self.preview = self.plan_preview = None
            self._refresh()
        return True

    def undo(self):
        if self.session.can_undo:
            self.do(self.session.undo)

    def redo(self):
        if self.session.can_redo:
            self.do(self.session.redo)

    def remember(self, key, value):
        """Keep a value of the window with the case; written beside."""
        session = self.session
        session.remember(key, value, later=True)
        self.background.start(lambda report: session.write_view())

    def _case_changed(self, change):
        if self.session is None:
            return
        self.preview = self.plan_preview = None
        if change.kind != "edit":
            self.pending = None
        if change.words and change.kind != "edit":
            self.said.emit(translated(change.words), False)
        ids = [f.film_id for f in self.case.films]
        if self.film_id is not None and self.film_id not in ids:
            self.show_film(ids[-1] if ids else None)
            return
        if self.film_id is not None and self._turned() != self.turned:
            self.turned = self._turned()
            self.film_changed.emit()
        if change.kind == "undo":
            self._ask_again(change.before)
        if change.before.films != change.after.films or change.kind in ("access", "file"):
            self.session_changed.emit()
        self._refresh()

    # -- landmarks and wants --------------------------------------------------------------------
    def swap_sides(self):
        """Exchange mesial and distal of everything placed, as one step."""
        chart = self.chart
        if chart is None:
            return
        pairs = []
        for root, name, value in chart.landmarks.placed():
            if name.endswith("_mesial"):
                other = name.removesuffix("_mesial") + "_distal"
                pairs += self._swapped(name, other, root, value)
            elif name.endswith("_distal"):
                other = name.removesuffix("_distal") + "_mesial"
                if chart.landmarks.get(other, root) is None:
                    pairs += self._swapped(name, other, root, value)
        if pairs:
            self.apply(edits.Several(self.tr("Mesial and distal exchanged"), tuple(pairs)))

    def _swapped(self, name, other, root, value):
        place = (self.film_id, self.tooth)
        back = self.chart.landmarks.get(other, root)
        yield edits.Place(*place, other, root, value)
        if back is None:
            yield edits.Remove(*place, name, root)
        else:
            yield edits.Place(*place, name, root, back)

    def _refresh(self):
        """After any change: what is wanted, and all numbers."""
        if self.selected is not None and self.value(*self.selected)[0] is None:
            self.selected = None
        kept = self.drawing is not None and self.first_vertex is None
        if kept and self.value(*self.drawing)[0] is None:
            self._stop_drawing()
        self._take_due_job()
        self.want = self._next_want()
        self.chart_changed.emit()
        self.want_changed.emit()
        self._evaluate()
