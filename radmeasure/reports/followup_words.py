"""What the record says of a follow-up film: the plan's figures beside the film's."""

from radmeasure.model.followup import REPEAT, UNDECIDED
from radmeasure.quantity import FAILS, MEETS, TOO_CLOSE
from radmeasure.reports import vocabulary
from radmeasure.reports.figures import depth_text, measure, quantity_text, size_text
from radmeasure.reports.phrases import say, translated
from radmeasure.reports.record import Paragraph
from radmeasure.reports.sentences import Sentence, root_title, source_text

_OUTCOMES = {REPEAT: FAILS, UNDECIDED: TOO_CLOSE}


def follow_up_paragraphs(follow_ups):
    """Paragraphs of what a film says against what came before; empty when it says nothing.

    Parameters
    ----------
    follow_ups : sequence of radmeasure.model.followup.FollowUp

    Returns
    -------
    list of Paragraph
    """
    found = []
    for each in follow_ups:
        title = say("p_against_plan" if each.differences else "p_outcome")
        if len(follow_ups) > 1:
            title = say("p_root", title=title, root=root_title(each.root))
        sentences = (*_length(each.length), *map(_difference, each.differences))
        found.append(Paragraph(title, sentences, "p_against_plan", each.root))
    return [paragraph for paragraph in found if paragraph.sentences]


def _length(check):
    """Accepted or to be repeated, and the setting that follows."""
    if check is None:
        return
    fields = {
        "setting": measure(check.stop_setting_mm, "mm"),
        "gap": _gap(check.gap),
        "length": depth_text(check.file_length_mm),
    }
    sources = (source_text(check.finding.source, check.finding.trust),)
    verdict = _OUTCOMES.get(check.outcome, MEETS)
    yield Sentence(say(f"length_{check.outcome}", **fields), verdict, sources=sources)


def _gap(gap):
    """Which side of the apex the file ends, and how far from it."""
    name = "gap_short" if gap.value >= 0 else "gap_beyond"
    return say(name, gap=size_text(gap, "mm"))


def _difference(difference):
    """'Depth 7.6 ± 0.4 mm, planned 8.0 mm: within error.'"""
    unit = "mm"
    planned, found = difference.planned, difference.found
    planned_text = depth_text(planned.value) if planned.u == 0 else quantity_text(planned, unit)
    apart = difference.difference
    name = "agrees"
    if difference.exceeds:
        name = "differs_more" if apart.value > 0 else "differs_less"
    what = translated(vocabulary.DIFFERENCES.get(difference.id, difference.id))
    marked = say(
        name,
        what=what,
        found=quantity_text(found, unit),
        planned=planned_text,
        difference=size_text(apart, unit),
    )
    return Sentence(marked, TOO_CLOSE if difference.exceeds else MEETS)
