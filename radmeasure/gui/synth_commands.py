"""Commands on synthetic films: a new one, and the truth of the one on show."""


class SynthCommands:
    """Part of the window."""

    def new_synthetic(self):
        """The form for a new synthetic film, beside whatever is on the desk."""
        self.leaves.turn_to("synthetic", focus=False).focus_first()

    def known_truth(self):
        """What is true of the film on show, or None."""
        from radmeasure.workflow.synthetic import known_truth

        desk = self.desk
        if desk.session is None or desk.film_id is None:
            return None
        return known_truth(desk.session, desk.film_id)

    def show_truth(self, on):
        """Lay the truth over the film and hold the readings against it, or hide it again."""
        known = self.known_truth() if on else None
        self.desk.truth = None if known is None else known.landmarks
        self.desk.chart_changed.emit()
        if on:
            self.leaves.turn_to("truth", focus=False)
        self.leaves.page("truth").refresh()

    def _follow_truth(self):
        """Another film: what is true of it is hidden, and there may be nothing to show."""
        desk = self.desk
        shown = (desk.session, desk.film_id)
        if shown == self._truth_for or desk.session is None:
            return
        from radmeasure.workflow.synthetic import has_truth

        self._truth_for = shown
        action = self.commands["show_truth"]
        action.setChecked(False)
        known = desk.film_id is not None and has_truth(desk.session, desk.film_id)
        action.setEnabled(known)
        if known:
            self.leaves.list_too("truth")
        else:
            self.leaves.put_away("truth")
