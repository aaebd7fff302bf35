"""How far marks lie from the true places, in the tooth's own directions."""

import numpy as np

from radmeasure.geometry.polyline import cumulative
from radmeasure.model.class_marks import MarkError, Placement
from radmeasure.model.landmarks import ROOT_LINES

# The rulebook states a line's uncertainty at knots this far apart (measurements/evidence.py).
KNOT_MM = 3.0


def mark_errors(marked, truth, px_per_mm):
    """Errors of all landmarks that have a true place.

    Along is the root's axis (CEJ midpoint to apex, apical positive), across is square to it
    (mesial positive), both of the true landmarks. A line errs sideways only: at knots 3 mm
    apart on it, as far as the true line runs.

    Parameters
    ----------
    marked, truth : Landmarks
    px_per_mm : (float, float)
        Scale along and across.

    Returns
    -------
    list of MarkError
    """
    found = []
    for root, name, value in marked.placed():
        true = truth.get(name, root)
        if true is None:
            continue
        along, across = axes(truth, root)
        if name in ROOT_LINES:
            error = _line_error(root, name, value, true, across, px_per_mm)
            if error is not None:
                found.append(error)
            continue
        off = np.subtract(value, true)
        a, c = float(off @ along) / px_per_mm[0], float(off @ across) / px_per_mm[1]
        found.append(MarkError(root, name, a, c, float(np.hypot(a, c) / 2**0.5)))
    return found


def exchanged(marked, truth):
    """The level ('cej', ...) whose sides fit the truth far better when exchanged, or ''."""
    for level in ("cej", "crest", "margin"):
        names = [f"{level}_{side}" for side in ("mesial", "distal")]
        own, true = ([of.points.get(name) for name in names] for of in (marked, truth))
        if None in own or None in true:
            continue
        placed, turned = (np.hypot(*np.subtract(o, true).T).sum() for o in (own, own[::-1]))
        if turned < placed / 2:
            return level
    return ""


def axes(truth, root=None):
    """Unit vectors along (apical) and across (mesial) the tooth or a root, px.

    Without CEJ points the axis begins at the coronal reference, without an apex it is upright.
    """
    get = truth.points.get
    sides = [get(f"cej_{side}") for side in ("mesial", "distal")]
    names = [root] if root in truth.roots else truth.roots
    apices = [truth.roots[r].points["apex"] for r in names if "apex" in truth.roots[r].points]
    top = np.mean(sides, axis=0) if None not in sides else get("coronal_reference")
    along = np.array([0.0, float(truth.tooth.apical_sign)])
    if top is not None and apices:
        vector = np.mean(apices, axis=0) - top
        length = np.hypot(*vector)
        along = vector / length if length > 0 else along
    across = np.array([-along[1], along[0]])
    mesial = np.array([float(truth.tooth.mesial_sign), 0.0])
    if None not in sides:
        mesial = np.subtract(*sides)
    return along, across if across @ mesial >= 0 else -across


def _line_error(root, name, value, true, mesial, px_per_mm):
    closed = name == "lesion"
    line, true = (_closed(v) if closed else np.asarray(v, float) for v in (value, true))
    s = cumulative(line)
    scale = float(np.mean(px_per_mm))
    count = max(round(s[-1] / scale / KNOT_MM) + (0 if closed else 1), 4 if closed else 2)
    wanted = np.linspace(0, s[-1], count, endpoint=not closed)
    knots = np.column_stack([np.interp(wanted, s, line[:, i]) for i in (0, 1)])
    off = _sideways(knots, true, closed)
    off, normal = off[0][off[2]], off[1][off[2]]
    if not len(off):
        return None
    if closed:
        signed = off * np.sign(_area(true))
    else:
        signed = off * np.where(normal @ mesial >= 0, 1.0, -1.0)
    signed = signed / scale
    return MarkError(root, name, None, float(signed.mean()), float(np.sqrt(np.mean(signed**2))))


def _closed(outline):
    line = np.asarray(outline, float)
    return line if np.allclose(line[0], line[-1]) else np.vstack([line, line[:1]])


def _area(outline):
    """Twice the signed area; positive where the left normal of the path points outside."""
    x, y = outline.T
    return float(np.sum(x[1:] * y[:-1] - x[:-1] * y[1:]))


def _sideways(knots, line, closed):
    """Of knots (K, 2): signed distance from a line, its unit normal there, and whether it runs.

    A knot whose foot lies beyond an end of the line has nothing to be held against.
    """
    start, step = line[:-1], np.diff(line, axis=0)
    long = np.hypot(*step.T)
    start, step, long = start[long > 0], step[long > 0], long[long > 0]
    t = np.einsum("kmi,mi->km", knots[:, None] - start, step) / long**2
    foot = start + np.clip(t, 0, 1)[..., None] * step
    gap = knots[:, None] - foot
    nearest = np.argmin(np.hypot(gap[..., 0], gap[..., 1]), axis=1)
    k = np.arange(len(knots))
    normal = np.column_stack([-step[:, 1], step[:, 0]])[nearest] / long[nearest, None]
    distance = np.hypot(*gap[k, nearest].T)
    side = np.einsum("ki,ki->k", gap[k, nearest], normal)
    there = np.ones(len(knots), bool)
    if not closed:
        at, last = t[k, nearest], len(step) - 1
        there = ~((nearest == 0) & (at < 0)) & ~((nearest == last) & (at > 1))
    return distance * np.where(side >= 0, 1.0, -1.0), normal, there


def own_placement(errors, entry_of, shipped, least):
    """A student's own placement error by entry of the rulebook.

    The root mean square about the truth of one axis, over marks of one kind: bias is part of
    it, since a student who is not told of it does not correct it.

    Parameters
    ----------
    errors : list of MarkError
        Marks the student placed himself.
    entry_of : callable name -> str
        Rulebook entry of a landmark.
    shipped : callable entry -> float
        The shipped figure, mm.
    least : int
        Fewer marks say too little.

    Returns
    -------
    tuple of Placement, in the order first met
    """
    groups = {}
    for error in errors:
        groups.setdefault(entry_of(error.name), []).append(error.rms_mm)
    found = []
    for entry, values in groups.items():
        rms = float(np.sqrt(np.mean(np.square(values)))) if len(values) >= least else None
        # Exact to the last digit is a copy of the truth, not an eye.
        written = rms is not None and round(rms, 3) > 0
        found.append(Placement(entry, len(values), rms, shipped(entry), written))
    return tuple(found)
