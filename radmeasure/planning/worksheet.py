"""The decision worksheet laid out: for, against, open and missing, with the evidence of each.

It adds nothing up to a score and never says what to do.
"""

from types import MappingProxyType

from radmeasure.errors import InputError
from radmeasure.model.plan import AGAINST, OPEN, Reason
from radmeasure.model.worksheet import POST_KINDS, Filled, IndexResult, Line, Worksheet
from radmeasure.planning.worksheet_film import FilmEvidence

_TOOTH_KIND = "tooth_kind"


def lay_out(table, tooth, values, given, evidence, rules):
    """A tooth's worksheet.

    Parameters
    ----------
    table : WorksheetTable
    tooth : Tooth
    values : mapping of entry name to JSON scalar
        What was answered by hand (``Case.worksheets``); an answer that does not fit
        the table counts as not given.
    given : mapping
        Values entered with the landmarks; they fill entries of the same name.
    evidence : FilmEvidence
    rules : Rulebook

    Returns
    -------
    Worksheet
    """
    asked = [entry for entry in table.entries if entry.asked_for(tooth)]
    answers = {entry.name: evidence.answer(entry) for entry in asked if entry.kind == "film"}
    entries = tuple(_filled(entry, values, given, answers) for entry in asked)
    known = {f.entry.name: f.value for f in entries if f.value is not None}
    known[_TOOTH_KIND] = tooth.kind
    labels = {f.entry.name: f for f in entries}
    film = tuple(_film_reasons(entries, answers, rules))
    order = {entry.name: i for i, entry in enumerate(table.entries)}
    said = tuple(
        _reason(s, labels)
        for s in table.statements
        if s.when.entry in known and s.when.holds(known[s.when.entry])
    )
    names = {entry.name for entry in table.entries}
    return Worksheet(
        entries=entries,
        reasons=tuple(sorted(film + said, key=lambda r: order.get(r.entry, len(order)))),
        missing=tuple(f for f in entries if f.value is None and not f.entry.optional),
        indications=tuple(_lines(table, "indication", known, film)),
        contraindications=tuple(_lines(table, "contraindication", known, film)),
        kinds=MappingProxyType({k: tuple(_kind(table, k, known, labels)) for k in POST_KINDS}),
        index=_index(table, known),
        unknown=tuple(name for name in values if name not in names),
    )


def evidence_of(evaluation, rules):
    """FilmEvidence of an evaluation, or of no film when it is None."""
    if evaluation is None:
        return FilmEvidence((), (), (), (), None, rules)
    return FilmEvidence(
        evaluation.readings,
        evaluation.findings,
        evaluation.post_space,
        evaluation.gains,
        evaluation.choice,
        rules,
    )


def _filled(entry, values, given, answers):
    if entry.kind == "film":
        answer = answers[entry.name]
        by = "" if answer.stance is None else "film"
        return Filled(entry, answer.stance, by, answer.findings, answer.waits_for)
    for source, by in ((values, "hand"), (given, "given")):
        value = _fitting(entry, source.get(entry.name))
        if value is not None:
            return Filled(entry, value, by)
    return Filled(entry, None, "")


def _fitting(entry, value):
    """The value, or None when the table has changed so that it no longer fits."""
    try:
        return None if value is None else entry.checked(value)
    except InputError:
        return None


# -- reasons -------------------------------------------------------------------------------------


def _film_reasons(entries, answers, rules):
    for filled in entries:
        entry = filled.entry
        if entry.kind != "film" or filled.value is None:
            continue
        answer = answers[entry.name]
        source, trust = entry.source, entry.trust
        if not source and entry.rules[0] in rules.rules:
            rule = rules.rules[entry.rules[0]]
            source, trust = rule.source, rule.trust
        yield Reason(
            id=entry.rules[0],
            stance=filled.value,
            words=entry.words[filled.value],
            quantity=answer.quantity,
            unit="mm" if answer.quantity else "",
            source=source,
            trust=trust,
            topic=entry.topic,
            entry=entry.name,
            findings=answer.findings,
        )


def _reason(statement, labels):
    name = statement.when.entry if statement.when else ""
    filled = labels.get(name)
    answer = "" if filled is None else filled.entry.label_of(filled.value)
    return Reason(
        id=name,
        stance=statement.stance,
        words=statement.words,
        source=statement.source,
        trust=statement.trust,
        topic=statement.topic,
        entry=name if filled is not None else "",
        answer=answer,
    )


def _kind(table, kind, known, labels):
    """Considerations for one kind of post; those without a condition always hold."""
    for statement in table.kinds:
        if statement.post != kind:
            continue
        if statement.when is None or statement.when.holds(known.get(statement.when.entry)):
            yield _reason(statement, labels)


# -- lists ---------------------------------------------------------------------------------------


def _lines(table, which, known, film):
    """Lines of one list, in the table's order: statements first, then what the film answers."""
    for statement in table.statements:
        words = getattr(statement, which)
        if words:
            entry = statement.when.entry
            met = _met(table, statement, known)
            yield Line(words, met, entry, statement.source, statement.trust)
    if which == "indication":
        return
    reasons = {reason.entry: reason for reason in film}
    for entry in table.entries:
        if entry.contraindication:
            reason = reasons.get(entry.name)
            met = None
            if reason is not None and reason.stance != OPEN:
                met = reason.stance == AGAINST
            source, trust = (reason.source, reason.trust) if reason else (entry.source, entry.trust)
            yield Line(entry.contraindication, met, entry.name, source, trust)


def _met(table, statement, known):
    """True, False, or None while not answered or answered by something that leaves it open."""
    entry = statement.when.entry
    holds = statement.when.holds(known.get(entry))
    if holds is not False:
        return holds
    left_open = any(
        other.stance == OPEN and other.when.entry == entry and other.when.holds(known[entry])
        for other in table.statements
    )
    return None if left_open else False


def _index(table, known):
    index = table.index
    if index is None or not all(name in known for name in index.entries):
        return None
    parts = {name: known[name] for name in index.entries}
    total = sum(parts.values())
    band = next(words for start, words in index.bands if total >= start)
    out_of = index.high * len(parts)
    return IndexResult(
        index.name, total, out_of, MappingProxyType(parts), band, index.source, index.trust
    )
