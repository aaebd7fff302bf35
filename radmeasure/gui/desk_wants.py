"""What is wanted next of the job in hand: asked for, chosen, kept, skipped."""

from radmeasure.gui.jobs import BY_ID, JOBS
from radmeasure.gui.leading import SUGGESTED, THERE, Facts, Leading
from radmeasure.model import edits


class DeskWants:
    """Part of the desk."""

    @property
    def leading(self):
        return self._leading(self.chart)

    def _leading(self, chart):
        facts = Facts(
            self.film if self.film_id is not None else None,
            self.tooth,
            self.roots,
            self.roots_known,
            chart,
            self.reference_seen,
        )
        return Leading(self.job, facts, self.skipped)

    @property
    def skipped(self):
        return self._skipped.setdefault((self.film_id, self.tooth, self.job.id), set())

    def set_job(self, id_):
        self.job_chosen = True
        self.remember("job", id_)
        self._take_up(BY_ID[id_])

    def suggest_job(self, id_):
        """Take up the job a film calls for, while nobody has chosen one.

        The hand may have been faster than the search: what it placed stays, the mark it
        moved stays selected, and a drag or line is finished first. Who has placed what only
        the job in hand asks for keeps that job. A film that came with its case has a role
        somebody gave it, which says more than what was found.
        """
        self._job_due = (self.film_id, id_)
        self._take_due_job()

    def _take_due_job(self):
        if self._job_due is None or self.preview is not None or self.drawing is not None:
            return
        (film_id, id_), self._job_due = self._job_due, None
        job, selected = self._said_job(self.entry) or BY_ID[id_], self.selected
        if film_id != self.film_id or self.job_chosen or job is self.job or self._holds(job):
            return
        self._take_up(job, unasked=True)
        if self.selected is None and selected is not None:
            self.select(selected)

    def _said_job(self, entry):
        """The job whose role a film came with, or None."""
        if entry is None or entry.film_id not in self._came_with:
            return None
        return next((job for job in JOBS if job.role == entry.role), None)

    def _holds(self, other):
        """Whether something is placed or entered that the job in hand asks for, not ``other``."""
        own, its = ({name.rstrip("?") for name in job.asks} for job in (self.job, other))
        charts = [c for (film, _), c in self.case.charts.items() if film == self.film_id]
        placed = {name for c in charts for _, name, _ in c.landmarks.placed()}
        placed.update(*(c.landmarks.given for c in charts))
        return bool(placed & (own - its))

    def _take_up(self, job, unasked=False):
        old, self.job = self.job, job
        self.selected = None
        entry = self.entry
        # A film nothing is placed on yet is what its job takes it for.
        mine = entry is not None and not self.session.read_only
        if mine and entry.role == old.role != job.role and (unasked or not self._begun()):
            self.apply(edits.SetRole(entry.film_id, job.role))
        self.lead()
        self.evaluated.emit()

    def _begun(self):
        """Whether anything is placed, entered or suggested on the film shown."""
        charts = (c for (film, _), c in self.case.charts.items() if film == self.film_id)
        return any(
            chart.suggested is not None or chart.landmarks.given or any(chart.landmarks.placed())
            for chart in charts
        )

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

    def step(self, places):
        """Go to the thing ``places`` on in the job's list, whether it is there or not."""
        last = None if self.selected is None else self.leading.find(*self.selected)
        want = self.leading.beside(self.want or last, places)
        self.choose(*want.key)

    def lead(self, after=None):
        """Ask for the next thing; a suggestion is selected, so that the keys act on it."""
        self._held = None
        self._take_due_job()
        leading = self.leading
        want = self.want = leading.next(after)
        if want is None or want.kind != "scale":
            self.pending = None
        if want is not None and want.placeable and leading.state(want) == SUGGESTED:
            self.selected = want.key
        self.want_changed.emit()

    def _ask_again(self, before):
        """After an undo, ask for what it took away, not for what comes after that.

        Who puts a mark in the wrong place takes it back and clicks the right one.
        """
        if not self.ready:
            return
        was, now = self._leading(before.chart(self.film_id, self.tooth)), self.leading
        for want in now.wants:
            if was.state(want) == THERE and now.state(want) != THERE:
                self.want, self._held = want, want.key
                if want.placeable and now.state(want) == SUGGESTED:
                    self.selected = want.key
                if want.kind == "scale" and self._sized is not None:
                    entry, pending = self._sized
                    scale = before.chart(self.film_id, self.tooth).landmarks.scale
                    self.pending = pending if entry in scale else None
                return

    def _next_want(self):
        """What is wanted after a change: the same as before while it still is."""
        leading = self.leading
        keys = {w.key: w for w in leading.wants}
        key = None if self.want is None else self.want.key
        if key is not None and key in (self._held, self.drawing):
            return leading.find(*key)
        if key not in keys or not leading.asked(keys[key]):
            return leading.next(keys.get(key))
        return keys[key]
