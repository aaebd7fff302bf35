"""Periapical lesion: area, largest diameter, largest width across it.

The largest of many distances picks what the hand drew too far out: drawn again around the
outline, it comes out larger than the outline's by about as much as that is larger than the
truth. Its draws are therefore mirrored about the value (basic bootstrap: Davison & Hinkley,
Bootstrap Methods and their Application, 1997, from memory).
"""

import numpy as np

from radmeasure.measurements.result import Measured, Missing, key, waits

_UNITS = {"lesion_area": "mm2", "lesion_diameter": "mm", "lesion_width": "mm"}
LATE = "a lesion shows only after much mineral is lost"


def lesion(sight, root, rules):
    """lesion_area, lesion_diameter, lesion_width of the closed outline."""
    frame = sight.frame(root)
    outline = sight.line("lesion", root)
    if outline is None or frame is None:
        for id_, unit in _UNITS.items():
            lacking = waits(sight, (root, "lesion"), (root, "apex"))
            yield key(id_, root), Missing(unit, lacking)
        return
    xy = frame.canal_xy(outline)
    # The lesion stands upright, however its root leans.
    upright = sight.scale.along / sight.scale.roots[root][1]
    xy[..., 1] *= (upright * sight.share("lesion", root))[:, None]
    diameter, width = _diameter_and_width(xy)
    if sight.drawn:
        diameter = 2 * diameter[0] - _largest(xy)
    values = (_area(xy), diameter, width)
    methods = (
        "area inside the outline",
        "largest distance between two points of the outline",
        "largest width perpendicular to the largest diameter",
    )
    for id_, v, method in zip(_UNITS, values, methods, strict=True):
        k, bent = key(id_, root), id_ == "lesion_diameter"
        yield k, Measured(v, _UNITS[id_], method, LATE, bent=bent)


def _area(xy):
    x, y = xy[..., 0] - xy[:, :1, 0], xy[..., 1] - xy[:, :1, 1]
    return 0.5 * np.abs((x[:, :-1] * y[:, 1:] - y[:, :-1] * x[:, 1:]).sum(axis=1))


def _largest(xy):
    """Largest distance between two vertices of each row."""
    vertices = xy.shape[1]
    best = np.zeros(len(xy))
    for apart in range(1, vertices // 2 + 1):
        gap = xy - np.roll(xy, apart, axis=1)
        np.maximum(best, np.hypot(gap[..., 0], gap[..., 1]).max(axis=1), out=best)
    return best


def _diameter_and_width(xy):
    """Both taken between the vertices that are extreme on the nominal row."""
    x, y = xy[0].T
    i, j = np.unravel_index(np.argmax(np.hypot(x[:, None] - x, y[:, None] - y)), (len(x), len(x)))
    chord = xy[:, j] - xy[:, i]
    diameter = np.hypot(chord[:, 0], chord[:, 1])
    unit = chord / diameter[:, None]

    def place(v):
        """(along the diameter, aside of it) of vertices ``v`` on every row."""
        dx, dy = (xy[:, v] - xy[:, i]).T
        return dx * unit[:, 0] + dy * unit[:, 1], dy * unit[:, 0] - dx * unit[:, 1]

    nominal = (xy[0] - xy[0, i]) @ unit[0], (xy[0] - xy[0, i]) @ (-unit[0, 1], unit[0, 0])
    v, e = _widest(*nominal)
    (level, near), (a, far), (b, other) = place(v), place(e), place((e + 1) % len(x))
    far = far + (level - a) / _apart(b - a) * (other - far)
    return diameter, np.abs(far - near)


def _widest(along, aside):
    """(vertex, edge) between which the chord across is longest; that is always at a vertex.

    ``along`` and ``aside`` (M,) are the vertices of the nominal outline; edge e runs
    from vertex e to the next.
    """
    a, b = along, np.roll(along, -1)
    level = along[:, None]
    share = (level - a) / _apart(b - a)
    width = np.abs(aside + share * (np.roll(aside, -1) - aside) - aside[:, None])
    spans = (np.minimum(a, b) <= level) & (np.maximum(a, b) > level)
    return np.unravel_index(np.argmax(np.where(spans, width, -1.0)), width.shape)


def _apart(rise):
    return np.where(np.abs(rise) < 1e-9, 1e-9, rise)
