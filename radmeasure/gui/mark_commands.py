"""Commands on jobs and marks."""

from radmeasure.gui.jobs import JOBS


class MarkCommands:
    """Part of the window: jobs, what is asked for, keeping and skipping."""

    def job_1(self):
        self.desk.set_job(JOBS[0].id)

    def job_2(self):
        self.desk.set_job(JOBS[1].id)

    def job_3(self):
        self.desk.set_job(JOBS[2].id)

    def job_4(self):
        self.desk.set_job(JOBS[3].id)

    def job_5(self):
        self.desk.set_job(JOBS[4].id)

    def job_6(self):
        self.desk.set_job(JOBS[5].id)

    def ask_tooth(self):
        self.ask_for("tooth", None)

    def ask_roots(self):
        self.ask_for("roots", None)

    def ask_scale(self):
        self.ask_for("scale", None)

    def ask_for(self, name, root):
        """Ask for a landmark or entry now, and put the focus where it is given."""
        self.desk.choose(name, root)
        (self.next_line.entry if self.next_line.asks_text else self.canvas).setFocus()

    def keep(self):
        if not self.canvas.hand.place_at_cursor():
            self.desk.keep()

    def keep_all(self):
        self.desk.accept_all()

    def skip(self):
        self.desk.skip()

    def remove(self):
        self.desk.remove()

    def next_mark(self):
        self.desk.step(1)

    def previous_mark(self):
        self.desk.step(-1)

    def suggest(self):
        self.suggesting.start()

    def no_suggestions(self):
        self.desk.drop_suggestions()

    def swap_sides(self):
        self.desk.swap_sides()
