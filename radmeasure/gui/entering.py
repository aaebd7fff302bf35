"""What was typed into the next line goes where it belongs."""

from radmeasure.errors import InputError
from radmeasure.gui.spacing_offers import spacing_offers
from radmeasure.gui.wording import TECHNIQUES, choices, root_choices, translate
from radmeasure.model.landmarks import GIVEN, Detector
from radmeasure.reports.words import decimal, error_text


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


# Pixel sizes receptors and scanned films have; anything else is a slip of the key.
PITCH_UM = (8.0, 300.0)


def _pitch_um(text):
    value = number(text)
    low, high = PITCH_UM
    if not low <= value <= high:
        raise InputError(
            translate("Next", "{value} µm is no receptor's pixel size").format(
                value=decimal(f"{value:g}")
            ),
            translate("Next", "give {low} to {high} µm, or click a ball on the film first").format(
                low=f"{low:g}", high=f"{high:g}"
            ),
        )
    return value


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
        desk.said.emit(error_text(error), True)
        return False


def _enter(desk, want, text):
    if want.kind == "tooth":
        return desk.set_tooth(text)
    if desk.pending is not None and want.kind == "scale":
        return desk.enter_reference(number(text))
    if want.kind == "scale":
        return desk.set_scale(Detector(_pitch_um(text) / 1000))
    value = number(text)
    if GIVEN[want.name][0] is int and value == int(value):
        value = int(value)
    return desk.give(want.name, value)


def choose(desk, index):
    """Answer what the desk asks for with one of the choices offered."""
    want = desk.want
    if want is None or index >= len(choices(want, desk)):
        return
    if want.kind == "roots":
        desk.set_roots(root_choices(desk.tooth)[index][1])
    elif want.kind == "tooth":
        desk.set_tooth(desk.film.tooth_fdi[index])
    elif want.kind == "scale":
        desk.add_scale(spacing_offers(desk.film)[index][1])
    else:
        desk.give("technique", TECHNIQUES[index][0])
