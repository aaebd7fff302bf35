"""Commands for a class: what students marked on films of known truth is held against it."""

import os

from PySide6.QtWidgets import QFileDialog

from radmeasure.gui.file_dialog import file_dialog


class ClassCommands:
    """Part of the window."""

    marking = None

    def mark_class(self):
        """Ask for the folder of the class, then where the results go, and mark beside."""
        dialog = file_dialog(
            self, self.settings, self.tr("Folder of the class: films, truth, one folder a student")
        )
        dialog.setFileMode(QFileDialog.FileMode.Directory)
        dialog.fileSelected.connect(self._ask_results)
        dialog.show()

    def _ask_results(self, folder):
        title, name = self.tr("Name a new folder for the results"), self.tr("class marked")
        dialog = file_dialog(self, self.settings, title, name)
        dialog.fileSelected.connect(lambda out: self.mark_class_to(folder, out))
        dialog.show()

    def mark_class_to(self, folder, out):
        """Mark a class beside the work; one at a time, the one before is stopped."""
        from radmeasure.gui.class_marking import ClassMarking

        if self.marking is not None:
            self.marking.close()
        marking = self.marking = ClassMarking(self, folder, out)
        marking.destroyed.connect(lambda: self._marking_gone(marking))
        marking.task.finished.connect(lambda found: self._class_marked(out, found[1]))
        marking.task.failed.connect(self._say_failed)
        marking.task.cancelled.connect(self._class_stopped)
        marking.show()

    def _class_marked(self, out, left_out):
        said = self.tr("Class marked, results in {0}").format(os.path.basename(out))
        if left_out:
            rest = self.tr("not marked: {0}").format(left_out)
            said = f"{said}; {rest}"
        self.desk.said.emit(said, bool(left_out))

    def _class_stopped(self):
        self.desk.said.emit(self.tr("Marking stopped"), False)

    def _marking_gone(self, marking):
        if self.marking is marking:
            self.marking = None
