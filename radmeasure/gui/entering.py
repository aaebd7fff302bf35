"""What was typed into the next line goes where it belongs."""

from radmeasure.errors import InputError
from radmeasure.gui.wording import translate
from radmeasure.model.landmarks import GIVEN, Detector


def number(text):
    """The number somebody typed, with comma or point.

    Raises
    ------
    InputError
        Not a number.
    """
    try:
        return float(text.strip().removesuffix("mm").removesuffix("µm").replace(",", "."))
    except ValueError:
        raise InputError(
            translate("Next", "“{text}” is not a number").format(text=text),
            translate("Next", "type digits, with a point or comma"),
        ) from None


def enter(desk, text):
    """Give ``text`` to what the desk asks for; trouble is said."""
    want = desk.want
    if want is None:
        return False
    if not text:
        desk.keep()
        return False
    try:
        return _enter(desk, want, text)
    except InputError as error:
        desk.said.emit(error.one_line, True)
        return False


def _enter(desk, want, text):
    if want.kind == "tooth":
        return desk.set_tooth(text)
    if desk.pending is not None and want.kind == "scale":
        return desk.enter_reference(number(text))
    if want.kind == "scale":
        return desk.set_scale(Detector(number(text) / 1000))
    value = number(text)
    if GIVEN[want.name][0] is int and value == int(value):
        value = int(value)
    return desk.give(want.name, value)
