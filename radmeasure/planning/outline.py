"""Outline of a root in its own frame, from the user's landmarks."""

from types import MappingProxyType

import numpy as np

from radmeasure.measurements.canal import canal_of
from radmeasure.measurements.lengths import apex_depth, cej_depth, crest_depth, reference_depth
from radmeasure.model.landmarks import ROOT_LINES, ROOT_POINTS, TOOTH_POINTS
from radmeasure.model.outline import RootOutline
from radmeasure.planning.post_axis import axis_of

# Without a scale a root is drawn this long; only proportions count.
_DRAWN = 14.0


def level_values(sight, root):
    """Sampled levels along the axis (K,) by name, counted from the outline's zero.

    In mm, or without a scale in such units that the axis is ``_DRAWN`` long.
    """
    return sight.once(("levels", root), lambda: _levels(sight, root))


def _levels(sight, root):
    found = {
        "coronal_reference": reference_depth(sight, root),
        "cej": cej_depth(sight, root),
        "crest": crest_depth(sight, root),
    }
    for name in TOOTH_POINTS[1:]:  # the reference, hidden shift included, is there already
        found[name] = sight.depth(name, root)
    for name in ROOT_POINTS:
        found[name] = sight.depth(name, root)
    zero = found[_zero(sight, root)]
    start = 0.0 if zero is None else zero
    unit = _unit(sight, root)
    placed = {name: values for name, values in found.items() if values is not None}
    return {name: (values - start) / unit for name, values in placed.items()}


def _unit(sight, root):
    """What lengths are divided by, (K,): mm stay mm, without a scale the axis gives the unit."""
    return 1.0 if sight.scale.calibrated else apex_depth(sight, root) / _DRAWN


def _zero(sight, root):
    """The first of reference, root face and CEJ that is placed; without a scale first the CEJ."""
    if not sight.scale.calibrated and cej_depth(sight, root) is not None:
        return "cej"
    if sight.point("coronal_reference") is not None:
        return "coronal_reference"
    return "orifice" if sight.point("orifice", root) is not None else "cej"


def outline_of(sight, root, quantify):
    """The outline of a root whose axis can be drawn.

    Parameters
    ----------
    sight : Sight
    root : str
    quantify : callable (name) -> Quantity
        Quantity of one of :func:`level_values`.

    Returns
    -------
    RootOutline
    """
    frame = sight.frame(root)
    zero = _zero(sight, root)
    shift = _shift(sight, root, zero)
    unit = float(np.ravel(_unit(sight, root))[0])

    def drawn(xy):
        return (xy - (0.0, shift)) / unit

    def placed(p):
        return drawn(frame.canal_xy(p[:1], slice(1))[0])

    axis, canal = axis_of(sight, root), canal_of(sight, root)
    in_mm = sight.scale.calibrated
    return RootOutline(
        root=root,
        zero=zero,
        levels=MappingProxyType({name: quantify(name) for name in level_values(sight, root)}),
        places=MappingProxyType(_places(sight, root, placed)),
        lines=MappingProxyType(_lines(sight, root, placed)),
        canal=None if canal is None else np.column_stack([drawn(canal.xy[0]), canal.s[0] / unit]),
        post_start=None if axis is None else drawn(axis.start[0]),
        post_direction=None if axis is None else axis.direction[0],
        origin_along=-shift / unit,
        axis_px=tuple(frame.axis[0]),
        mesial_px=tuple(frame.normal[0]),
        whole="" if in_mm else _top(sight, root),
        per_part=1.0 if in_mm else _DRAWN,
    )


def _top(sight, root):
    """The landmark the axis begins at."""
    if cej_depth(sight, root) is not None:
        return "cej"
    return "orifice" if sight.point("coronal_reference") is None else "coronal_reference"


def _shift(sight, root, zero):
    depth = sight.depth(zero, root)
    return 0.0 if depth is None else float(depth[0])


def _places(sight, root, placed):
    owners = [(None, name) for name in TOOTH_POINTS]
    owners += [(root, name) for name in ROOT_POINTS]
    points = {name: sight.point(name, owner) for owner, name in owners}
    return {name: tuple(placed(p).tolist()) for name, p in points.items() if p is not None}


def _lines(sight, root, placed):
    lines = {name: sight.nominal_line(name, root) for name in ROOT_LINES if name != "canal"}
    return {name: placed(line) for name, line in lines.items() if line is not None}
