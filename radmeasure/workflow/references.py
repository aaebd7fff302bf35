"""Reference objects on a film: balls and straight wires, found and measured in px."""

import numpy as np

from radmeasure.files.references_json import references_text
from radmeasure.tracing.reference_found import NotFound

__all__ = ["find_reference_at", "find_references", "references_text"]

# A click may lie this far (share of the object's size) beside the object it means.
_REACH = 0.75


def find_references(film, report=None):
    """Every ball and wire on a film, surest first; their size in mm is never guessed.

    Parameters
    ----------
    film : Film
    report : callable, optional
        Called with the share done; may raise Cancelled.

    Returns
    -------
    list of Found
    """
    from radmeasure.tracing import reference_plate, reference_rods, reference_sphere, reference_wire

    tell = report or (lambda share: None)
    plate = reference_plate.prepare(film.pixels)
    tell(0.2)
    found = [
        reference_sphere.examine(plate, centre, radius)
        for _, centre, radius in reference_sphere.search(plate)
    ]
    tell(0.7)
    found += [reference_wire.examine(plate, rod) for rod in reference_rods.measured(plate)]
    tell(1.0)
    return sorted((f for f in found if f), key=lambda f: -f.confidence)


def find_reference_at(film, near):
    """The ball or wire nearest to a click, or the reason there is none.

    Parameters
    ----------
    film : Film
    near : (x, y)
        Film px.

    Returns
    -------
    Found or NotFound
    """
    hits = []
    for found in find_references(film):
        points = np.array(found.points)
        middle = points.mean(axis=0)
        distance = float(np.hypot(*(middle - np.array(near))))
        if distance <= _REACH * found.size_px:
            hits.append((distance, found))
    if not hits:
        return NotFound("there is no metal ball or straight wire here")
    return min(hits, key=lambda hit: hit[0])[1]
