"""Where the keys go when what had them is put away."""

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtWidgets import QApplication, QPushButton


def put_away(part, to):
    """Hide ``part``; the keys go on at ``to`` when they were in it, not at whatever comes next."""
    held = QApplication.focusWidget()
    if held is not None and (part is held or part.isAncestorOf(held)):
        to.setFocus()
    part.hide()


class EnterPresses(QObject):
    """Lets Enter press a button that lies over the film, where Enter is a command otherwise."""

    def eventFilter(self, watched, event):
        enter = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        kind = event.type()
        if kind in (QEvent.Type.ShortcutOverride, QEvent.Type.KeyPress) and event.key() in enter:
            if kind == QEvent.Type.ShortcutOverride:
                event.accept()
            elif isinstance(watched, QPushButton):
                watched.click()
            return True
        return False
