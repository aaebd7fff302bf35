"""What the record says of the decision worksheet: for, against, open; it decides nothing."""

from radmeasure.model.plan import AGAINST, FOR, OPEN
from radmeasure.quantity import FAILS, MEETS, TOO_CLOSE
from radmeasure.reports import vocabulary
from radmeasure.reports.figures import quantity_text
from radmeasure.reports.language import inside
from radmeasure.reports.phrases import joined, say, translated
from radmeasure.reports.record import Paragraph
from radmeasure.reports.sentences import Sentence, source_text

# What the figure beside a row of the plan is: short by that much, or enough to that depth.
_VALUED = {"plan.room": "reason_by", "plan.dentine": "reason_to"}
_VERDICTS = {FOR: MEETS, AGAINST: FAILS, OPEN: TOO_CLOSE}
# The index's sextants and what nobody has to answer are not listed one by one.
_MOST_MISSING = 12


def worksheet_paragraphs(worksheet):
    """Paragraphs of a worksheet: what speaks for, against, is open, and what is missing.

    Parameters
    ----------
    worksheet : radmeasure.model.worksheet.Worksheet

    Returns
    -------
    list of Paragraph
    """
    found = [
        Paragraph(say(f"w_{stance}"), _reasons(worksheet, stance), f"w_{stance}")
        for stance in (FOR, AGAINST, OPEN)
    ]
    found.append(Paragraph(say("w_lists"), tuple(_lists(worksheet)), "w_lists"))
    found.append(Paragraph(say("w_kinds"), tuple(_kinds(worksheet)), "w_kinds"))
    found.append(Paragraph(say("w_missing"), tuple(_missing(worksheet)), "w_missing"))
    return [paragraph for paragraph in found if paragraph.sentences]


def _reasons(worksheet, stance):
    return tuple(_reason(reason) for reason in worksheet.speaking(stance))


def _reason(reason):
    words = translated(reason.words)
    words = words[:1].upper() + words[1:]
    name, value = "reason", ""
    if reason.quantity is not None:
        name, value = (
            _VALUED.get(reason.id, "reason_value"),
            quantity_text(reason.quantity, reason.unit),
        )
    marked = say(name, words=words, value=value).rstrip(".") + "."
    sources = (source_text(reason.source, reason.trust),)
    return Sentence(marked, _VERDICTS[reason.stance], sources=sources)


def _lists(worksheet):
    """Indications and contra-indications that are met, and the optional index."""
    for name in ("indications", "contraindications"):
        lines = getattr(worksheet, name)
        met = [translated(line.words) for line in lines if line.met]
        unknown = sum(line.met is None for line in lines)
        if not lines:
            continue
        words = joined(met) or say("w_none")
        yield Sentence(say(f"w_{name}", words=words, count=len(lines), unknown=unknown))
    index = worksheet.index
    if index is not None:
        sources = (source_text(index.source, index.trust),)
        name, band = translated(index.name), translated(index.band)
        marked = say("w_index", name=name, total=index.total, out_of=index.out_of, band=band)
        yield Sentence(marked, sources=sources)


def _kinds(worksheet):
    for kind, reasons in worksheet.kinds.items():
        parts = []
        for stance in (FOR, AGAINST):
            words = [translated(r.words) for r in reasons if r.stance == stance]
            if words:
                parts.append(say(f"w_kind_{stance}", words="; ".join(words)))
        if parts:
            name = translated(vocabulary.POST_KINDS.get(kind, kind))
            yield Sentence(say("w_kind", kind=name, words=" ".join(parts)))


def _missing(worksheet):
    labels = [translated(f.entry.label) for f in worksheet.missing]
    if labels:
        named = [inside(label) for label in labels[:_MOST_MISSING]]
        more = len(labels) - len(named)
        words = "; ".join(named) + (say("w_more", count=more) if more else "")
        yield Sentence(say("w_waiting", words=words), quiet=True)
