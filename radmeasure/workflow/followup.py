"""Follow-up films as the fronts use them: which job, what it asks, and what differs from the plan.

``JOBS`` and ``BY_ID`` list what every job asks for; :func:`follow_up_of` holds one
film of a case against the plan made on an earlier one.
"""

from radmeasure.model.case import PlanChoice
from radmeasure.model.job import BY_ID, JOBS, Job
from radmeasure.planning.followup import (
    READINGS,
    Before,
    follow_up,
    next_recall,
    recall_dates,
)
from radmeasure.planning.post_roots import root_for_post

__all__ = [
    "BY_ID",
    "JOBS",
    "READINGS",
    "Before",
    "Job",
    "evaluation_of_film",
    "follow_up_of",
    "job_for",
    "next_recall",
    "recall_dates",
]

_POST_JOBS = ("post space check", "post check")
# Films that show what was done; a plan is not made on them.
_DONE = (*_POST_JOBS, "recall")


def job_for(role, landmarks=None):
    """The job a film suggests: by a file seen in the canal, else by its role in the case.

    Returns
    -------
    Job
    """
    if landmarks is not None:
        seen = {name for root in landmarks.roots.values() for name in root.points}
        if "file_tip" in seen:
            return BY_ID["length check"]
    return BY_ID.get(role, BY_ID["post plan"])


def evaluation_of_film(session, film_id, tooth_fdi, rulebook=None, sizes=None):
    """Evaluation of a tooth on a film of a session's case, with the plan chosen for it.

    Returns
    -------
    Evaluation or None
        None when nothing was placed for the tooth on this film.
    """
    from radmeasure.workflow.evaluate import evaluate
    from radmeasure.workflow.rulebook import load_post_sizes, load_rulebook

    chart = session.case.chart(film_id, tooth_fdi)
    if chart is None:
        return None
    return evaluate(
        chart.landmarks,
        rulebook or load_rulebook(),
        session.film(film_id).spacing,
        session.case.plans.get(tooth_fdi),
        load_post_sizes() if sizes is None else sizes,
    )


def follow_up_of(case, film_id, tooth_fdi, job_id, evaluation_of):
    """What one film says of the job, root by root, against what came before.

    Parameters
    ----------
    case : Case
    film_id, tooth_fdi, job_id : str
    evaluation_of : callable (film_id) -> Evaluation or None
        E.g. ``lambda film: evaluation_of_film(session, film, tooth)``.

    Returns
    -------
    tuple of FollowUp
        One per root the job speaks of: all for length and filling checks, the
        planned one for post space and post checks; none when the job follows
        nothing up.
    """
    evaluation = evaluation_of(film_id)
    if evaluation is None or job_id not in READINGS:
        return ()
    choice = case.plans.get(tooth_fdi, PlanChoice())
    earlier = _earlier(case, film_id, tooth_fdi)
    if job_id in _POST_JOBS:
        plan = _plan(earlier, evaluation_of, choice)
        roots = _roots_of_post(evaluation.landmarks, plan, choice)
        before = {plan.root: plan} if plan is not None else {}
    else:
        roots = tuple(evaluation.landmarks.roots)
        measured = job_id in ("length check", "filling check")
        before = {r: _measured(earlier, evaluation_of, r) for r in roots if measured}
    return tuple(
        follow_up(
            job_id,
            root,
            evaluation.readings,
            evaluation.findings,
            evaluation.rulebook,
            evaluation.landmarks.given,
            before.get(root),
        )
        for root in roots
    )


def _earlier(case, film_id, tooth_fdi):
    """Ids of the films before this one that show the tooth, latest first."""
    ids = [entry.film_id for entry in case.films]
    before = case.films[: ids.index(film_id)] if film_id in ids else ()
    return [e for e in reversed(before) if case.chart(e.film_id, tooth_fdi) is not None]


def _plan(earlier, evaluation_of, choice):
    """The latest earlier film a post was planned on, or None."""
    for entry in earlier:
        if entry.role in _DONE:
            continue
        evaluation = evaluation_of(entry.film_id)
        spaces = {} if evaluation is None else {s.root: s for s in evaluation.post_space}
        space = spaces.get(root_for_post(spaces.values(), choice))
        if space is not None and space.planned is not None:
            return Before(entry.film_id, space.root, planned=space.planned)
    return None


def _measured(earlier, evaluation_of, root):
    """The latest earlier film that gave a working length of this root."""
    for entry in earlier:
        evaluation = evaluation_of(entry.film_id)
        if evaluation is not None:
            before = Before(entry.film_id, root, evaluation.readings)
            if before.working_length is not None:
                return before
    return None


def _roots_of_post(landmarks, plan, choice):
    """The chosen or planned root; without either, those a post is seen in, or all."""
    for root in (choice.root, None if plan is None else plan.root):
        if root in landmarks.roots:
            return (root,)
    seen = tuple(name for name, root in landmarks.roots.items() if "post_apical" in root.points)
    return seen or tuple(landmarks.roots)
