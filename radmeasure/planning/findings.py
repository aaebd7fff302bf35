"""Findings: readings held against the rulebook's rules."""

from radmeasure.model.finding import Finding
from radmeasure.quantity import verdict


def findings_on(readings, tooth, rulebook, carried=None):
    """Every rule applied to every reading it speaks of.

    Parameters
    ----------
    readings : iterable of Reading
    tooth : Tooth
    rulebook : Rulebook
    carried : Carried, optional
        Findings on the very readings of the evaluation before are taken from here.

    Returns
    -------
    list of Finding
        In the order of the readings. A reading that is withheld gets no verdict.
    """
    certainty = rulebook.value("verdict.certainty")
    found = []
    for reading in readings:
        rules = rulebook.rules_on(reading.id)
        if reading.quantity is None or not rules:
            continue
        known = carried.find(reading) if carried else None
        if known is None:
            spoken = (rule for rule in rules if applies(rule, tooth, reading.root))
            known = tuple(_finding(rule, reading, certainty) for rule in spoken)
            if carried:
                carried.keep(known, reading)
        found.extend(known)
    return found


def applies(rule, tooth, root):
    """True when the rule's conditions (tooth kinds, roots) admit this tooth and root."""
    when = rule.when
    kinds, roots = when.get("kinds"), when.get("roots")
    return (not kinds or tooth.kind in kinds) and (not roots or root in roots)


def _finding(rule, reading, certainty):
    quantity = reading.quantity
    p = quantity.probability(*rule.bounds)
    decided = verdict(p, certainty)
    return Finding(
        rule=rule.id,
        reading=reading.id,
        root=reading.root,
        side=reading.side,
        relation=rule.relation,
        limit=rule.limit,
        unit=rule.unit,
        verdict=decided,
        p=p,
        value=quantity.value,
        u=quantity.u,
        words=rule.says.get(decided, ""),
        source=rule.source,
        trust=rule.trust,
    )
