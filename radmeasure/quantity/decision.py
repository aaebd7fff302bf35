"""Verdict on a limit by JCGM 106:2012."""

import math

MEETS, FAILS, TOO_CLOSE = "meets", "fails", "too_close"


def verdict(p, certainty=0.95):
    """'meets' when p >= certainty, 'fails' when p <= 1 - certainty, else 'too_close'.

    Parameters
    ----------
    p : float
        Probability that the true value satisfies the rule.
    certainty : float
        Probability asked for (rulebook entry ``verdict.certainty``).

    Examples
    --------
    >>> verdict(0.97), verdict(0.5), verdict(0.01)
    ('meets', 'too_close', 'fails')
    """
    if p >= certainty:
        return MEETS
    return FAILS if p <= 1 - certainty else TOO_CLOSE


def bounds(relation, limit):
    """(low, high) of a rule: 'at_least' x, 'at_most' x or 'between' [x, y]."""
    if relation == "at_least":
        return limit, math.inf
    if relation == "at_most":
        return -math.inf, limit
    if relation == "between":
        return tuple(limit)
    raise ValueError(f"unknown relation {relation!r}")
