"""The system's dialog for files: beside the window, in the folder used last, stopping nothing."""

import os

from PySide6.QtCore import QStandardPaths, Qt
from PySide6.QtWidgets import QFileDialog

FOLDER = "folder"


def file_dialog(parent, settings, title, name=None):
    """A dialog yet to be shown; ``name`` is offered for a file to be written.

    Without a folder it would open where the program was started, which on a desktop is
    nowhere a person keeps films.
    """
    folder = str(settings.value(FOLDER, ""))
    if not os.path.isdir(folder):
        folder = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
    if not os.path.isdir(folder):
        folder = os.path.expanduser("~")
    dialog = QFileDialog(parent, title, folder)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.setWindowModality(Qt.WindowModality.NonModal)
    if name is not None:
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.selectFile(name)
    dialog.accepted.connect(lambda: settings.setValue(FOLDER, dialog.directory().absolutePath()))
    return dialog
