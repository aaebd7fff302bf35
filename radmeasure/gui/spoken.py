"""What a screen reader is told of parts that are drawn, and of what changes elsewhere."""

from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent
from PySide6.QtWidgets import QAccessibleWidget

from radmeasure.gui.wording import translate
from radmeasure.model.landmarks import ROOT_LINES
from radmeasure.reports.words import landmark_title, number


def tell(widget, words, urgent=False):
    """Have words spoken though the focus stays where it is; ``urgent`` ones interrupt."""
    if not words or not QAccessible.isActive():
        return
    event = QAccessibleAnnouncementEvent(widget, words)
    if urgent:
        event.setPoliteness(QAccessible.AnnouncementPoliteness.Assertive)
    QAccessible.updateAccessibility(event)


def place_words(key, value):
    """Where a mark is: its name and film pixels; of a line its name alone."""
    name, root = key
    words = landmark_title(name, root)
    return words if name in ROOT_LINES else f"{words}: {at_words(value)}"


def at_words(xy):
    return f"{number(xy[0], 1)}, {number(xy[1], 1)}"


def film_words(desk):
    """The film and the marks on it; the table of landmarks has each of them."""
    if desk.entry is None:
        return ""
    placed, suggested = (
        0 if marks is None else sum(1 for _ in marks.placed())
        for marks in (desk.landmarks, desk.suggested)
    )
    parts = [desk.entry.name, translate("Spoken", "marks placed: {0}").format(placed)]
    if suggested:
        parts.append(translate("Spoken", "suggested: {0}").format(suggested))
    if desk.selected is not None:
        found = place_words(desk.selected, desk.value(*desk.selected)[0])
        parts.append(translate("Spoken", "selected: {0}").format(found))
    parts.append(translate("Spoken", "Ctrl+M lists the landmarks as a table"))
    return "; ".join(parts)


class Spoken:
    """Mixin of a drawn widget: ``spoken()`` says what is to be seen on it, when asked."""

    def spoken(self):
        """The picture in words."""
        return ""


class _Picture(QAccessibleWidget):
    """A drawn widget as an assistive program meets it: a picture with a description."""

    def __init__(self, widget):
        super().__init__(widget, QAccessible.Role.Graphic)
        self._spoken = widget.spoken

    def text(self, which):
        if which == QAccessible.Text.Description:
            return self._spoken()
        return super().text(which)


_pictures = []  # Qt owns them only on its own side


def _interface(_key, widget):
    if not isinstance(widget, Spoken):
        return None
    _pictures.append(_Picture(widget))
    return _pictures[-1]


QAccessible.installFactory(_interface)
