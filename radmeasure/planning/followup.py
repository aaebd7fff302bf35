"""What a later film says, job by job, held against what was planned before.

A depth that was set on a drill or a stop is a number; what the film shows of it is
uncertain. Two films count as independent: each has its own scale and landmarks.
"""

import calendar
import datetime

from radmeasure.model.followup import (
    ACCEPTED,
    REPEAT,
    UNDECIDED,
    Difference,
    FollowUp,
    LengthCheck,
)
from radmeasure.quantity import (
    FAILS,
    K95,
    MEETS,
    difference,
    difference_of_two,
    normal,
)

# The readings of each job, in the order they are told.
READINGS = {
    "length check": ("working_length", "stop_setting", "file_gap"),
    "filling check": ("filling_to_apex", "filling_length", "canal_length", "lesion_diameter"),
    "post space check": ("filling_depth", "residual_filling"),
    "post check": (
        "post_depth",
        "post_gap",
        "residual_filling",
        "post_depth_in_bone",
        "post_length",
    ),
    "recall": ("lesion_diameter", "filling_to_apex", "post_gap", "residual_filling"),
}


def follow_up(job, root, readings, findings, rules, given=None, before=None):
    """One job on one root.

    Parameters
    ----------
    job : str
        A key of :data:`READINGS`. What changed at a recall is told by the
        comparison of both films, not here.
    root : str
    readings, findings : iterable
        Of the film's evaluation.
    rules : Rulebook
    given : mapping, optional
        Values entered with the film's landmarks (``file_length_mm``, ``stop_short_mm``).
    before : Before, optional
        What was planned or measured on an earlier film.

    Returns
    -------
    FollowUp
    """
    ids = READINGS[job]
    own = {r.id: r for r in readings if r.id in ids and r.root == root and r.side is None}
    told = tuple(own[id_] for id_ in ids if id_ in own)
    judged = tuple(f for f in findings if f.reading in ids and f.root == root)
    known = {id_: r.quantity for id_, r in own.items() if r.quantity is not None}
    given = given or {}
    return FollowUp(
        job=job,
        root=root,
        readings=told,
        findings=judged,
        differences=tuple(_differences(job, known, before)),
        length=_length(own, judged, rules, given) if job == "length check" else None,
        planned=None if before is None else before.planned,
        planned_on=None if before is None else before.film_id,
    )


class Before:
    """What an earlier film measured or planned for one root.

    Parameters
    ----------
    film_id, root : str
    readings : iterable of Reading
    planned : PlannedPost or None
    """

    def __init__(self, film_id, root, readings=(), planned=None):
        self.film_id, self.root, self.planned = film_id, root, planned
        lengths = [r for r in readings if r.id == "working_length" and r.root == root]
        self.working_length = next((r.quantity for r in lengths), None)


# -- length check ---------------------------------------------------------------------------------


def _length(own, judged, rules, given):
    gap, whole = own.get("file_gap"), own.get("working_length")
    finding = next((f for f in judged if f.rule == "file.gap"), None)
    if "file_length_mm" not in given or finding is None or whole.quantity is None:
        return None
    outcome = {MEETS: ACCEPTED, FAILS: REPEAT}.get(finding.verdict, UNDECIDED)
    setting = own["stop_setting"].quantity.value
    lengths = sorted(n for n in rules.value("instruments.lengths") if n >= setting)
    return LengthCheck(
        file_length_mm=given["file_length_mm"],
        gap=gap.quantity,
        working_length=whole.quantity,
        outcome=outcome,
        stop_setting_mm=setting,
        instrument_mm=lengths[0] if lengths else None,
        finding=finding,
        remark=gap.remark,
    )


# -- differences ----------------------------------------------------------------------------------


def _differences(job, known, before):
    if before is None:
        return
    if job == "length check":
        yield from _held("working_length", before.working_length, known.get("working_length"))
    if job == "filling check" and {"canal_length", "filling_to_apex"} <= set(known):
        filled = difference(known["canal_length"], known["filling_to_apex"])
        yield from _held("filled_length", before.working_length, filled)
    planned = before.planned
    if planned is None:
        return
    depth = normal(planned.depth_mm, 0.0, "depth set")
    if job == "post space check":
        yield from _held("depth", depth, known.get("filling_depth"))
    elif job == "post check":
        yield from _held("depth", depth, known.get("post_depth"))
        yield from _held("in_bone", planned.in_bone, known.get("post_depth_in_bone"))
    if job in ("post space check", "post check"):
        yield from _held("residual_filling", planned.residual, known.get("residual_filling"))


def _held(id_, planned, found):
    if planned is not None and found is not None:
        apart = difference_of_two(found, planned)
        exceeds = abs(apart.value) > K95 * apart.u
        yield Difference(id_, planned, found, apart, exceeds)


# -- recall ---------------------------------------------------------------------------------------


def recall_dates(treated, rules):
    """Dates of the recalls after a treatment, by the rulebook; each may be changed.

    Parameters
    ----------
    treated : datetime.date
    rules : Rulebook

    Returns
    -------
    tuple of datetime.date
        The first recall, then one a year to the end of the follow-up.
    """
    first, last = (int(rules.value(f"recall.{name}_months")) for name in ("first", "until"))
    return tuple(_months_later(treated, n) for n in range(first, max(first, last) + 1, 12))


def next_recall(treated, today, rules):
    """The first recall after ``today``; None when the follow-up is over."""
    return next((date for date in recall_dates(treated, rules) if date > today), None)


def _months_later(date, months):
    year, month = divmod(date.year * 12 + date.month - 1 + months, 12)
    last = calendar.monthrange(year, month + 1)[1]
    return datetime.date(year, month + 1, min(date.day, last))
