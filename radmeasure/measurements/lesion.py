"""Periapical lesion: area, largest diameter, largest width across it."""

import numpy as np

from radmeasure.measurements.result import Measured, Missing, key, waits

_UNITS = {"lesion_area": "mm2", "lesion_diameter": "mm", "lesion_width": "mm"}
LATE = "a lesion shows only after much mineral is lost"


def lesion(sight, rules):
    """lesion_area, lesion_diameter, lesion_width of the closed outline."""
    for root in sight.roots:
        frame = sight.frame(root)
        outline = sight.line("lesion", root)
        if outline is None or frame is None:
            for id_, unit in _UNITS.items():
                lacking = waits(sight, (root, "lesion"), (root, "apex"))
                yield key(id_, root), Missing(unit, lacking)
            continue
        xy = frame.canal_xy(outline)
        xy[..., 1] *= sight.share("lesion", root)[:, None]
        values = (_area(xy), *_diameter_and_width(xy))
        methods = (
            "area inside the outline",
            "largest distance between two points of the outline",
            "largest width perpendicular to the largest diameter",
        )
        for id_, v, method in zip(_UNITS, values, methods, strict=True):
            yield key(id_, root), Measured(v, _UNITS[id_], method, LATE)


def _area(xy):
    x, y = xy[..., 0], xy[..., 1]
    return 0.5 * np.abs((x * np.roll(y, -1, 1) - y * np.roll(x, -1, 1)).sum(axis=1))


def _diameter_and_width(xy):
    """Both taken between the vertices that are extreme on the nominal row."""
    nominal = xy[0]
    gaps = np.hypot(*np.moveaxis(nominal[:, None] - nominal[None], -1, 0))
    i, j = np.unravel_index(np.argmax(gaps), gaps.shape)
    chord = xy[:, j] - xy[:, i]
    diameter = np.hypot(chord[:, 0], chord[:, 1])
    unit = chord / diameter[:, None]
    normal = np.stack([-unit[:, 1], unit[:, 0]], axis=-1)
    along = ((xy - xy[:, i][:, None]) * unit[:, None]).sum(-1)
    aside = ((xy - xy[:, i][:, None]) * normal[:, None]).sum(-1)
    return diameter, _widest(along, aside)


def _widest(along, aside):
    """Largest chord across; the width of a polygon is largest at one of its vertices."""
    best, answer = -1.0, np.zeros(len(along))
    n = along.shape[1]
    nxt = np.roll(np.arange(n), -1)
    for v in range(n):
        # Edges that span this vertex's place along the diameter, on the nominal row.
        a, b = along[0], along[0, nxt]
        spans = np.nonzero((np.minimum(a, b) <= along[0, v]) & (np.maximum(a, b) > along[0, v]))[0]
        for e in spans:
            if v in (e, nxt[e]):
                continue
            rise = along[:, nxt[e]] - along[:, e]
            t = (along[:, v] - along[:, e]) / np.where(np.abs(rise) < 1e-9, 1e-9, rise)
            width = np.abs(aside[:, e] + t * (aside[:, nxt[e]] - aside[:, e]) - aside[:, v])
            if width[0] > best:
                best, answer = width[0], width
    return answer
