"""Landmarks and lines of the tooth in hand: placed, dragged, nudged, drawn, suggested."""

from radmeasure.gui.leading import SUGGESTED, THERE
from radmeasure.gui.looks import CLOSED
from radmeasure.model import edits
from radmeasure.model.landmarks import ROOT_LINES, Landmarks
from radmeasure.model.tooth import Tooth


class DeskMarks:
    """Part of the desk."""

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
        edit = self.do(kind, self.film_id, self.tooth, name, root, value)
        if edit is None or not self.apply(edit, merge):
            self._refresh()  # what was dragged is shown again where it is kept
            return False
        if name not in ROOT_LINES:
            self.last_placed = value
        if lead:
            self.lead(after=was)
        self.placed.emit(name, root)
        return True

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

    # -- dragging and nudging ------------------------------------------------------------------
    def drag(self, name, root, value):
        """Show a landmark elsewhere, with all numbers, before it is let go."""
        chart = self.chart
        marks = chart.landmarks if chart else Landmarks(Tooth(self.tooth))
        moved = self.do(marks.with_placed, name, value, root)
        if moved is None:
            return
        self.preview = moved
        self.chart_changed.emit()
        self._evaluate(resting=False)

    def drop_preview(self):
        """Forget a drag that was broken off."""
        if self.preview is not None:
            self.preview = None
            self.chart_changed.emit()
            self._evaluate()

    def nudge(self, dx, dy):
        """Move the selected landmark by a step on the screen, in film px; False when none is."""
        if self.selected is None or not self.ready:
            return False
        name, root = self.selected
        value, state = self.value(name, root)
        if value is None:
            return False
        line = name in ROOT_LINES
        step = self.turned.direction_to_film(dx, dy)
        moved = self.moved_on_film(value if line else (value,), step)
        moved = moved if line else moved[0]
        series = self._nudged == (name, root) and state == THERE
        done = self.place(name, root, moved, merge=series, lead=False)
        self._nudged = (name, root)
        return done

    # -- lines ---------------------------------------------------------------------------------
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
        if line[-1] == line[-2]:  # a second click where the last one was
            return
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

    # -- suggestions ---------------------------------------------------------------------------
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
