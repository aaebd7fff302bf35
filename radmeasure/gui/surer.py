"""What a value's uncertainty comes from, and what would make it surer."""

import re

from PySide6.QtCore import QT_TRANSLATE_NOOP

from radmeasure.gui.wording import translate
from radmeasure.reports.words import joined, landmark_title, number, translated

# Shares below this, or beyond this many, are not worth a word.
LEAST_SHARE, MOST_TOLD = 0.05, 3

# What a source's name begins with or holds -> what can be done about it.
ADVICE = (
    (
        r"^placement of ",
        QT_TRANSLATE_NOOP(
            "Surer",
            "Look at that mark again at a larger size, with the greys for what is in sight; where "
            "the film is sharp, say how sure you are under Landmarks.",
        ),
    ),
    (
        r"foreshortening",
        QT_TRANSLATE_NOOP(
            "Surer",
            "Something of known length along the tooth, such as the file in the canal, tells how "
            "far the film shortens; entering the technique helps where there is none.",
        ),
    ),
    (
        r"^(depth|rim|diameter|ends|length) of ",
        QT_TRANSLATE_NOOP(
            "Surer",
            "The object that gives the scale: measure it with a gauge, enter its size with its "
            "uncertainty, place its ends or rim again, and on the next film lay it beside the "
            "tooth.",
        ),
    ),
    (
        r"magnification",
        QT_TRANSLATE_NOOP(
            "Surer",
            "A ball, wire or file on the film tells the magnification that is only assumed now; "
            "entering the technique narrows how it changes along the tooth.",
        ),
    ),
    (
        r"bend|curv",
        QT_TRANSLATE_NOOP(
            "Surer",
            "Trace the canal again, with points close together where it leaves its straight part; "
            "a slight bend has no sure beginning.",
        ),
    ),
    (
        r"off the film's plane|lean|obliquely|standing aside|towards cheek",
        QT_TRANSLATE_NOOP(
            "Surer",
            "A flat film does not show it, and no mark changes it. A film from another angle "
            "does, when one is taken for another reason.",
        ),
    ),
)


# What is said of a source none of these speaks of.
OTHERWISE = QT_TRANSLATE_NOOP(
    "Surer", "It follows from how the value is worked out; no mark on this film changes it."
)


def shares(quantity):
    """(source, share of the variance) of a quantity, largest first; [] when it has no budget."""
    budget = quantity.budget
    total = sum(u * u for u in budget.values())
    if not total:
        return []
    return [(source, u * u / total) for source, u in budget.items()]


def source_words(source):
    """A source of uncertainty in words.

    Examples
    --------
    >>> source_words("placement of cej mesial"), source_words("placement of apex (distal)")
    ('placing mesial CEJ', 'placing apex, distal root')
    """
    placed = re.fullmatch(r"placement of ([a-z ]+?)(?: \((\w+)\))?", source)
    if placed is None:
        return translated(source)
    name, root = placed.groups()
    words = landmark_title(name.replace(" ", "_"), root)
    return translate("Surer", "placing {0}").format(words)


def advice_on(source):
    """What can be done about a source."""
    for pattern, words in ADVICE:
        if re.search(pattern, source):
            return translate("Surer", words)
    return translate("Surer", OTHERWISE)


def told(quantity):
    """Two paragraphs: what the uncertainty comes from, what would lessen its largest part."""
    found = shares(quantity)
    if len(found) < 2:
        return  # a figure that stands for itself: nothing to tell apart
    worth = [row for row in found if row[1] >= LEAST_SHARE][:MOST_TOLD]
    parts = [f"{source_words(source)} {number(100 * share, 0)} %" for source, share in worth]
    yield translate("Surer", "Uncertainty from {0}.").format(joined(parts))
    yield translate("Surer", "Surer: {0}").format(advice_on(found[0][0]))
