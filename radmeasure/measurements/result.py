"""What a measurement returns: sampled values, or what it waits for."""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True, eq=False)
class Measured:
    """Sampled values of one reading.

    Attributes
    ----------
    values : ndarray, shape (K,)
        Row 0 is the nominal value.
    unit : str
        'mm', 'mm2', 'deg', '%' or '1'.
    method : str
        How it was obtained.
    remark : str
        What a reader should know beside the number.
    least : float
        Smallest value there can be; an interval reaching below is not trusted to the
        linear law.
    bent : bool
        The linear law is known not to hold: Monte Carlo is used.
    """

    values: np.ndarray
    unit: str
    method: str
    remark: str = ""
    least: float = -np.inf
    bent: bool = False


@dataclass(frozen=True)
class Missing:
    """A reading that cannot be made, and the landmarks it waits for."""

    unit: str
    waits_for: tuple
    why: str = ""

    def __bool__(self):
        return False


Key = tuple  # (id, root, side, depth_mm)


def key(id_, root=None, side=None, depth_mm=None):
    """Key of a reading in the table."""
    return (id_, root, side, depth_mm)


def waits(sight, *wanted):
    """Names among ``wanted`` (name or (root, name)) that are not placed."""
    lacking = []
    for item in wanted:
        root, name = item if isinstance(item, tuple) else (None, item)
        if name not in lacking and not sight.has(name, root):
            lacking.append(name)
    return tuple(lacking)
