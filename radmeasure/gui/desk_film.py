"""The film on the desk: which one, how it is turned, which tooth and roots are looked at."""

from functools import partial

from radmeasure.errors import InputError
from radmeasure.geometry.turned import Turned
from radmeasure.gui.tooth_axis import axis_of
from radmeasure.model import edits
from radmeasure.model.tooth import Tooth
from radmeasure.reports.words import error_text


class DeskFilm:
    """Part of the desk."""

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
        if film is not before[0]:  # numbers and what was asked for belong to the film before
            self.evaluation = self.want = self._held = None
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

    def on_film(self, xy):
        """``xy`` brought onto the film."""
        w, h = self.film.width, self.film.height
        return (min(max(xy[0], 0.0), w - 1.0), min(max(xy[1], 0.0), h - 1.0))

    def moved_on_film(self, points, step):
        """``points`` moved by ``step``, but no further than all of them stay on the film."""
        ends = zip(*points, strict=True), (self.film.width, self.film.height), step
        dx, dy = (
            min(max(d, -min(along)), size - 1.0 - max(along))
            for along, size, d in zip(*ends, strict=True)
        )
        return tuple((x + dx, y + dy) for x, y in points)

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

    @property
    def axis(self):
        """Direction of the tooth in film pixels, apical."""
        shown = axis_of(self.landmarks, self.suggested, self.turned, self.upper)
        a, b = self.turned.to_film((0.0, 0.0)), self.turned.to_film(shown)
        return (b[0] - a[0], b[1] - a[1])

    @property
    def upper(self):
        return not self.tooth or Tooth(self.tooth).upper
