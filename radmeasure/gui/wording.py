"""What the next line says. One table of instructions, one of keys."""

from dataclasses import dataclass

from PySide6.QtCore import QT_TRANSLATE_NOOP, QCoreApplication

from radmeasure.gui.jobs import title
from radmeasure.gui.leading import SUGGESTED
from radmeasure.gui.spacing_offers import spacing_offers
from radmeasure.model.tooth import Tooth
from radmeasure.reports.words import landmark_title, root_title

translate = QCoreApplication.translate

# Where to put a landmark; {side} names the side on the screen.
WHERE = {
    "coronal_reference": QT_TRANSLATE_NOOP(
        "Next", "mark the {edge} that lengths are measured from"
    ),
    "cej_mesial": QT_TRANSLATE_NOOP("Next", "mark the mesial CEJ, on the {side}"),
    "cej_distal": QT_TRANSLATE_NOOP("Next", "mark the distal CEJ, on the {side}"),
    "crest_mesial": QT_TRANSLATE_NOOP("Next", "mark the bone crest on the mesial side ({side})"),
    "crest_distal": QT_TRANSLATE_NOOP("Next", "mark the bone crest on the distal side ({side})"),
    "margin_mesial": QT_TRANSLATE_NOOP(
        "Next", "mark where sound tooth ends on the mesial side ({side})"
    ),
    "margin_distal": QT_TRANSLATE_NOOP(
        "Next", "mark where sound tooth ends on the distal side ({side})"
    ),
    "apex": QT_TRANSLATE_NOOP("Next", "mark the apex{of_root}"),
    "foramen": QT_TRANSLATE_NOOP("Next", "mark the foramen{of_root}"),
    "orifice": QT_TRANSLATE_NOOP("Next", "mark where the canal begins at the root face{of_root}"),
    "file_stop": QT_TRANSLATE_NOOP("Next", "mark the edge of the file's stop{of_root}"),
    "file_tip": QT_TRANSLATE_NOOP("Next", "mark the tip of the file{of_root}"),
    "filling_coronal": QT_TRANSLATE_NOOP("Next", "mark the coronal end of the filling{of_root}"),
    "filling_apical": QT_TRANSLATE_NOOP("Next", "mark the apical end of the filling{of_root}"),
    "post_coronal": QT_TRANSLATE_NOOP("Next", "mark the coronal end of the post{of_root}"),
    "post_apical": QT_TRANSLATE_NOOP("Next", "mark the apical end of the post{of_root}"),
    "canal": QT_TRANSLATE_NOOP("Next", "draw the canal from the root face to the apex{of_root}"),
    "root_wall_mesial": QT_TRANSLATE_NOOP(
        "Next", "draw the mesial wall of the root, towards the apex{of_root}"
    ),
    "root_wall_distal": QT_TRANSLATE_NOOP(
        "Next", "draw the distal wall of the root, towards the apex{of_root}"
    ),
    "canal_wall_mesial": QT_TRANSLATE_NOOP(
        "Next", "draw the mesial wall of the canal, towards the apex{of_root}"
    ),
    "canal_wall_distal": QT_TRANSLATE_NOOP(
        "Next", "draw the distal wall of the canal, towards the apex{of_root}"
    ),
    "lesion": QT_TRANSLATE_NOOP("Next", "is there a radiolucency{of_root}? drag across it"),
}


@dataclass(frozen=True)
class Entry:
    """What is typed for a want."""

    unit: str
    example: str


ENTRIES = {
    "tooth": (QT_TRANSLATE_NOOP("Next", "which tooth is it?"), "", "11"),
    "file_length_mm": (
        QT_TRANSLATE_NOOP("Next", "how long is the file, from tip to stop?"),
        "mm",
        "21",
    ),
    "planned_crown_mm": (
        QT_TRANSLATE_NOOP("Next", "how high will the crown be?"),
        "mm",
        "10.5",
    ),
    "stop_short_mm": (
        QT_TRANSLATE_NOOP("Next", "how far short of the apex is the working length to end?"),
        "mm",
        "1.0",
    ),
    "age_years": (QT_TRANSLATE_NOOP("Next", "how old is the patient?"), "", "41"),
    "cusps_lost": (QT_TRANSLATE_NOOP("Next", "how many cusps are lost?"), "", "2"),
    "walls_left": (QT_TRANSLATE_NOOP("Next", "how many walls are left?"), "", "2"),
    "technique": (
        QT_TRANSLATE_NOOP("Next", "how was the film taken?"),
        "",
        "",
    ),
}
PENDING = {
    "sphere": QT_TRANSLATE_NOOP("Next", "how wide is this ball?"),
    "wire": QT_TRANSLATE_NOOP("Next", "how long is this wire?"),
    "file": QT_TRANSLATE_NOOP("Next", "how long is this file, from stop to tip?"),
    "length": QT_TRANSLATE_NOOP("Next", "how long is what you drew along?"),
}
TECHNIQUES = (
    ("paralleling", QT_TRANSLATE_NOOP("Next", "Paralleling")),
    ("bisecting", QT_TRANSLATE_NOOP("Next", "Bisecting")),
)


def entry_words(want, pending=None):
    """Entry of a want that is typed, or None; ``pending`` is a reference without its size."""
    name = None if want is None else want.name or want.kind
    if name == "scale" and pending is not None:
        return Entry("mm", "5" if pending.kind == "sphere" else "10")
    if name == "scale":
        return Entry("µm", "40")
    if name not in ENTRIES or name == "technique":
        return None
    _, unit, example = ENTRIES[name]
    return Entry(unit, example)


def want_words(want, desk):
    """What is wanted, in words, without 'Next:'."""
    if want is None:
        return translate("Next", "all that “{job}” asks for is there").format(job=title(desk.job))
    if want.kind == "film":
        return translate("Next", "open a film")
    if want.kind == "roots":
        return translate("Next", "which root?")
    if want.kind == "scale":
        if desk.pending is not None:
            return translate("Next", PENDING[desk.pending.kind])
        if desk.leading.state(want) == SUGGESTED:
            return translate("Next", "is this reference object right?")
        return translate("Next", "something of known size, or the receptor's pixel size")
    name = want.name or want.kind
    if name in ENTRIES:
        return translate("Next", ENTRIES[name][0])
    _, state = desk.value(name, want.root)
    if state == SUGGESTED:
        return translate("Next", "is this the {landmark}?").format(
            landmark=landmark_title(name, want.root)
        )
    return translate("Next", WHERE[name]).format(
        edge=_edge(desk.tooth), side=_side(name, desk), of_root=_of_root(want.root)
    )


def _edge(tooth):
    if tooth and Tooth(tooth).kind == "incisor":
        return translate("Next", "incisal edge")
    return translate("Next", "cusp tip")


def _side(name, desk):
    """'left' or 'right' on the screen, as films are viewed from the front."""
    towards = Tooth(desk.tooth).mesial_sign if desk.tooth else 1
    if name.endswith("_distal"):
        towards = -towards
    return translate("Next", "right") if towards > 0 else translate("Next", "left")


def _of_root(root):
    if root in (None, "single"):
        return ""
    return translate("Next", " of the {root}").format(root=root_title(root))


def hint_words(want, desk):
    """Which key does what just now."""
    if want is None:
        return _keys("record", "next_job")
    if want.kind == "film":
        return translate("Next", "Ctrl+O, or drop it on the window")
    if want.kind == "tooth":
        return translate("Next", "two digits by ISO 3950, then Enter")
    if want.kind == "roots":
        return translate("Next", "press its number")
    if want.kind == "scale":
        if desk.pending is not None:
            return translate("Next", "type it, then Enter · or click another object")
        if desk.leading.state(want) == SUGGESTED:
            return _keys("keep", "skip")
        return translate(
            "Next", "click a ball · drag along a file or wire · or type µm · Backspace skips"
        )
    if want.name == "technique":
        return translate("Next", "press its number · Backspace skips")
    if want.kind == "given":
        return translate("Next", "type it, then Enter · Backspace skips")
    _, state = desk.value(want.name, want.root)
    if state == SUGGESTED:
        return _keys("keep", "move", "turn_down", "keep_all")
    if want.name == "lesion" and desk.drawing is None:
        return _keys("drag_across", "click_round", "skip")
    if want.kind == "line":
        if desk.drawing == want.key:
            return _keys("click_on", "end_line", "back_point")
        return _keys("click_points", "end_line", "skip")
    if desk.selected is not None:
        return _keys("click_next", "move_last", "keep", "skip")
    return _keys("click", "skip")


_KEYS = {
    "click": QT_TRANSLATE_NOOP("Next", "click, or arrows and Enter"),
    "click_next": QT_TRANSLATE_NOOP("Next", "click"),
    "move_last": QT_TRANSLATE_NOOP("Next", "arrows move the last mark"),
    "click_points": QT_TRANSLATE_NOOP("Next", "click point by point"),
    "click_on": QT_TRANSLATE_NOOP("Next", "click on"),
    "drag_across": QT_TRANSLATE_NOOP("Next", "drag from edge to edge"),
    "click_round": QT_TRANSLATE_NOOP("Next", "or click round it"),
    "end_line": QT_TRANSLATE_NOOP("Next", "Enter ends it"),
    "back_point": QT_TRANSLATE_NOOP("Next", "Backspace takes a point back"),
    "move": QT_TRANSLATE_NOOP("Next", "arrows move it"),
    "keep": QT_TRANSLATE_NOOP("Next", "Enter keeps"),
    "keep_all": QT_TRANSLATE_NOOP("Next", "Ctrl+Enter keeps all"),
    "turn_down": QT_TRANSLATE_NOOP("Next", "Delete turns it down"),
    "skip": QT_TRANSLATE_NOOP("Next", "Backspace skips"),
    "record": QT_TRANSLATE_NOOP("Next", "Ctrl+R writes the record"),
    "next_job": QT_TRANSLATE_NOOP("Next", "Ctrl+1 to 6 take up another job"),
}


def _keys(*names):
    return " · ".join(translate("Next", _KEYS[name]) for name in names)


def choices(want, desk):
    """Texts of what can be chosen for a want, or []."""
    if want is None:
        return []
    if want.kind == "roots":
        return [f"{i + 1}  {text}" for i, (text, _) in enumerate(root_choices(desk.tooth))]
    if want.kind == "tooth" and desk.film is not None and len(desk.film.tooth_fdi) > 1:
        return [translate("Next", "tooth {0}").format(fdi) for fdi in desk.film.tooth_fdi]
    if want.kind == "scale" and desk.pending is None:
        return [words for words, _ in spacing_offers(desk.film)]
    if want.name == "technique":
        return [f"{i + 1}  {translate('Next', text)}" for i, (_, text) in enumerate(TECHNIQUES)]
    return []


def root_choices(tooth):
    """(words, roots) to choose from for a tooth."""
    usual = Tooth(tooth).usual_roots if tooth else ("single",)
    found = [(root_title(root), (root,)) for root in usual]
    if len(usual) > 1:
        found.append((translate("Next", "all of them"), usual))
    return found
