"""How each landmark looks: colour, shape and short name. Colour never stands alone.

Colours: Okabe & Ito, Color Universal Design (2008), from memory.
"""

from dataclasses import dataclass

from PySide6.QtCore import QT_TRANSLATE_NOOP, QCoreApplication

WHITE, BLACK = "#FFFFFF", "#000000"
ORANGE, SKY, GREEN, YELLOW = "#E69F00", "#56B4E9", "#009E73", "#F0E442"
BLUE, VERMILLION, PURPLE = "#0072B2", "#D55E00", "#CC79A7"
# The same hues lighter, for small letters on a dark plate.
_LETTERS = {BLUE: "#62B6E8", VERMILLION: "#FF8B3D", GREEN: "#2FC298"}

# Two strokes with a gap over the edge they mark; a ring for a point inside.
PLAIN, DOUBLE, HOOKED, TICKED, ANGLED, RING = (
    "plain",
    "double",
    "hooked",
    "ticked",
    "angled",
    "ring",
)


@dataclass(frozen=True)
class Look:
    """Colour and shape of a mark or line; ``short`` is the label beside it."""

    colour: str
    shape: str
    short: str
    dashed: bool = False

    @property
    def label(self):
        return QCoreApplication.translate("Marks", self.short)

    @property
    def letters(self):
        """Colour of the label beside it."""
        return _LETTERS.get(self.colour, self.colour)

    @property
    def halo(self):
        """What the mark is outlined with to be seen on any grey."""
        return WHITE if self.colour == BLUE else BLACK


LOOKS = {
    "coronal_reference": Look(WHITE, HOOKED, QT_TRANSLATE_NOOP("Marks", "reference")),
    "cej_mesial": Look(YELLOW, PLAIN, QT_TRANSLATE_NOOP("Marks", "CEJ m")),
    "cej_distal": Look(YELLOW, PLAIN, QT_TRANSLATE_NOOP("Marks", "CEJ d")),
    "crest_mesial": Look(ORANGE, DOUBLE, QT_TRANSLATE_NOOP("Marks", "crest m")),
    "crest_distal": Look(ORANGE, DOUBLE, QT_TRANSLATE_NOOP("Marks", "crest d")),
    "margin_mesial": Look(VERMILLION, TICKED, QT_TRANSLATE_NOOP("Marks", "margin m")),
    "margin_distal": Look(VERMILLION, TICKED, QT_TRANSLATE_NOOP("Marks", "margin d")),
    "apex": Look(SKY, ANGLED, QT_TRANSLATE_NOOP("Marks", "apex")),
    "foramen": Look(SKY, RING, QT_TRANSLATE_NOOP("Marks", "foramen")),
    "orifice": Look(SKY, RING, QT_TRANSLATE_NOOP("Marks", "root face")),
    "file_stop": Look(PURPLE, HOOKED, QT_TRANSLATE_NOOP("Marks", "stop")),
    "file_tip": Look(PURPLE, ANGLED, QT_TRANSLATE_NOOP("Marks", "tip")),
    "filling_coronal": Look(GREEN, TICKED, QT_TRANSLATE_NOOP("Marks", "filling top")),
    "filling_apical": Look(GREEN, ANGLED, QT_TRANSLATE_NOOP("Marks", "filling end")),
    "post_coronal": Look(BLUE, TICKED, QT_TRANSLATE_NOOP("Marks", "post top")),
    "post_apical": Look(BLUE, ANGLED, QT_TRANSLATE_NOOP("Marks", "post end")),
    "canal": Look(SKY, PLAIN, QT_TRANSLATE_NOOP("Marks", "canal"), dashed=True),
    "root_wall_mesial": Look(WHITE, PLAIN, QT_TRANSLATE_NOOP("Marks", "root wall m")),
    "root_wall_distal": Look(WHITE, PLAIN, QT_TRANSLATE_NOOP("Marks", "root wall d")),
    "canal_wall_mesial": Look(YELLOW, PLAIN, QT_TRANSLATE_NOOP("Marks", "canal wall m")),
    "canal_wall_distal": Look(YELLOW, PLAIN, QT_TRANSLATE_NOOP("Marks", "canal wall d")),
    "lesion": Look(VERMILLION, PLAIN, QT_TRANSLATE_NOOP("Marks", "radiolucency"), dashed=True),
}
SCALE_LOOK = Look(PURPLE, HOOKED, QT_TRANSLATE_NOOP("Marks", "scale"), dashed=True)
CLOSED = ("lesion",)

_ROOT_SHORT = {
    "mesial": "M",
    "distal": "D",
    "mesiobuccal": "MB",
    "distobuccal": "DB",
    "palatal": "P",
    "buccal": "B",
    "lingual": "L",
}


def mark_label(name, root=None):
    """Short label of a mark: 'apex', with the root's letters when there are several."""
    short = LOOKS[name].label
    return short if root in (None, "single") else f"{short} {_ROOT_SHORT[root]}"


_ROLES = {
    "before": QT_TRANSLATE_NOOP("Roles", "before treatment"),
    "length check": QT_TRANSLATE_NOOP("Roles", "length check"),
    "filling check": QT_TRANSLATE_NOOP("Roles", "filling check"),
    "post space check": QT_TRANSLATE_NOOP("Roles", "post space check"),
    "post check": QT_TRANSLATE_NOOP("Roles", "post check"),
    "recall": QT_TRANSLATE_NOOP("Roles", "recall"),
    "other": QT_TRANSLATE_NOOP("Roles", "other"),
}


def role_word(role):
    """A film's role in the window's language."""
    return QCoreApplication.translate("Roles", _ROLES[role])
