"""What two films of one tooth say of each other: rows for a table, and how they fit."""

from radmeasure.comparison.changes import BY_CROWN
from radmeasure.reports.figures import number, quantity_text
from radmeasure.reports.phrases import say, translated
from radmeasure.reports.sentences import title
from radmeasure.reports.tables import place_text

# What a recall looks at, in the order it is told; the other readings follow as measured.
_FIRST = (
    "cej_to_crest",
    "bone_support",
    "bone_loss",
    "lesion_diameter",
    "lesion_width",
    "lesion_area",
    "filling_to_apex",
    "post_gap",
    "residual_filling",
    "root_length",
    BY_CROWN,
)
# Figures of one moment of the treatment, which no later film can change.
_NOT_TOLD = ("stop_setting", "working_length", "file_gap")


def change_title(change):
    """Reading, side and root of a change."""
    name = say("change_by_crown") if change.id == BY_CROWN else title(change.id)
    place = place_text(change)
    return f"{name}, {place}" if place else name


def change_rows(comparison, short=False):
    """(Change, title, earlier, later, change, verdict) of every change that is told.

    ``short`` leaves out what a recall does not look at, unless it changed.
    """
    order = {id_: i for i, id_ in enumerate(_FIRST)}
    told = [c for c in comparison.changes if c.id not in _NOT_TOLD]
    told = [c for c in told if not short or c.exceeds or c.id in order]
    rows = []
    for change in sorted(told, key=lambda c: order.get(c.id, len(order))):
        figures = (quantity_text(q, change.unit) for q in (change.earlier, change.later))
        apart = _signed(quantity_text(change.change, change.unit))
        verdict = say("change_exceeds" if change.exceeds else "change_within")
        rows.append((change, change_title(change), *figures, apart, verdict))
    return rows


def _signed(text):
    """With a plus before what is more than nothing."""
    figure = text.split()[0]
    return f"+{text}" if figure[0].isdigit() and set(figure) & set("123456789") else text


def alignment_text(alignment):
    """How well the films lie on each other, in one sentence."""
    if not alignment:
        return say("films_not_aligned", why=translated(alignment.why))
    left = alignment.residual_mm
    fit = f"{number(alignment.residual_px, 1)} px" if left is None else f"{number(left, 2)} mm"
    return say(
        "films_aligned",
        count=len(alignment.landmarks),
        residual=fit,
        overlap=number(100 * alignment.overlap, 0),
    )


def comparison_text(comparison):
    """All of it for the terminal."""
    lines = [alignment_text(comparison.alignment), ""]
    rows = [row[1:] for row in change_rows(comparison)]
    widths = [max([len(row[i]) for row in rows], default=0) + 2 for i in range(4)]
    for row in rows:
        cells = [f"{cell:{width}}" for cell, width in zip(row[:4], widths, strict=True)]
        lines.append("".join(cells) + row[4])
    if not rows:
        lines.append(say("nothing_to_compare"))
    return "\n".join(lines)
