"""A size that was typed, held against the film's own pixels: a slip of the finger shows."""

import math

import numpy as np

from radmeasure.geometry.circle import fit_circle
from radmeasure.model.landmarks import Detector, Sphere

# What lies between source and receptor is shown up to about 1.3 times its size, and along an
# oblique film shorter or longer (geometry of the projection); this is wide on both sides.
SHOWN_LEAST, SHOWN_MOST = 0.7, 1.7


def mistyped(entries, spacing):
    """Words on each reference whose size cannot be that long on this film.

    Parameters
    ----------
    entries : iterable of KnownLength, Sphere, Detector
    spacing : Spacing or None
        The film's own; only a usable one says anything.

    Returns
    -------
    list of str
    """
    if spacing is None or not spacing.usable:
        return []
    pitch = math.sqrt(spacing.row_mm * spacing.column_mm)
    return [
        f"{size:g} mm was typed for what is {seen:.1f} mm by the film's own pixels: check it"
        for size, seen in (_sizes(e, pitch) for e in entries if not isinstance(e, Detector))
        if not SHOWN_LEAST <= seen / size <= SHOWN_MOST
    ]


def _sizes(entry, pitch):
    """(mm as typed, mm on the receptor) of a reference."""
    if isinstance(entry, Sphere):
        return entry.diameter_mm, 2 * float(fit_circle(np.array([entry.points]))[1][0]) * pitch
    length = sum(math.dist(a, b) for a, b in zip(entry.points, entry.points[1:], strict=False))
    return entry.length_mm, length * pitch
