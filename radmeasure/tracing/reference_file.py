"""A file in a canal: the line of its shaft from the stop to the tip.

Its length counts from the stop's face towards the tooth. A file without a
visible stop is no reference: nothing tells which part of it was measured.
"""

import numpy as np

from radmeasure.tracing.rays import resample, unit
from radmeasure.tracing.reference_found import Found, NotFound
from radmeasure.tracing.reference_response import even_plate
from radmeasure.tracing.reference_rods import measure
from radmeasure.tracing.reference_shaft import find_tip, follow
from radmeasure.tracing.reference_stop import find_stop, strip_along

_SPACING_MM = 1.0  # between the points of the line
_BACK_MM = 4.0  # looked beyond the end of the shaft: a handle is longer than any stop
_STRAIGHT_MM = 8.0  # shaft near the handle taken as straight
_SEEN = "thin rod from a disc on it to where it ends in the tooth"
_RESTS = (
    "thin rod in the tooth with a disc on it, whose face the crown hides: it is taken to rest on "
    "the crown"
)
_LEAST_MM = 8.0  # shorter than any file in a canal


def examine(plate, rod):
    """Decide whether a rod is the shaft of a file and measure it from stop to tip.

    Parameters
    ----------
    plate : Plate
    rod : Rod

    Returns
    -------
    Found or NotFound
        Of kind None when the rod is no file's shaft at all.
    """
    even = even_plate(plate, rod)
    if even is not plate:
        plate, rod = even, measure(even, rod.start, rod.end) or rod
    shaft = follow(plate, rod)
    if isinstance(shaft, str):
        return NotFound(shaft)
    traced = find_tip(plate, shaft)
    if isinstance(traced, str):
        return NotFound(traced, "file")
    line, u_tip = traced
    origin, way = _straight_part(plate, line)
    strip = strip_along(
        plate,
        origin,
        way,
        -_BACK_MM * plate.mm_px,
        (_STRAIGHT_MM + 2) * plate.mm_px,
        shaft.width_px,
    )
    stop = find_stop(plate, strip)
    if isinstance(stop, str):
        return NotFound(stop, "file")
    points = _from_stop(line, origin, way, stop.near, _SPACING_MM * plate.mm_px)
    size = float(np.hypot(*np.diff(points, axis=0).T).sum())
    if size < _LEAST_MM * plate.mm_px:
        return NotFound("the rod here is too short for a file in a canal", "file")
    u = float(np.hypot(stop.u_px, u_tip))
    return Found(
        "file",
        tuple((float(x), float(y)) for x, y in points),
        size,
        u,
        _confidence(stop, u / plate.mm_px),
        _RESTS if stop.rests else _SEEN,
    )


def _straight_part(plate, line):
    """A point on the axis beside the handle and the direction of the shaft there."""
    part = line[: max(int(_STRAIGHT_MM * plate.mm_px / _gap(line)), 8)]
    middle = part.mean(axis=0)
    way = np.linalg.svd(part - middle, full_matrices=False)[2][0]
    way = way * np.sign(way @ (part[-1] - part[0]))
    return middle + ((part[0] - middle) @ way) * way, unit(way)


def _gap(line):
    return float(np.median(np.hypot(*np.diff(line, axis=0).T)))


def _from_stop(line, origin, way, near, spacing):
    """The line from the stop's face on, a point every ``spacing`` px, both ends exact."""
    start = origin + near * way
    beyond = (line - start) @ way > spacing
    rest = line[int(np.argmax(beyond)) :]
    return resample(np.vstack([start, rest]), spacing)


def _confidence(stop, u_mm):
    """Falls as the stop fits a disc less well and as the ends are less sure."""
    return float(0.99 * np.exp(-0.5 * ((stop.rms / 0.08) ** 2 + (u_mm / 0.6) ** 2)))
