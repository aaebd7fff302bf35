"""Colours and pens by name, for every drawing: one table for screen and paper.

The eight colours are those of Okabe M, Ito K, Color Universal Design, 2008 (values
as printed in Wong B, Nature Methods 2011;8:441, from memory), told apart with all
common kinds of colour vision. A name stands for a meaning, never for a colour, and
nothing is told by colour alone: dashes, marks and words say the same.
"""

from dataclasses import dataclass

BLACK = "#000000"
ORANGE = "#E69F00"
SKY = "#56B4E9"
GREEN = "#009E73"
YELLOW = "#F0E442"
BLUE = "#0072B2"
VERMILION = "#D55E00"
PURPLE = "#CC79A7"


@dataclass(frozen=True)
class Pen:
    """How a path or text is drawn.

    Attributes
    ----------
    stroke, fill : str
        Colour names of :data:`THEMES`, '' for none.
    width : float
        Of the stroke, in units of the drawing (points or px).
    dash : tuple of float
        Empty for a whole line.
    opacity : float
        Of the fill, 0 to 1.
    size : float
        Of text, as a multiple of the drawing's font size.
    strong : bool
        Bold text.
    """

    stroke: str = ""
    width: float = 1.0
    dash: tuple = ()
    fill: str = ""
    opacity: float = 1.0
    size: float = 1.0
    strong: bool = False


PENS = {
    # the tooth
    "dentine": Pen(fill="dentine"),
    "wall": Pen("ink", 1.1),
    "wall_guess": Pen("quiet", 0.8, (3, 2)),
    "crown": Pen("quiet", 0.8, (3, 2)),
    "canal": Pen(fill="canal"),
    "canal_line": Pen("quiet", 0.7, (1, 2)),
    "filling": Pen(fill="green", opacity=0.75),
    "keep_out": Pen("vermilion", 0.6, (1, 2)),
    "lesion": Pen("quiet", 0.9, (2, 2)),
    "seated_post": Pen("quiet", 1.0, fill="quiet", opacity=0.5),
    "file": Pen("ink", 1.2),
    # the plan
    "window": Pen(fill="sky", opacity=0.6),
    "post": Pen("ink", 1.6),
    "bound": Pen("blue", 1.6),
    "no_deeper": Pen("blue", 0.9),
    "no_shallower": Pen("vermilion", 0.9, (4, 2)),
    "spread": Pen(fill="quiet", opacity=0.45),
    "dentine_arrow": Pen("ink", 0.7),
    "plate": Pen(fill="paper"),
    "handle": Pen("blue", 1.2, fill="paper"),
    # levels
    "ruler": Pen("quiet", 0.7),
    "leader": Pen("quiet", 0.5),
    "reference": Pen("ink", 1.6),
    "cej": Pen("purple", 1.8),
    "crest": Pen("orange", 1.8),
    "crest_after": Pen("orange", 1.4, (3, 2)),
    "margin": Pen("vermilion", 1.8),
    "face": Pen("ink", 1.0),
    "filled": Pen("green", 1.8),
    "end": Pen("blue", 1.8),
    # text
    "label": Pen("ink"),
    "label_strong": Pen("ink", strong=True),
    "label_quiet": Pen("quiet", size=0.92),
    "label_bound": Pen("blue", strong=True),
    "label_deeper": Pen("blue"),
    "label_shallower": Pen("vermilion_text"),
    "label_chosen": Pen("blue", strong=True),
    # marks on a film
    "mark": Pen("mark", 1.2),
    "mark_halo": Pen("halo", 2.2),
    "mark_leader": Pen("mark", 0.35),
    "trace": Pen("mark", 0.5, (1.5, 1.5)),
    "trace_halo": Pen("halo", 0.9),
}

_SAME = {
    "orange": ORANGE,
    "sky": SKY,
    "green": GREEN,
    "purple": PURPLE,
    "vermilion": VERMILION,
    "mark": YELLOW,
    "halo": BLACK,
}
THEMES = {
    "paper": {
        **_SAME,
        "paper": "#FFFFFF",
        "ink": "#1A1A1A",
        "quiet": "#6E6E6E",
        "dentine": "#EFEAE0",
        "canal": "#D5D0C6",
        "blue": BLUE,
        # Vermilion is too light for small letters on white; the same hue, darker.
        "vermilion_text": "#A84A00",
    },
    "dark": {
        **_SAME,
        "paper": "#15191C",
        "ink": "#E8E8E8",
        "quiet": "#8C9499",
        "dentine": "#2A2E31",
        "canal": "#0C0E10",
        "blue": SKY,
        "vermilion_text": VERMILION,
    },
    # Letters at least 7 : 1 against their ground.
    "contrast": {
        **_SAME,
        "paper": "#000000",
        "ink": "#FFFFFF",
        "quiet": "#C4C9CC",
        "dentine": "#26292B",
        "canal": "#000000",
        "blue": "#8AD4FF",
        "vermilion": "#FF9A5C",
        "vermilion_text": "#FFB080",
    },
}


def colour(name, theme):
    """'#RRGGBB' of a colour name."""
    return THEMES[theme][name]
