"""What is on the desk: a case, the film shown, the tooth and job in hand, what is wanted next.

Every widget shows the desk and acts through it; the desk acts through the
session, so that whatever is shown is on disk. No widgets here.
"""

from dataclasses import replace
from functools import partial

from PySide6.QtCore import QObject, Signal

from radmeasure.errors import InputError, RadmeasureError
from radmeasure.geometry.turned import Turned
from radmeasure.gui.evaluator import Evaluator
from radmeasure.gui.jobs import BY_ID, JOBS
from radmeasure.gui.leading import SUGGESTED, THERE, Facts, Leading
from radmeasure.gui.looks import CLOSED
from radmeasure.gui.scaling import with_entry
from radmeasure.gui.tooth_axis import axis_of
from radmeasure.model import edits
from radmeasure.model.case import PlanChoice
from radmeasure.model.landmarks import ROOT_LINES, Landmarks
from radmeasure.model.tooth import Tooth
from radmeasure.reports.words import error_text, translated


class Desk(QObject):
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
        self.want = self.selected = None
        self.evaluation, self.evaluated_in_full = None, False
        self.rulebook, self.sizes = None, ()
        self.preview = None  # landmarks as they are dragged
        self.plan_preview = None
        self.truth = None  # exact landmarks of a synthetic film, while somebody looks at them
        self.reference_seen = False  # a ball or wire was found on the film
        self.pending = None  # a reference object that waits for its size
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
        self.job = BY_ID.get(view.get("job"), JOBS[0])
        self.tooth = view.get("tooth", "")
        self.last_placed = None
        self._show(None, None)
        self.session_changed.emit()
        for note in session.notes:
            self.said.emit(translated(note), False)
        films = session.case.films
        known = [f.film_id for f in films]
        if films:
            shown = view.get("film")
            self.show_film(shown if shown in known else known[-1])

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
        return self.do(self.session.apply, edit, merge) is not None

    def undo(self):
        if self.session.can_undo:
            self.do(self.session.undo)

    def redo(self):
        if self.session.can_redo:
            self.do(self.session.redo)

    def remember(self, key, value):
        self.do(self.session.remember, key, value)

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
        if change.before.films != change.after.films or change.kind in ("access", "file"):
            self.session_changed.emit()
        self._refresh()

    # -- the film -----------------------------------------------------------------------------
    def show_film(self, film_id):
        """Show a film of the case; decoded beside when it is not at hand."""
        if film_id is None:
            self._show(None, None)
            return
        task = self.background.start(lambda report: self.session.film(film_id))
        task.finished.connect(partial(self._show, film_id))
        task.failed.connect(self._trouble)

    def show_opened(self, film):
        """Show a film that was just decoded and is about to join the case."""
        self._show(None, film)

    def adopt(self, entry, film):
        """The film on show has joined the case as ``entry``."""
        self._show(entry.film_id, film)

    def _trouble(self, error):
        self.said.emit(error_text(error), True)

    def _show(self, film_id, film):
        before = self.film, self.turned
        self.film_id, self.film = film_id, film
        self.turned = self._turned()
        if film_id is not None:
            self.remember("film", film_id)
            self._choose_tooth()
        self.selected = None
        if film is not before[0]:
            self.evaluation = None  # it belongs to the film before
        if film is None or before != (film, self.turned):
            self.film_changed.emit()
        self._refresh()

    def _turned(self):
        if self.film is None:
            return None
        entry = self.entry
        turns, mirrored = (
            (self.film.turns, self.film.mirrored)
            if entry is None
            else (entry.turns, entry.mirrored)
        )
        return Turned(self.film.width, self.film.height, turns, mirrored)

    @property
    def entry(self):
        """FilmEntry of the film shown, or None."""
        known = {f.film_id: f for f in self.case.films} if self.session else {}
        return known.get(self.film_id)

    def turn(self, quarter_turns=0, mirror=False):
        """Turn or mirror the film on show; its landmarks stay on their pixels."""
        entry = self.entry
        if entry is None:
            return
        # A mirrored film turns the other way round under the same quarter turn.
        turns = entry.turns + (-quarter_turns if entry.mirrored else quarter_turns)
        if mirror and entry.turns % 2:
            turns += 2
        self.apply(edits.SetOrientation(entry.film_id, turns % 4, entry.mirrored ^ mirror))

    # -- tooth and roots ------------------------------------------------------------------------
    def _choose_tooth(self):
        charted = [tooth for film, tooth in self.case.charts if film == self.film_id]
        if self.tooth in charted or (self.tooth and not charted):
            return
        named = [t for t in self.film.tooth_fdi if t]
        if charted:
            self.tooth = charted[0]
        elif len(named) == 1:
            self.tooth = named[0]

    def set_tooth(self, fdi):
        """Take a tooth in hand; a chart is begun for it on this film."""
        try:
            Tooth(fdi)
        except InputError as error:
            self.said.emit(error_text(error), True)
            return False
        self.tooth = fdi
        self.remember("tooth", fdi)
        self.selected = None
        if self.film_id is not None and self.chart is None:
            return self.apply(edits.StartChart(self.film_id, fdi))
        self._refresh()
        return True

    @property
    def roots(self):
        """Roots in hand: chosen, else those already placed, else the usual ones."""
        if not self.tooth:
            return ("single",)
        if self.tooth in self._roots:
            return self._roots[self.tooth]
        chart = self.chart
        placed = tuple(chart.landmarks.roots) if chart else ()
        return placed or Tooth(self.tooth).usual_roots

    @property
    def roots_known(self):
        """True when nobody need be asked which root is meant."""
        if not self.tooth:
            return False
        chart = self.chart
        return (
            self.tooth in self._roots
            or len(Tooth(self.tooth).usual_roots) == 1
            or bool(chart and chart.landmarks.roots)
        )

    def set_roots(self, roots):
        self._roots[self.tooth] = tuple(roots)
        self.remember("roots", {k: list(v) for k, v in self._roots.items()})
        self._refresh()

    # -- chart ----------------------------------------------------------------------------------
    @property
    def chart(self):
        """Chart of the tooth in hand on the film shown, or None."""
        if self.session is None or self.film_id is None or not self.tooth:
            return None
        return self.case.chart(self.film_id, self.tooth)

    @property
    def landmarks(self):
        """Placed landmarks, with what is being dragged where it is now; or None."""
        if self.preview is not None:
            return self.preview
        chart = self.chart
        return chart.landmarks if chart else None

    @property
    def suggested(self):
        chart = self.chart
        return chart.suggested if chart else None

    def value(self, name, root=None):
        """(value, state) of a landmark: placed first, else suggested, else (None, 'open')."""
        for marks, state in ((self.landmarks, THERE), (self.suggested, SUGGESTED)):
            found = marks.get(name, root) if marks is not None else None
            if found is not None:
                return found, state
        return None, "open"

    @property
    def ready(self):
        """True when landmarks can be placed."""
        return self.film_id is not None and bool(self.tooth)

    def place(self, name, root, value, merge=False, lead=True):
        """Place or move a landmark; ``lead`` goes on to the next thing wanted."""
        if not self.ready:
            return False
        was = self.leading.find(name, root)
        self.preview = self._nudged = None
        self.selected = (name, root)
        _, state = self.value(name, root)
        kind = edits.CorrectSuggestion if state == SUGGESTED else edits.Place
        if not self.apply(kind(self.film_id, self.tooth, name, root, value), merge):
            return False
        if name not in ROOT_LINES:
            self.last_placed = value
        if lead:
            self.lead(after=was)
        self.placed.emit(name, root)
        return True

    def add_vertex(self, want, film):
        """Draw the line ``want`` on: its first point is only shown, every other one is kept."""
        name, root = want.key
        if self.drawing != want.key:
            self.drawing, self.first_vertex = want.key, film
            self.selected = None
            self.want_changed.emit()
            return
        if self.first_vertex is not None:
            line = (self.first_vertex, film)
        else:
            line = (*self.value(name, root)[0], film)
        least = 3 if name in CLOSED else 2
        if len(line) >= least and self.place(name, root, line, lead=False):
            self.first_vertex = None
        self.want_changed.emit()

    def finish_line(self):
        """The line is complete; go on."""
        if self.drawing is None:
            return
        was = self.leading.find(*self.drawing)
        self._stop_drawing()
        self.selected = None
        self.lead(after=was)

    def _stop_drawing(self):
        self.drawing = self.first_vertex = None

    def drop_preview(self):
        """Forget a drag that was broken off."""
        if self.preview is not None:
            self.preview = None
            self.chart_changed.emit()
            self._evaluate()

    def drag(self, name, root, value):
        """Show a landmark elsewhere, with all numbers, before it is let go."""
        chart = self.chart
        marks = chart.landmarks if chart else Landmarks(Tooth(self.tooth))
        self.preview = marks.with_placed(name, value, root)
        self.chart_changed.emit()
        self._evaluate(resting=False)

    def nudge(self, dx, dy):
        """Move the selected landmark by a step on the screen, in film px; False when none is."""
        if self.selected is None or not self.ready:
            return False
        name, root = self.selected
        value, state = self.value(name, root)
        if value is None:
            return False
        sx, sy = self.turned.direction_to_film(dx, dy)
        if name in ROOT_LINES:
            moved = tuple((x + sx, y + sy) for x, y in value)
        else:
            moved = self.on_film((value[0] + sx, value[1] + sy))
        series = self._nudged == (name, root) and state == THERE
        done = self.place(name, root, moved, merge=series, lead=False)
        self._nudged = (name, root)
        return done

    def on_film(self, xy):
        """``xy`` brought onto the film."""
        w, h = self.film.width, self.film.height
        return (min(max(xy[0], 0.0), w - 1.0), min(max(xy[1], 0.0), h - 1.0))

    def remove(self, name=None, root=None):
        """Take the selected (or named) landmark away; a suggestion is turned down."""
        if name is None and self.selected is not None:
            name, root = self.selected
        if name is None:
            return
        _, state = self.value(name, root)
        kind = {THERE: edits.Remove, SUGGESTED: edits.RejectSuggestion}.get(state)
        if kind is not None and self.apply(kind(self.film_id, self.tooth, name, root)):
            self.choose(name, root)

    def give(self, name, value):
        """Enter a value such as the file's length; None takes it away."""
        if not self.ready:
            return False
        was = self.leading.find(name)
        done = self.apply(edits.SetGiven(self.film_id, self.tooth, name, value))
        if done:
            self.lead(after=was)
        return done

    def set_scale(self, *entries):
        if not self.ready:
            return False
        done = self.apply(edits.SetScale(self.film_id, self.tooth, entries))
        if done:
            self.lead(after=self.leading.find("scale"))
        return done

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

    def offer(self, pending, asked=False):
        """Show a reference object and ask for its size; one turned down is not offered again."""
        key = (self.film_id, pending.points)
        if not asked and not self.once(key):
            return False
        self.pending = pending
        if asked and (self.want is None or self.want.kind != "scale"):
            self.choose("scale")
            self.pending = pending
        self.chart_changed.emit()
        self.want_changed.emit()
        return True

    def set_reference_seen(self, seen):
        """Whether something of known size was found on the film shown."""
        self.reference_seen = seen
        self._refresh()

    def once(self, key):
        """True the first time it is asked for this film and tooth."""
        key = (self.film_id, self.tooth, key)
        fresh = key not in self._once
        self._once.add(key)
        return fresh

    def enter_reference(self, size_mm):
        """The size of the reference object that was waiting for it."""
        pending, marks = self.pending, self.landmarks
        entry = pending.entry(size_mm, self.axis)
        self.pending = None
        return self.set_scale(*with_entry(marks.scale if marks else (), entry))

    @property
    def axis(self):
        """Direction of the tooth in film pixels, apical."""
        shown = axis_of(self.landmarks, self.suggested, self.turned, self.upper)
        a, b = self.turned.to_film((0.0, 0.0)), self.turned.to_film(shown)
        return (b[0] - a[0], b[1] - a[1])

    @property
    def upper(self):
        return not self.tooth or Tooth(self.tooth).upper

    def suggest(self, found):
        """Take in suggestions beside those there are, and ask about the first."""
        old = self.suggested
        if old is not None:
            for root, name, value in old.placed():
                if found.get(name, root) is None:
                    found = found.with_placed(name, value, root)
        if any(found.placed()):
            self.apply(edits.SetSuggestions(self.film_id, self.tooth, found))
            self.lead()

    # -- suggestions ------------------------------------------------------------------------------
    def accept(self, name, root=None):
        done = self.apply(edits.AcceptSuggestion(self.film_id, self.tooth, name, root))
        if done:
            self.lead(after=self.leading.find(name, root))
        return done

    def accept_all(self):
        """Confirm every suggestion whose landmark is not placed yet."""
        if self.film_id is None or not self.tooth:
            return
        edit = edits.accept_all(self.case, self.film_id, self.tooth)
        if edit is not None and self.apply(edit):
            self.lead()

    def drop_suggestions(self):
        """Turn every suggestion down."""
        if self.suggested is not None:
            self.apply(edits.SetSuggestions(self.film_id, self.tooth, None))

    # -- leading ----------------------------------------------------------------------------------
    @property
    def leading(self):
        facts = Facts(
            self.film if self.film_id is not None else None,
            self.tooth,
            self.roots,
            self.roots_known,
            self.chart,
            self.reference_seen,
        )
        return Leading(self.job, facts, self.skipped)

    @property
    def skipped(self):
        return self._skipped.setdefault((self.film_id, self.tooth, self.job.id), set())

    def set_job(self, id_):
        self.job = BY_ID[id_]
        self.remember("job", id_)
        self.selected = None
        self.lead()
        self.evaluated.emit()

    def choose(self, name, root=None):
        """Ask for this landmark or entry now; one that is there is selected to be moved."""
        self._stop_drawing()
        self.pending = None
        self.want = self.leading.find(name, root)
        self._held = self.want.key
        self.skipped.discard(self.want.key)
        _, state = self.value(name, root) if self.want.placeable else (None, None)
        self.selected = (name, root) if state in (THERE, SUGGESTED) else None
        self.want_changed.emit()

    def select(self, key):
        """Select a landmark for the arrow keys, or none; what is wanted stays."""
        if key != self.selected:
            self.selected = key
            self.want_changed.emit()

    def keep(self):
        """Enter: accept what is suggested, leave what is selected, go on."""
        want = self.want
        if self.drawing is not None:
            self.finish_line()
        elif want is not None and want.placeable and self.value(*want.key)[1] == SUGGESTED:
            self.accept(*want.key)
        elif want is not None and want.kind == "scale" and self.leading.state(want) == SUGGESTED:
            self.accept(edits.SCALE)
        else:
            self.selected = None
            self.lead(after=want if want and self.leading.state(want) == THERE else None)

    def skip(self):
        """Backspace: leave this for later and go on; while drawing, take the last point back."""
        if self.drawing is not None:
            self._take_back_vertex()
        elif self.want is not None and self.want.kind not in ("film", "tooth"):
            self.skipped.add(self.want.key)
            self.lead(after=self.want)

    def _take_back_vertex(self):
        name, root = self.drawing
        if self.first_vertex is not None:
            self._stop_drawing()
            self.want_changed.emit()
            return
        line = self.value(name, root)[0]
        least = 3 if name in CLOSED else 2
        if len(line) > least:
            self.place(name, root, line[:-1], lead=False)
        else:
            key = self.drawing
            self.remove(name, root)
            self.drawing, self.first_vertex = key, line[0]
        self.want_changed.emit()

    def step(self, places):
        """Go to the thing ``places`` on in the job's list, whether it is there or not."""
        want = self.leading.beside(self.want, places)
        self.choose(*want.key)

    def lead(self, after=None):
        """Ask for the next thing; a suggestion is selected, so that the keys act on it."""
        self._held = None
        self.pending = None
        leading = self.leading
        self.want = leading.next(after)
        want = self.want
        if want is not None and want.placeable and leading.state(want) == SUGGESTED:
            self.selected = want.key
        self.want_changed.emit()

    def _refresh(self):
        """After any change: what is wanted, and all numbers."""
        leading = self.leading
        if self.selected is not None and self.value(*self.selected)[0] is None:
            self.selected = None
        kept = self.drawing is not None and self.first_vertex is None
        if kept and self.value(*self.drawing)[0] is None:
            self._stop_drawing()
        keys = {w.key: w for w in leading.wants}
        key = None if self.want is None else self.want.key
        if key is not None and key in (self._held, self.drawing):
            self.want = leading.find(*key)
        elif key not in keys or not leading.asked(keys[key]):
            self.want = leading.next(keys.get(key))
        else:
            self.want = keys[key]
        self.chart_changed.emit()
        self.want_changed.emit()
        self._evaluate()

    # -- numbers -----------------------------------------------------------------------------------
    def use_rules(self, rulebook, sizes):
        self.rulebook, self.sizes = rulebook, sizes
        self._evaluate()

    @property
    def plan(self):
        """PlanChoice of the tooth in hand, as dragged just now; or None."""
        if self.plan_preview is not None:
            return self.plan_preview
        return self.case.plans.get(self.tooth) if self.session else None

    def drag_plan(self, name, value, root):
        """Show the plan with one entry changed, before it is let go."""
        kept = self.case.plans.get(self.tooth, PlanChoice())
        self.plan_preview = replace(kept, **{name: value}, root=self._plan_root(root))
        self._evaluate(resting=False)

    def choose_plan(self, name, value, root=None):
        """Choose depth, seal or size for a root; None takes the choice back."""
        self.plan_preview = None
        if not self.tooth:
            return False
        choice = edits.ChoosePlan(self.tooth, name, value)
        kept = self.case.plans.get(self.tooth, PlanChoice())
        root = self._plan_root(root)
        if value is not None and root != kept.root:
            both = (edits.ChoosePlan(self.tooth, "root", root), choice)
            return self.apply(edits.Several(choice.sentence, both))
        return self.apply(choice, merge=True)

    def _plan_root(self, root):
        return root if len(self.roots) > 1 or root != "single" else None

    @property
    def settled(self):
        """True when the numbers shown are the full evaluation of what is placed."""
        return self._evaluator.settled

    def _evaluate(self, resting=True):
        marks = self.landmarks
        if marks is None or self.rulebook is None or self.film is None:
            self._evaluator.ask(None)
            self.evaluation = None
            self.evaluated.emit()
            return
        from radmeasure.workflow.evaluate import evaluate

        spacing = self.film.spacing
        rulebook, plan, sizes = self.rulebook, self.plan, self.sizes
        self._evaluator.ask(
            lambda live: evaluate(marks, rulebook, spacing, plan, sizes, live), resting
        )

    def _take_evaluation(self, evaluation, in_full):
        self.evaluation, self.evaluated_in_full = evaluation, in_full
        self.evaluated.emit()
