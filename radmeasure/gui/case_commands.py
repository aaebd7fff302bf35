"""Commands on case and films: open, keep, copy, write, print."""

import os

from PySide6.QtWidgets import QFileDialog

from radmeasure.gui.file_dialog import file_dialog
from radmeasure.gui.opening import CASE_SUFFIX
from radmeasure.reports.words import error_text

RECENT = 10


class CaseCommands:
    """Part of the window. Dialogs are the system's for files, and none of them stops the work."""

    def open(self):
        dialog = file_dialog(self, self.settings, self.tr("Open film or case"))
        dialog.setFileMode(QFileDialog.FileMode.ExistingFiles)
        films = self.tr("Films and cases")
        dialog.setNameFilters(
            [
                f"{films} (*.dcm *.png *.tif *.tiff *.jpg *.jpeg *{CASE_SUFFIX})",
                self.tr("All files") + " (*)",
            ]
        )
        dialog.filesSelected.connect(self.opening.open)
        dialog.show()

    def open_sample(self, sample):
        """A new case with a sample's films, at its job."""
        if self.new_case():
            self.desk.set_job(sample.job)
            self.opening.open(sample.paths, sample.roles)

    def new_case(self):
        """Begin a new case; True when that worked."""
        from radmeasure.workflow.session import Session

        session = self.desk.do(Session.create)
        if session is not None:
            self.desk.begin(session)
        return session is not None

    def save_as(self):
        self._name_file(
            self.tr("Keep the case as"), CASE_SUFFIX, self.desk.session.suggested_name, self._keep
        )

    def save_copy(self):
        self._name_file(
            self.tr("Save a copy of the case"),
            CASE_SUFFIX,
            self.desk.session.suggested_name,
            self._copy,
        )

    def _name_file(self, title, suffix, name, then):
        dialog = file_dialog(self, self.settings, title, name)
        dialog.setDefaultSuffix(suffix.lstrip("."))
        dialog.fileSelected.connect(then)
        dialog.show()

    def _keep(self, path):
        # The dialog has asked before a file is written over; the session says when it is there.
        self._beside(self.desk.session.save_as, path, True)

    def _copy(self, path):
        task = self._beside(self.desk.session.save_copy, path, True)
        words = self.tr("Copy saved: {0}").format(os.path.basename(path))
        task.finished.connect(lambda _: self.desk.said.emit(words, False))

    def _beside(self, action, *args):
        """Run an action of the session beside; trouble is said."""
        task = self.background.start(lambda report: action(*args))
        task.failed.connect(self._say_failed)
        return task

    # -- the record -------------------------------------------------------------------------
    def write_pdf(self):
        name = os.path.splitext(self.desk.session.suggested_name)[0] + ".pdf"
        self._name_file(self.tr("Write the record as PDF"), ".pdf", name, self.write_pdf_to)

    def write_pdf_to(self, path):
        """Write the record beside; says when it is there."""
        task = self.background.start(_pdf, self.desk.session, path)
        task.finished.connect(
            lambda _: self.desk.said.emit(
                self.tr("Record written: {0}").format(os.path.basename(path)), False
            )
        )
        task.failed.connect(self._say_failed)

    def _say_failed(self, error):
        self.desk.said.emit(error_text(error), True)

    def print_page(self):
        from radmeasure.gui.printing import print_dialog

        print_dialog(self)

    # -- the rest ---------------------------------------------------------------------------
    def undo(self):
        self.notice.settle()
        self.desk.undo()

    def redo(self):
        self.notice.settle()
        self.desk.redo()

    def quit(self):
        self.close()

    def take_over(self):
        self.notice.settle()  # that it can be taken over is said no longer
        self.desk.do(self.desk.session.take_over)

    def remove_film(self):
        """Take the film on show out of the case; undo brings it back."""
        from radmeasure.model import edits

        if self.desk.film_id is not None:
            self.desk.apply(edits.RemoveFilm(self.desk.film_id))

    def _opened(self, path):
        recent = [path, *(p for p in self._recent_paths() if p != path)][:RECENT]
        self.settings.setValue("recent", recent)

    def _recent_paths(self):
        found = self.settings.value("recent") or []
        return [found] if isinstance(found, str) else list(found)

    def _fill_recent(self):
        self._recent.clear()
        for path in self._recent_paths():
            action = self._recent.addAction(os.path.basename(path))
            action.setToolTip(path)
            action.triggered.connect(lambda _=False, path=path: self.opening.open([path]))
        self._recent.setEnabled(True)

    def _fill_samples(self):
        from radmeasure.workflow.samples import sample_films

        self._samples.clear()
        for sample in sample_films():
            action = self._samples.addAction(sample.name)
            action.triggered.connect(lambda _=False, sample=sample: self.open_sample(sample))


def _pdf(report, session, path):
    from radmeasure.workflow.report import evaluated_charts, write_pdf

    write_pdf(path, evaluated_charts(session))
