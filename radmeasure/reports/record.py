"""The record: readings and findings in the order a clinician would dictate them.

Window card, PDF and terminal all show these paragraphs.
"""

import math
from dataclasses import dataclass

from radmeasure.model.carried import Carried
from radmeasure.quantity import FAILS, TOO_CLOSE
from radmeasure.reports import vocabulary
from radmeasure.reports.figures import limit_text, measure, probability_text, value_text
from radmeasure.reports.phrases import joined, say, translated
from radmeasure.reports.post_words import gain_paragraphs, post_paragraphs
from radmeasure.reports.sentences import (
    Sentence,
    landmarks_text,
    owner,
    root_title,
    scale_sentences,
    source_text,
    telling,
    title,
)

# A filling that begins below this part of the way to the apex has room for a post above it.
_PREPARED = 0.15
# A post seldom reaches further into the filling than it is driven, mm (common practice, no source).
_BESIDE_MM = 1.0
# Class boundaries: lying beyond one is a class, not a fault.
_CLASS_RULES = ("bone.loss_below_15", "crown_root.optimum", "curvature.straight")
# Readings of each paragraph, in the order they are said.
GROUPS = {
    "p_length": ("working_length", "stop_setting", "file_gap"),
    "p_filling": ("filling_to_apex", "filling_length"),
    "p_seated": ("post_length", "post_gap", "residual_filling", "post_depth_in_bone"),
    "p_ferrule": ("margin_to_crest", "ferrule_available", "ferrule_shortfall"),
    "p_bone": (
        "crown_root_clinical",
        "crown_root_anatomic",
        "bone_support",
        "bone_loss",
        "bone_loss_corrected",
        "cej_to_crest",
    ),
    "p_lesion": ("lesion_diameter", "lesion_width", "lesion_area"),
    "p_canal": ("curvature_schneider", "curvature_radius", "straight_length"),
    "p_lengths": (
        "tooth_length",
        "canal_length",
        "crown_length",
        "root_length",
        "clinical_crown_length",
        "clinical_root_length",
    ),
}
_DEPTH_SERIES = ("root_width", "canal_width", "dentine_mesial", "dentine_distal")
# What each job asks first; the rest follows in the usual order.
USUAL = ("p_post", "p_ferrule", "p_gain", *(p for p in GROUPS if p != "p_ferrule"))
JOBS = {
    "length check": ("p_length", "p_canal"),
    "filling check": ("p_filling", "p_lesion"),
    "post plan": ("p_post", "p_ferrule", "p_gain", "p_bone", "p_filling"),
    "post check": ("p_seated", "p_filling"),
    "recall": ("p_lesion", "p_bone", "p_filling"),
}


@dataclass(frozen=True)
class Paragraph:
    """A heading and what is said under it."""

    title: str
    sentences: tuple
    key: str = ""
    root: str | None = None


def record(evaluation, job=None, said=None):
    """The paragraphs of the record.

    Parameters
    ----------
    evaluation : Evaluation
    job : str, optional
        'length check', 'filling check', 'post plan', 'post check' or 'recall':
        what is told first, and what is asked for under 'Still open'.
    said : Carried, optional
        Sentences on the very readings of the record before are taken from here.

    Returns
    -------
    list of Paragraph
    """
    first = JOBS.get(job, ())
    said = Carried() if said is None else said
    order = (*first, *(p for p in USUAL if p not in first))
    found, readings = [], {}
    for reading in evaluation.readings:
        readings.setdefault((reading.id, reading.root), []).append(reading)
    for part in order:
        if part == "p_post":
            roots = [space.root for space in planned_spaces(evaluation, job)]
            told = post_paragraphs(evaluation, Paragraph)
            found.extend(p for p in told if p.root in roots)
        elif part == "p_gain":
            found.extend(gain_paragraphs(evaluation, Paragraph) if _plans(job) else ())
        else:
            found.extend(_paragraphs(evaluation, readings, part, part in first, said))
    found.extend(_open(evaluation, first))
    scale = scale_sentences(evaluation.scale, evaluation.landmarks)
    found.append(Paragraph(say("p_scale"), scale, "p_scale"))
    return [p for p in found if p.sentences]


def _paragraphs(evaluation, readings, part, asked, said):
    roots = list(evaluation.landmarks.roots)
    for root in roots:
        if part == "p_length" and not asked and not _file_there(evaluation, root):
            continue
        name = say(part)
        if len(roots) > 1:
            name = say("p_root", title=name, root=root_title(root))
        sentences = tuple(_sentences(evaluation, readings, part, root, said))
        yield Paragraph(name, sentences, part, root)


def planned_spaces(evaluation, job=None):
    """The post spaces a job speaks of: none where a post is seated or none is asked for.

    Parameters
    ----------
    evaluation : Evaluation
    job : str, optional

    Returns
    -------
    tuple of PostSpace
    """
    placed = evaluation.landmarks.get
    if job == "post plan":
        return tuple(evaluation.post_space)
    open_ = [s for s in evaluation.post_space if placed("post_apical", s.root) is None]
    if job is None:
        return tuple(open_)
    return tuple(s for s in open_ if s.deepest is not None) if _plans(job) else ()


def _plans(job):
    """Whether a post may be talked of: before treatment is done, not while it is checked."""
    return job not in ("length check", "post check", "recall")


def _file_there(evaluation, root):
    return evaluation.landmarks.get("file_tip", root) is not None


def _sentences(evaluation, readings, part, root, said):
    remarks = []
    ids = GROUPS[part]
    if part == "p_length" and _gap_fails(evaluation, root):
        ids = ("stop_setting", "file_gap", "working_length")
    if part == "p_seated" and evaluation.landmarks.get("post_apical", root) is None:
        return
    if part == "p_filling" and space_prepared(evaluation, root):
        ids = (*ids, "residual_filling")
    for id_ in ids:
        sides = readings.get((id_, root), ())
        sides = [r for r in sides if r.quantity is not None and _worth_saying(r)]
        yield from _said(sides, evaluation, said)
        remarks += [r.remark for r in sides if r.remark and r.remark not in remarks]
    if part == "p_seated":
        yield from _overlap(evaluation, root)
    yield from _assumptions(evaluation, part, root)
    for remark in remarks:
        text = translated(remark)
        yield Sentence(f"{text[:1].upper()}{text[1:]}.", quiet=True)


def _said(sides, evaluation, said):
    if not sides:
        return ()
    of = sides[0], sides[-1]
    known = said.find(*of)
    if known is None:
        known = reading_sentences(sides, evaluation.findings, evaluation.rulebook)
        said.keep(known, *of)
    return known


def _overlap(evaluation, root):
    """A filling that seems to begin beside the post: more likely its mark is wrong."""
    gap = evaluation.reading("post_gap", root)
    if gap is not None and gap.quantity is not None and gap.quantity.interval95[1] < -_BESIDE_MM:
        yield Sentence(say("post_beside"), TOO_CLOSE, waits_for=((root, "filling_coronal"),))


def _gap_fails(evaluation, root):
    return any(
        f.reading == "file_gap" and f.root == root and f.verdict == FAILS
        for f in evaluation.findings
    )


def space_prepared(evaluation, root):
    """True when the filling begins well below the root face and no post is in yet."""
    placed = evaluation.landmarks.get
    if placed("post_apical", root) is not None:
        return False
    orifice, top = placed("orifice", root), placed("filling_coronal", root)
    apex = placed("apex", root)
    if None in (orifice, top, apex):
        return False
    return math.dist(orifice, top) > _PREPARED * math.dist(orifice, apex)


def _assumptions(evaluation, part, root):
    """Values of the rulebook that a paragraph's readings stand on."""
    if part not in ("p_bone", "p_ferrule"):
        return
    value = evaluation.rulebook.value
    said = [r.id for r in evaluation.readings if r.root == root and r.quantity is not None]
    if part == "p_bone" and "bone_loss" in said:
        yield Sentence(say("stage"), quiet=True)
    if part == "p_bone" and "bone_loss_corrected" in said:
        n = measure(value("bone.normal_distance"), "mm")
        yield Sentence(say("normal_distance", n=n), quiet=True)
    if part == "p_ferrule" and "ferrule_available" in said:
        n, wanted = (measure(value(f"ferrule.{name}"), "mm") for name in ("attachment", "wanted"))
        yield Sentence(say("attachment", n=n, wanted=wanted), quiet=True)


def _worth_saying(reading):
    if reading.side == "mean":
        return False
    return reading.id != "ferrule_shortfall" or reading.quantity.value > 0


# -- one reading with its sides ------------------------------------------------------------------


def reading_sentences(sides, findings, rulebook):
    """One sentence for the sides of a reading; two where their signs need other words."""
    below = [r for r in sides if r.quantity.value < 0 and r.id in vocabulary.OPENINGS_BELOW]
    above = [r for r in sides if r not in below]
    return [
        _sentence(group, findings, group is below, rulebook) for group in (above, below) if group
    ]


def _sentence(sides, findings, below, rulebook):
    first = sides[0]
    start = _opening(sides, below)
    told = [telling(_on(reading, findings)) for reading in sides]
    # A class is neither met nor failed; one that cannot be told leaves the sentence in doubt.
    judged = [f for group in told for f in group if f.rule not in _CLASS_RULES or _is_close(f)]
    verdicts = [f.verdict for f in judged]
    # The words for a gap say nothing where the post reaches into the filling.
    meaning = "" if below and first.id == "post_gap" else _meaning(sides, told, rulebook)
    if first.id == "stop_setting":
        instrument = translated(first.method.split("; ")[1])
        marked = say("instrument", opening=start, instrument=instrument)
    elif meaning.startswith(_sided(sides)):
        marked = say("with_sides", opening=start, meaning=meaning[:1].upper() + meaning[1:])
    elif meaning:
        marked = say("with_meaning", opening=start, meaning=meaning)
    else:
        marked = say("plain", opening=start)
    sources = dict.fromkeys(source_text(f.source, f.trust) for group in told for f in group)
    return Sentence(marked, _worst(verdicts), first.key, tuple(sources))


def _opening(sides, below):
    first = sides[0]
    table = vocabulary.OPENINGS_BELOW if below else vocabulary.OPENINGS
    template = translated(table.get(first.id, f"{title(first.id)} *{{value}}*"))
    values = []
    for reading in sides:
        text = f"*{value_text(reading, absolute=below)}*"
        if reading.side:
            text = f"{text} {translated(vocabulary.SIDES[reading.side])}"
        values.append(text)
    return template.replace("*{value}*", ", ".join(values))


def _on(reading, findings):
    id_, root, side, _ = reading.key
    return [f for f in findings if f.reading == id_ and f.root == root and f.side == side]


def _sided(sides):
    """How a meaning begins that differs from side to side."""
    return tuple(f"{translated(vocabulary.SIDES[r.side])} " for r in sides if r.side)


def _meaning(sides, told, rulebook):
    if sides[0].id == "curvature_schneider":
        classed = curvature_class(sides[0].quantity.value, rulebook)
        return ", ".join([classed, *_unsure(told[0])])
    clauses = [", ".join(_clauses(group)) for group in told]
    said = [c for c in clauses if c]
    if not said:
        return ""
    if len(set(clauses)) == 1:
        return clauses[0]
    return "; ".join(
        f"{translated(vocabulary.SIDES[r.side])} {clause}"
        for r, clause in zip(sides, clauses, strict=True)
        if clause
    )


def _clauses(findings):
    """What each finding means, the doubtful ones with their probability."""
    for finding in findings:
        words = translated(finding.words) or translated(vocabulary.VERDICTS[finding.verdict])
        yield _doubtful("doubtful", finding, words=words) if _is_close(finding) else words


def _unsure(findings):
    """The limits of the doubtful findings alone, where a class has been named already."""
    chances = [_doubtful("chance", finding) for finding in findings if _is_close(finding)]
    return [say("unsure", chances=joined(chances))] if chances else []


def _is_close(finding):
    return finding.verdict == TOO_CLOSE


def _doubtful(name, finding, **fields):
    limit = limit_text(finding.relation, finding.limit, finding.unit)
    return say(name, probability=probability_text(finding.p), limit=limit, **fields)


def curvature_class(angle_deg, rulebook):
    """Schneider's class of an angle; between two classes it says so."""
    straight, moderate, moderate_end, severe = rulebook.value("curvature.classes")
    names = {name: say(f"class_{name}") for name in ("straight", "moderate", "severe")}
    if straight < angle_deg < moderate:
        return say("class_between", low=names["straight"], high=names["moderate"])
    if moderate_end < angle_deg < severe:
        return say("class_between", low=names["moderate"], high=names["severe"])
    if angle_deg <= straight:
        return say("class_inside", name=names["straight"])
    return say("class_inside", name=names["moderate" if angle_deg <= moderate_end else "severe"])


def _worst(verdicts):
    for verdict in (FAILS, TOO_CLOSE):
        if verdict in verdicts:
            return verdict
    return verdicts[0] if verdicts else ""


# -- what is still open ---------------------------------------------------------------------------

# Parts of a treatment that have not taken place are no open question.
_NEEDS_SEEN = {
    "p_length": ("file_tip", "file_stop"),
    "p_seated": ("post_apical", "post_coronal"),
}


def _open(evaluation, asked):
    """Missing readings, those that wait for the same landmarks together."""
    wanted = [i for part in _open_parts(evaluation, asked) for i in _ids(part)]
    missing = [r for r in evaluation.readings if r.quantity is None and r.id in wanted]
    calibrated = evaluation.scale.along is not None
    sentences = [*_withheld(missing, calibrated), *_waiting(missing)]
    yield Paragraph(say("p_open"), tuple(sentences), "p_open")


def _open_parts(evaluation, asked):
    placed = {name for _, name, _ in evaluation.landmarks.placed()}
    for part in asked or USUAL:
        seen = _NEEDS_SEEN.get(part, ())
        if asked or not seen or placed & set(seen):
            yield part


def _ids(part):
    return _DEPTH_SERIES if part == "p_post" else GROUPS.get(part, ())


def _withheld(missing, calibrated):
    """One sentence per reason, not one per reading; one for all millimetres without a scale."""
    reasons, lengths = {}, []
    for reading in missing:
        if reading.why and not calibrated and reading.unit in ("mm", "mm2"):
            lengths.append(reading)
        elif reading.why:
            reasons.setdefault(reading.why, []).append(reading)
    if lengths:
        why = max((r.why for r in lengths), key=len)
        marked = say("withheld_mm", why=translated(why))
        yield Sentence(marked, about=lengths[0].key, quiet=True)
    for why, readings in reasons.items():
        marked = say("withheld", title=_names(readings), why=translated(why))
        yield Sentence(marked, about=readings[0].key, quiet=True)


def _waiting(missing):
    """Readings whose landmarks are the same but for side and root share a sentence."""
    groups = {}
    for reading in missing:
        if not reading.why:
            kinds = frozenset(
                n.removesuffix("_mesial").removesuffix("_distal") for n in reading.missing
            )
            groups.setdefault(kinds, []).append(reading)
    for kinds, readings in sorted(groups.items(), key=lambda item: len(item[0])):
        if kinds == {"lesion"}:
            yield _not_outlined(tuple(dict.fromkeys(r.root for r in readings)))
            continue
        wanted = tuple(
            dict.fromkeys((owner(name, r.root), name) for r in readings for name in r.missing)
        )
        several = len({vocabulary.NAMES.get(r.id) for r in readings}) > 1
        marked = say(
            "wait" if several else "waits",
            title=_names(readings),
            landmarks=landmarks_text(wanted),
        )
        yield Sentence(marked, about=readings[0].key, waits_for=wanted, quiet=True)


def _not_outlined(roots):
    wanted = tuple((root, "lesion") for root in roots)
    marked = say("not_outlined")
    if roots != ("single",):
        marked = say("not_outlined_at", roots=joined(map(root_title, roots)))
    return Sentence(marked, waits_for=wanted, quiet=True)


def _names(readings):
    names = joined(dict.fromkeys(translated(vocabulary.NAMES.get(r.id, r.id)) for r in readings))
    return names[:1].upper() + names[1:]
