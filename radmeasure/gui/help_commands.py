"""Commands that explain."""


class HelpCommands:
    """Part of the window: pages, the command list, tour and cautions."""

    def command_list(self):
        from radmeasure.gui.command_list import CommandList

        if self._commands_found is None:
            self._commands_found = CommandList(self)
        self._commands_found.open()

    def shortcut_sheet(self):
        self._help("keys")

    def cautions(self):
        self._help("cautions")

    def rules(self):
        self._help("rules")

    def readings(self):
        self._help("readings")

    def about(self):
        self._help("about")

    def _help(self, name, focus=True):
        self.leaves.turn_to("help", focus).show_page(name)

    def cautions_read(self):
        """The cautions were read once; they stay in the help."""
        self.settings.setValue("cautions_read", "yes")
        self.leaves.put_away("help")
        self.leaves.turn_to("record", focus=False)
        self.canvas.setFocus()

    def cautions_once(self):
        """At the first start only, beside the film, stopping nothing."""
        if self.settings.value("cautions_read") != "yes":
            self._help("cautions", focus=False)

    def tour_start(self):
        from radmeasure.gui.tour import SAMPLE
        from radmeasure.workflow.samples import sample

        found = sample(SAMPLE)
        if found is None:
            self.desk.said.emit(self.tr("This installation has no sample films."), True)
            return
        self.open_sample(found)
        self.leaves.turn_to("record", focus=False)
        self.tour.begin()
        self.canvas.setFocus()

    # -- pages ---------------------------------------------------------------------------------
    def page_record(self):
        self.leaves.turn_to("record")

    def page_entries(self):
        self.leaves.turn_to("entries")

    def page_landmarks(self):
        self.leaves.turn_to("landmarks")

    def page_worksheet(self):
        self.leaves.turn_to("worksheet")

    def page_history(self):
        self.leaves.turn_to("history")

    def page_cases(self):
        self.leaves.turn_to("cases")

    def page_film(self):
        self.canvas.setFocus()

    def page_chart(self):
        self.levels.chart.setFocus()
