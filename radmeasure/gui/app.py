"""Starts the window."""

import sys

from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QApplication

from radmeasure.errors import RadmeasureError
from radmeasure.gui.language import speak
from radmeasure.reports.words import error_text


def run(paths=()):
    """Open the window with films or a case; returns the exit status."""
    app = application()
    from radmeasure.gui.opening import CASE_SUFFIX
    from radmeasure.gui.window import Window
    from radmeasure.workflow.session import Session

    paths = list(paths)
    try:
        if paths and paths[0].lower().endswith(CASE_SUFFIX):
            session = Session.open(paths.pop(0))
        else:
            session = Session.create()
    except RadmeasureError as error:
        print(f"radmeasure: error: {error_text(error)}", file=sys.stderr)
        return 2
    window = Window(session)
    FirstPaint(window, window.after_first_paint)
    window.come_up()
    if paths:
        window.opening.open(paths)
    return app.exec()


def application():
    """The application, styled; the one there is, when there is one."""
    app = QApplication.instance() or QApplication(sys.argv[:1])
    app.setApplicationName("radmeasure")
    app.setOrganizationName("radmeasure")
    app.setStyle("fusion")
    speak(app)
    return app


class FirstPaint(QObject):
    """Calls a function once, after the widget was first painted."""

    def __init__(self, widget, call):
        super().__init__(widget)
        self._call = call
        widget.installEventFilter(self)

    def eventFilter(self, watched, event):
        if event.type() == QEvent.Type.Paint:
            watched.removeEventFilter(self)
            QTimer.singleShot(0, self._call)
        return False
