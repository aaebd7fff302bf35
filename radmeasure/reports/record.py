"""The record: readings and findings in the order a clinician would dictate them.

Window card, PDF and terminal all show these paragraphs.
"""

from dataclasses import dataclass

from radmeasure.quantity import FAILS, TOO_CLOSE
from radmeasure.reports import phrases
from radmeasure.reports.figures import (
    depth_text,
    probability_text,
    quantity_text,
    value_text,
)
from radmeasure.reports.phrases import joined, say, translated
from radmeasure.reports.post_words import post_paragraphs
from radmeasure.reports.sentences import (
    Sentence,
    landmark_title,
    owner,
    reading_title,
    root_title,
    scale_sentences,
    source_text,
    telling,
    title,
)

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
USUAL = ("p_post", *GROUPS)
JOBS = {
    "length check": ("p_length", "p_canal"),
    "filling check": ("p_filling", "p_lesion"),
    "post plan": ("p_post", "p_ferrule", "p_bone", "p_filling"),
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


def record(evaluation, job=None):
    """The paragraphs of the record.

    Parameters
    ----------
    evaluation : Evaluation
    job : str, optional
        'length check', 'filling check', 'post plan', 'post check' or 'recall':
        what is told first, and what is asked for under 'Still open'.

    Returns
    -------
    list of Paragraph
    """
    first = JOBS.get(job, ())
    order = (*first, *(p for p in USUAL if p not in first))
    found = []
    for part in order:
        if part == "p_post":
            found.extend(post_paragraphs(evaluation, Paragraph))
        else:
            found.extend(_paragraphs(evaluation, part, asked=part in first))
    found.extend(_open(evaluation, first))
    scale = scale_sentences(evaluation.scale, evaluation.landmarks)
    found.append(Paragraph(say("p_scale"), scale, "p_scale"))
    return [p for p in found if p.sentences]


def _paragraphs(evaluation, part, asked):
    roots = list(evaluation.landmarks.roots)
    for root in roots:
        if part == "p_length" and not asked and not _file_there(evaluation, root):
            continue
        name = say(part)
        if len(roots) > 1:
            name = say("p_root", title=name, root=root_title(root))
        yield Paragraph(name, tuple(_sentences(evaluation, part, root)), part, root)


def _file_there(evaluation, root):
    return evaluation.landmarks.get("file_tip", root) is not None


def _sentences(evaluation, part, root):
    remarks = []
    ids = GROUPS[part]
    if part == "p_length" and _gap_fails(evaluation, root):
        ids = ("stop_setting", "file_gap", "working_length")
    if part == "p_filling" and evaluation.landmarks.get("post_apical", root) is None:
        ids = (*ids, "residual_filling")
    if part == "p_seated" and evaluation.landmarks.get("post_apical", root) is None:
        return
    for id_ in ids:
        sides = [r for r in evaluation.readings if (r.id, r.root) == (id_, root)]
        sides = [r for r in sides if r.quantity is not None and _worth_saying(r, sides)]
        yield from reading_sentences(sides, evaluation.findings)
        remarks += [r.remark for r in sides if r.remark and r.remark not in remarks]
    if part == "p_canal":
        yield from _thinnest(evaluation, root)
    for remark in remarks:
        text = translated(remark)
        yield Sentence(f"{text[:1].upper()}{text[1:]}.", quiet=True)


def _gap_fails(evaluation, root):
    return any(
        f.reading == "file_gap" and f.root == root and f.verdict == FAILS
        for f in evaluation.findings
    )


def _worth_saying(reading, sides):
    if reading.side == "mean":
        return False
    if reading.id == "ferrule_shortfall":
        return reading.quantity.value > 0
    # Without a post the filling left is the filling's whole length, said already.
    return True


# -- one reading with its sides ------------------------------------------------------------------


def reading_sentences(sides, findings):
    """One sentence for the sides of a reading; two where their signs need other words."""
    below = [r for r in sides if r.quantity.value < 0 and r.id in phrases.OPENINGS_BELOW]
    above = [r for r in sides if r not in below]
    return [_sentence(group, findings, group is below) for group in (above, below) if group]


def _sentence(sides, findings, below):
    first = sides[0]
    start = _opening(sides, below)
    told = [telling(_on(reading, findings)) for reading in sides]
    verdicts = [f.verdict for group in told for f in group]
    meaning = _meaning(sides, told)
    if first.id == "stop_setting":
        marked = say("instrument", opening=start, instrument=first.method.split("; ")[1])
    elif meaning:
        marked = say("with_meaning", opening=start, meaning=meaning)
    else:
        marked = say("plain", opening=start)
    sources = dict.fromkeys(source_text(f.source, f.trust) for group in told for f in group)
    return Sentence(marked, _worst(verdicts), first.key, tuple(sources))


def _opening(sides, below):
    first = sides[0]
    table = phrases.OPENINGS_BELOW if below else phrases.OPENINGS
    template = translated(table.get(first.id, f"{title(first.id)} *{{value}}*"))
    values = []
    for reading in sides:
        text = f"*{value_text(reading, absolute=below)}*"
        if reading.side:
            text = f"{text} {translated(phrases.SIDES[reading.side])}"
        values.append(text)
    return template.replace("*{value}*", ", ".join(values))


def _on(reading, findings):
    return [f for f in findings if (f.reading, f.root, f.side) == reading.key[:3]]


def _meaning(sides, told):
    clauses = [joined_clauses(group) for group in told]
    said = [c for c in clauses if c]
    if not said:
        return ""
    if len(set(clauses)) == 1:
        return clauses[0]
    return "; ".join(
        f"{translated(phrases.SIDES[r.side])} {clause}"
        for r, clause in zip(sides, clauses, strict=True)
        if clause
    )


def joined_clauses(findings):
    """What several findings mean, the doubtful ones with their probability."""
    clauses = []
    for finding in findings:
        words = translated(finding.words) or translated(phrases.VERDICTS[finding.verdict])
        if finding.verdict == TOO_CLOSE:
            words = say("doubtful", words=words, probability=probability_text(finding.p))
        clauses.append(words)
    return ", ".join(clauses)


def _worst(verdicts):
    for verdict in (FAILS, TOO_CLOSE):
        if verdict in verdicts:
            return verdict
    return verdicts[0] if verdicts else ""


def _thinnest(evaluation, root):
    """Where dentine beside the canal is thinnest."""
    ids = ("dentine_mesial", "dentine_distal")
    walls = [
        r
        for r in evaluation.readings
        if r.root == root and r.id in ids and r.quantity is not None and r.depth_mm is not None
    ]
    if walls:
        r = min(walls, key=lambda r: r.quantity.value)
        yield Sentence(
            say(
                "thinnest",
                depth=depth_text(r.depth_mm),
                value=quantity_text(r.quantity, "mm"),
                side=translated(phrases.SIDES[r.id.removeprefix("dentine_")]),
            ),
            about=r.key,
        )


# -- what is still open --------------------------------------------------------------------------


def _open(evaluation, asked):
    """Missing readings, those that wait for the same landmarks together."""
    ids = [i for part in asked if part in GROUPS for i in GROUPS[part]]
    if "p_post" in asked or not asked:
        ids += _DEPTH_SERIES
    missing = [r for r in evaluation.readings if r.quantity is None]
    if asked:
        missing = [r for r in missing if r.id in ids]
    sentences = [*_withheld(missing), *_waiting(missing)]
    yield Paragraph(say("p_open"), tuple(sentences), "p_open")


def _withheld(missing):
    """One sentence per reason, not one per reading."""
    reasons = {}
    for reading in missing:
        if reading.why:
            reasons.setdefault(reading.why, []).append(reading)
    for why, readings in reasons.items():
        if all(r.unit in ("mm", "mm2") for r in readings) and len(readings) > 3:
            marked = say("withheld_mm", why=translated(why))
        else:
            names = joined(dict.fromkeys(_lower(reading_title(r)) for r in readings))
            marked = say("withheld", title=names[:1].upper() + names[1:], why=translated(why))
        yield Sentence(marked, about=readings[0].key, quiet=True)


def _waiting(missing):
    groups = {}
    for reading in missing:
        if not reading.why:
            wanted = tuple((owner(name, reading.root), name) for name in reading.missing)
            groups.setdefault(wanted, []).append(reading)
    for wanted, readings in sorted(groups.items(), key=lambda item: len(item[0])):
        names = joined(dict.fromkeys(_lower(title(r.id)) for r in readings))
        landmarks = joined(landmark_title(name, root) for root, name in wanted)
        name = "waits" if len({r.id for r in readings}) == 1 else "wait"
        marked = say(name, title=names[:1].upper() + names[1:], landmarks=landmarks)
        yield Sentence(marked, about=readings[0].key, waits_for=wanted, quiet=True)


def _lower(text):
    return text if text[:2].isupper() else text[:1].lower() + text[1:]
