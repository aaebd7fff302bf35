"""A limit of the post space before its uncertainty is worked out."""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True, eq=False)
class Row:
    """One limit on a sampling.

    Attributes
    ----------
    rule : str
    setting : str
        The rulebook entry it rests on.
    side : str
        NO_DEEPER, NO_SHALLOWER or NO_WIDER.
    words : str
    values : ndarray, shape (K,), or None
        mm; None when the landmarks in ``missing`` are not placed.
    missing : tuple of str
    """

    rule: str
    setting: str
    side: str
    words: str
    values: np.ndarray | None = None
    missing: tuple = ()


def in_force(rules, name):
    """The rulebook's entry for ``name`` ('dentine', 'width_fraction', 'cap'), as chosen there."""
    return rules.setting(rules.value(f"post.use_{name}"))
