"""What a front may ask of an open case: names, times, who may write, what undo would do."""

from radmeasure.workflow.case_places import held_words, suggested_name, unsaved_folder
from radmeasure.workflow.history import history_rows, landmark_moments


class SessionState:
    """Part of a session: properties only, nothing is changed."""

    @property
    def case(self):
        """The current, immutable :class:`~radmeasure.model.case.Case`."""
        return self._case

    @property
    def path(self):
        return self._path if self._file is None else self._file.path

    @property
    def automatic(self):
        """True while the case lives in the data folder, not in a place the user chose."""
        return self.path.parent == unsaved_folder()

    @property
    def title(self):
        """For the window: the label, else teeth, else 'new case'; never identity."""
        teeth = ", ".join(self._case.teeth)
        return self._case.label or (f"tooth {teeth}" if teeth else "new case")

    @property
    def case_id(self):
        """Random, made with the case; it stands in the case file and nowhere else."""
        return self._file.about("id")

    @property
    def created(self):
        """UTC, ISO 8601."""
        return self._file.about("created")

    @property
    def changed(self):
        """When the last event was written: UTC, ISO 8601; '' for never."""
        return self._timeline.last.time if self._timeline.last else ""

    @property
    def job(self):
        """The job last remembered under 'job'; '' for none."""
        return str(self.remembered().get("job", ""))

    @property
    def suggested_name(self):
        """A file name for 'save as': date and teeth; never label or identity."""
        return suggested_name(self._case.teeth)

    @property
    def read_only(self):
        return self._lock is None

    @property
    def why_read_only(self):
        """One sentence, '' when the case can be changed."""
        if not self.read_only:
            return ""
        if self.holder:
            return held_words(self.holder)
        return self._why

    @property
    def can_undo(self):
        return not self.read_only and bool(self._timeline.to_undo)

    @property
    def can_redo(self):
        return not self.read_only and bool(self._timeline.to_redo)

    @property
    def undo_words(self):
        """What the next undo takes back, as a sentence; '' for nothing."""
        return self._sentence(self._timeline.to_undo)

    @property
    def redo_words(self):
        return self._sentence(self._timeline.to_redo)

    def _sentence(self, step):
        return step[-1].parsed.worded(self._film_names) if step else ""

    def _learn_names(self):
        """Sentences call a film by name also after it was removed."""
        self._film_names.update({entry.film_id: entry.name for entry in self._case.films})

    # -- history ---------------------------------------------------------------------
    def history(self):
        """Every event since the beginning as HistoryRow, oldest first."""
        return history_rows(self._timeline.events, self._timeline.taken_back)

    def landmark_history(self, film_id, tooth, name, root=None):
        """Every place a landmark had, as LandmarkMoment, oldest first."""
        return landmark_moments(self._timeline.events, film_id, tooth, name, root)
