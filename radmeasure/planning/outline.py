"""Outline of a root in its own frame, from the user's landmarks."""

from types import MappingProxyType

import numpy as np

from radmeasure.measurements.canal import canal_of
from radmeasure.measurements.curvature import bend_of
from radmeasure.measurements.lengths import cej_depth, crest_depth, reference_depth
from radmeasure.model.outline import RootOutline

_TOOTH = (
    "cej_mesial",
    "cej_distal",
    "crest_mesial",
    "crest_distal",
    "margin_mesial",
    "margin_distal",
)
_ROOT = (
    "apex",
    "foramen",
    "orifice",
    "file_stop",
    "file_tip",
    "filling_coronal",
    "filling_apical",
    "post_coronal",
    "post_apical",
)
_LINES = (
    "root_wall_mesial",
    "root_wall_distal",
    "canal_wall_mesial",
    "canal_wall_distal",
    "lesion",
)


def level_values(sight, root):
    """Sampled levels along the axis (mm, (K,)) by name, counted from the outline's zero."""
    return sight.once(("levels", root), lambda: _levels(sight, root))


def _levels(sight, root):
    frame = sight.frame(root)
    found = {
        "coronal_reference": reference_depth(sight, root),
        "cej": cej_depth(sight, root),
        "crest": crest_depth(sight, root),
    }
    for name in _TOOTH:
        p = sight.point(name)
        found[name] = None if p is None else frame.depth(p)
    for name in _ROOT:
        p = sight.point(name, root)
        found[name] = None if p is None else frame.depth(p)
    zero = found[_zero(sight, root)]
    start = 0.0 if zero is None else zero
    return {name: values - start for name, values in found.items() if values is not None}


def _zero(sight, root):
    """The first of reference, root face and CEJ that is placed."""
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

    def placed(p):
        return frame.canal_xy(p)[0] - (0.0, shift)

    start, direction = _post_line(sight, root)
    return RootOutline(
        root=root,
        zero=zero,
        levels=MappingProxyType({name: quantify(name) for name in level_values(sight, root)}),
        places=MappingProxyType(_places(sight, root, placed)),
        lines=MappingProxyType(_lines(sight, root, placed)),
        canal=_canal(sight, root, shift),
        post_start=None if start is None else start - (0.0, shift),
        post_direction=direction,
        origin_along=-shift,
        axis_px=tuple(frame.axis[0]),
        mesial_px=tuple(frame.normal[0]),
    )


def _shift(sight, root, zero):
    frame = sight.frame(root)
    point = sight.point(zero, None if zero == "coronal_reference" else root)
    return 0.0 if point is None else float(frame.depth(point)[0])


def _places(sight, root, placed):
    owners = [(None, name) for name in ("coronal_reference", *_TOOTH)]
    owners += [(root, name) for name in _ROOT]
    points = {name: sight.point(name, owner) for owner, name in owners}
    return {name: tuple(placed(p)) for name, p in points.items() if p is not None}


def _lines(sight, root, placed):
    lines = {name: sight.line(name, root) for name in _LINES}
    return {name: placed(line) for name, line in lines.items() if line is not None}


def _canal(sight, root, shift):
    canal = canal_of(sight, root)
    if canal is None:
        return None
    return np.column_stack([canal.xy[0] - (0.0, shift), canal.s[0]])


def _post_line(sight, root):
    """Start and direction of the straight line a post takes; it does not bend with the canal."""
    canal, bend = canal_of(sight, root), bend_of(sight, root)
    if canal is None:
        return None, None
    if bend is not None and bend.bends:
        direction = bend.direction[0]
        return bend.leaves[0] - bend.straight[0] * direction, direction
    chord = canal.xy[0, -1] - canal.xy[0, 0]
    return canal.xy[0, 0], chord / np.hypot(*chord)
