"""Reference objects on a film: balls, straight wires and files, found and measured in px."""

import numpy as np

from radmeasure.files.references_json import references_text
from radmeasure.tracing.reference_found import NotFound

__all__ = ["find_reference_at", "find_references", "references_text"]

# A click means an object whose rim or line lies this near, mm; a candidate, which may not
# yet show all of itself, is looked at from further off.
_REACH_MM, _LOOK_MM = 2.0, 8.0
_NOTHING = "there is no metal ball, straight wire or file here"


def find_references(film, report=None):
    """Every ball, wire and file on a film, surest first; their size in mm is never guessed.

    Parameters
    ----------
    film : Film
    report : callable, optional
        Called with the share done; may raise Cancelled.

    Returns
    -------
    list of Found
    """
    found = [result for _, result in _examined(film, report) if result]
    return sorted(found, key=lambda f: -f.confidence)


def find_reference_at(film, near):
    """The ball, wire or file nearest to a click, or the reason there is none.

    Parameters
    ----------
    film : Film
    near : (x, y)
        Film px.

    Returns
    -------
    Found or NotFound
    """
    near = np.asarray(near, float)
    mm = max(film.pixels.shape) / 40.0  # rough: the long side of a receptor (ISO 3665)
    hits, refused = [], []
    for outline, result in _examined(film, wanted=lambda line: _apart(line, near) < _LOOK_MM * mm):
        distance = _apart(_closed(result) if result else outline, near)
        if distance < _REACH_MM * mm:
            (hits if result else refused).append((distance, result))
    if hits:
        return min(hits, key=lambda hit: hit[0])[1]
    return min(refused, key=lambda hit: hit[0])[1] if refused else NotFound(_NOTHING)


def _examined(film, report=None, wanted=lambda outline: True):
    """Outline of every candidate that is ``wanted`` with what it turned out to be."""
    from radmeasure.tracing import (
        reference_file,
        reference_plate,
        reference_rods,
        reference_sphere,
        reference_wire,
    )

    tell = report or (lambda share: None)
    plate = reference_plate.prepare(film.pixels)
    tell(0.1)
    for _, centre, radius in reference_sphere.search(plate):
        outline = _circle(centre, radius)
        if wanted(outline):
            yield outline, reference_sphere.examine(plate, centre, radius)
    tell(0.5)
    rods = [rod for rod in reference_rods.measured(plate) if wanted(_ends(rod))]
    for done, rod in enumerate(rods):
        tell(0.6 + 0.4 * done / len(rods))
        yield _ends(rod), _rod(reference_wire, reference_file, plate, rod)
    tell(1.0)


def _rod(wires, files, plate, rod):
    """A rod as wire or file; the reason that fits best when it is neither."""
    wire = wires.examine(plate, rod)
    file = files.examine(plate, rod)
    return wire or file or (file if file.kind else wire)


def _ends(rod):
    return np.array([rod.start, rod.end])


def _circle(centre, radius):
    turn = np.linspace(0, 2 * np.pi, 25)
    return np.asarray(centre) + radius * np.c_[np.cos(turn), np.sin(turn)]


def _closed(found):
    points = np.array(found.points)
    return np.vstack([points, points[:1]]) if found.kind == "sphere" else points


def _apart(line, point):
    """Distance of a point from a polyline; 0 within a closed one, a ball's."""
    middle = line.mean(axis=0)
    closed = np.allclose(line[0], line[-1])
    if closed and np.hypot(*(point - middle)) < np.hypot(*(line[0] - middle)):
        return 0.0
    a, edge = line[:-1], np.diff(line, axis=0)
    length = np.maximum((edge**2).sum(axis=1), 1e-12)
    share = np.clip(((point - a) * edge).sum(axis=1) / length, 0, 1)
    return float(np.hypot(*(a + share[:, None] * edge - point).T).min())
