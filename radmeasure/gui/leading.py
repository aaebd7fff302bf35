"""Which thing is wanted next. Pure functions over what the film and the chart hold."""

from radmeasure.gui.jobs import want_for, wants

OPEN, SUGGESTED, THERE = "open", "suggested", "there"


class Leading:
    """What a job still asks for on one chart.

    Parameters
    ----------
    job : Job
    facts : Facts
        What is there already; see :meth:`state`.
    skipped : set of (name, root)
    """

    def __init__(self, job, facts, skipped=()):
        self.wants = wants(job, facts.roots)
        self.facts, self.skipped = facts, skipped

    def state(self, want):
        """'there', 'suggested' or 'open'."""
        return self.facts.state(want)

    def asked(self, want):
        """True when the job stops here: open or unanswered, and not skipped."""
        state = self.state(want)
        if state == THERE or want.key in self.skipped:
            return False
        if want.name == "coronal_reference" and state == OPEN and self._margins_there():
            return False
        return state == SUGGESTED or not want.optional or self._crown_lost(want)

    def _margins_there(self):
        """Both margins marked and no coronal reference: the crown is lost, in every job."""
        margins = [w for w in self.wants if w.name in ("margin_mesial", "margin_distal")]
        return bool(margins) and all(self.state(w) == THERE for w in margins)

    def _crown_lost(self, want):
        """Without a coronal reference the margins tell where sound tooth begins."""
        margin = want.name in ("margin_mesial", "margin_distal")
        return margin and ("coronal_reference", None) in self.skipped

    def next(self, after=None):
        """The next want asked for, from ``after`` on and then round again; None when done.

        What nothing else can do without (film, tooth, roots) comes first, and the size of a
        reference seen on the film, which may be found when its turn is over.
        """
        order = self.wants
        if after in order:
            i = order.index(after) + 1
            order = order[i:] + order[:i]
        kinds = ("film", "tooth", "roots", *(("scale",) if self.facts.reference_seen else ()))
        first = [w for w in self.wants if w.kind in kinds]
        for want in (*first, *order):
            if self.asked(want):
                return want
        return None

    def beside(self, want, step):
        """The want ``step`` places on in the list, whatever its state.

        From nowhere (all is there) it is the last or the first; what is settled for the whole
        film (film, tooth, roots) is passed over once it is there.
        """
        settled = [
            w for w in self.wants if w.kind in ("film", "tooth", "roots") and self.state(w) == THERE
        ]
        order = [w for w in self.wants if w == want or w not in settled]
        if want not in order:
            return order[-1 if step < 0 else 0]
        return order[(order.index(want) + step) % len(order)]

    def find(self, name, root=None):
        """The want of a landmark or entry; made up when the job does not list it."""
        for want in self.wants:
            if want.key == (name, root):
                return want
        return want_for(name, root)

    @property
    def done(self):
        """(number there, number asked for) of what is not optional."""
        needed = [w for w in self.wants if not w.optional]
        return sum(self.state(w) == THERE for w in needed), len(needed)


class Facts:
    """What is there of a chart: film, tooth, roots, scale, entries and landmarks.

    ``reference_seen`` tells that a ball or wire was found on the film.
    """

    def __init__(self, film, tooth, roots, roots_known, chart, reference_seen=False):
        self.reference_seen = reference_seen
        self.film, self.tooth = film, tooth
        self.roots, self.roots_known = roots, roots_known
        self.chart = chart

    def state(self, want):
        if want.kind == "film":
            return THERE if self.film is not None else OPEN
        if want.kind == "tooth":
            return THERE if self.tooth else OPEN
        if want.kind == "roots":
            return THERE if self.roots_known else OPEN
        if self.chart is None:
            return THERE if want.kind == "scale" and self._own_scale() else OPEN
        if want.kind == "scale":
            return self._scale_state()
        if want.kind == "given":
            return THERE if want.name in self.chart.landmarks.given else OPEN
        if self.chart.landmarks.get(want.name, want.root) is not None:
            return THERE
        suggested = self.chart.suggested
        found = suggested is not None and suggested.get(want.name, want.root) is not None
        return SUGGESTED if found else OPEN

    def _scale_state(self):
        marks = self.chart.landmarks
        if marks.scale or self._own_scale():
            return THERE
        if "file_length_mm" in marks.given and any(
            {"file_stop", "file_tip"} <= set(root.points) for root in marks.roots.values()
        ):
            return THERE
        suggested = self.chart.suggested
        return SUGGESTED if suggested is not None and suggested.scale else OPEN

    def _own_scale(self):
        """The film's spacing will do; the receptor's pitch while nothing better is seen."""
        spacing = self.film.spacing if self.film is not None else None
        if spacing is None or not spacing.usable:
            return False
        return spacing.basis != "detector" or not self.reference_seen
