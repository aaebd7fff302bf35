"""Commands that hand a case on: DICOM objects for an archive, a teaching copy for a class."""

import os

from PySide6.QtWidgets import QFileDialog

from radmeasure.gui.file_dialog import file_dialog


class ShareCommands:
    """Part of the window."""

    def write_dicom(self):
        """Ask for a folder and write the record as DICOM objects."""
        dialog = file_dialog(self, self.settings, self.tr("Folder for the DICOM objects"))
        dialog.setFileMode(QFileDialog.FileMode.Directory)
        dialog.fileSelected.connect(self.write_dicom_to)
        dialog.show()

    def write_dicom_to(self, folder):
        """Write report, presentation, document and picture of every film beside."""
        session = self.desk.session
        task = self.background.start(_dicom, session, folder, session.author)
        words = self.tr("DICOM objects written: {0}").format(os.path.basename(folder))
        task.finished.connect(lambda _: self.desk.said.emit(words, False))
        task.failed.connect(self._say_failed)

    def teaching_copy(self):
        """Look at every film and write a copy without identity."""
        from radmeasure.gui.teaching import TeachingCopy

        if self.teaching is not None:
            self.teaching.close()
        self.teaching = TeachingCopy(self)
        self.teaching.destroyed.connect(self._teaching_gone)
        self.teaching.show()

    def _teaching_gone(self):
        self.teaching = None


def _dicom(report, session, folder, author):
    from radmeasure.workflow.report import evaluated_charts, write_dicom

    return write_dicom(folder, evaluated_charts(session), author, picture=True)
