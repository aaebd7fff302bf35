"""What the scale of the tooth in hand comes from, and other values that are entered."""

from radmeasure.gui.scaling import with_entry
from radmeasure.model import edits
from radmeasure.reports.words import translated
from radmeasure.workflow.mistyped import mistyped


class DeskScale:
    """Part of the desk."""

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
            for words in mistyped(entries, self.film.spacing):
                self.said.emit(translated(words), True)
        return done

    def add_scale(self, entry):
        """Take a scale entry in beside those that measure another way."""
        marks = self.landmarks
        return self.set_scale(*with_entry(marks.scale if marks else (), entry))

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
        entry = self.pending.entry(size_mm, self.axis)
        self._sized = (entry, self.pending)
        self.pending = None
        return self.add_scale(entry)
