"""Reference objects on a film: balls, straight wires and files, found and measured in px."""

import numpy as np

from radmeasure.files.references_json import references_text
from radmeasure.tracing.reference_found import NotFound

__all__ = ["find_reference_at", "find_references", "look_over", "meant", "references_text"]

# A click means an object whose rim or line lies this near, mm; a candidate, which may not
# yet show all of itself, is looked at from further off.
_REACH_MM, _LOOK_MM = 2.5, 8.0
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
    found = [result for _, result in look_over(film, report=report) if result]
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
    return meant(look_over(film, near), film, near)


def meant(candidates, film, near):
    """The one of the candidates of :func:`look_over` a click means, or why it is none.

    Parameters
    ----------
    candidates : iterable of (outline, Found or NotFound)
    film : Film
    near : (x, y)
        Film px.

    Returns
    -------
    Found or NotFound
    """
    hits, refused = [], []
    for outline, result in candidates:
        distance = _apart(_outline_of(result) if result else outline, near)
        if distance < _REACH_MM * _px_per_mm(film):
            (hits if result else refused).append((distance, result))
    if not hits and not refused:
        return NotFound(_NOTHING)
    return min(hits or refused, key=lambda hit: hit[0])[1]


def look_over(film, near=None, report=None):
    """Everything on a film that may be a reference object, and what it turned out to be.

    Parameters
    ----------
    film : Film
    near : (x, y), optional
        Only candidates some mm about this place, film px.
    report : callable, optional
        Called with the share done; may raise Cancelled.

    Yields
    ------
    outline : ndarray, shape (N, 2)
        Rough rim or line, px.
    result : Found or NotFound
    """
    from radmeasure.tracing import (
        reference_file,
        reference_plate,
        reference_response,
        reference_rods,
        reference_sphere,
    )

    def wanted(outline):
        return near is None or _apart(outline, near) < _LOOK_MM * _px_per_mm(film)

    tell = report or (lambda share: None)
    plate = reference_plate.prepare(film.pixels)
    tell(0.1)
    for _, centre, radius in reference_sphere.search(plate):
        outline = _circle(centre, radius)
        if wanted(outline):
            yield outline, reference_sphere.examine(plate, centre, radius)
    tell(0.5)
    rods = [rod for rod in reference_rods.measured(plate) if wanted(_ends(rod))]
    file = False
    for done, rod in enumerate(rods):
        tell(0.6 + 0.3 * done / len(rods))
        result = _wire_or_file(plate, rod)
        file = file or result.kind == "file"
        yield _ends(rod), result
    # where grey follows the beam, a file is lost over the crown: look again, the response taken out
    tell(0.9)
    for even in [] if file else reference_response.even_plates(plate, rods):
        for rod in filter(lambda rod: wanted(_ends(rod)), reference_rods.measured(even)):
            result = reference_file.examine(even, rod)
            if result.kind:
                yield _ends(rod), result
    tell(1.0)


def _wire_or_file(plate, rod):
    """What a rod is; the reason that fits better when it is neither."""
    from radmeasure.tracing import reference_file, reference_wire

    wire = reference_wire.examine(plate, rod)
    file = wire or reference_file.examine(plate, rod)
    return wire or file or (file if file.kind else wire)


def _px_per_mm(film):
    """Rough: the long side of an intra-oral receptor is near 40 mm (ISO 3665)."""
    return max(film.pixels.shape) / 40.0


def _ends(rod):
    return np.array([rod.start, rod.end])


def _circle(centre, radius):
    turn = np.linspace(0, 2 * np.pi, 25)
    return np.asarray(centre) + radius * np.c_[np.cos(turn), np.sin(turn)]


def _outline_of(found):
    points = np.array(found.points)
    return np.vstack([points, points[:1]]) if found.kind == "sphere" else points


def _apart(line, point):
    """Distance of a point from a polyline; 0 within a closed one, a ball's."""
    point, middle = np.asarray(point, float), line.mean(axis=0)
    closed = np.allclose(line[0], line[-1])
    if closed and np.hypot(*(point - middle)) < np.hypot(*(line[0] - middle)):
        return 0.0
    a, edge = line[:-1], np.diff(line, axis=0)
    length = np.maximum((edge**2).sum(axis=1), 1e-12)
    share = np.clip(((point - a) * edge).sum(axis=1) / length, 0, 1)
    return float(np.hypot(*(a + share[:, None] * edge - point).T).min())
