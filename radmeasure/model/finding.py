"""Findings: a reading held against a rule."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Finding:
    """A rule applied to one reading.

    Attributes
    ----------
    rule : str
        Rule id, e.g. 'filling.length'.
    reading, root, side : str or None
        Which reading.
    relation : str
        'at_least', 'at_most' or 'between'.
    limit : float or tuple of two floats
    unit : str
    verdict : str
        'meets', 'fails' or 'too_close' (JCGM 106:2012).
    p : float
        Probability that the true value satisfies the rule.
    value, u : float
        The reading and its standard uncertainty.
    words : str
        What the rule means, in the record's tone.
    source, trust : str
        Where the limit comes from and how far to trust the citation.
    """

    rule: str
    reading: str
    root: str | None
    side: str | None
    relation: str
    limit: float | tuple
    unit: str
    verdict: str
    p: float
    value: float
    u: float
    words: str
    source: str
    trust: str
