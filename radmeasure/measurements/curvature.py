"""Curvature of the canal: Schneider's angle, arc angle, radius, straight part.

Schneider SW, Oral Surg Oral Med Oral Pathol 1971;32:271-275: line 1 along the
coronal canal's axis, a where the canal leaves it, line 2 from a to the foramen;
the acute angle between them. Pruett JP et al., J Endod 1997;23:77-85 (geometry from
memory): circle tangent to the straight parts, its radius and arc angle. For a
straight part followed by one arc, arc angle = 2 x Schneider's (inscribed angle).
"""

import numpy as np

from radmeasure.geometry.arc import STRAIGHT_DEG, bends_drawn, fit_straight_then_arc
from radmeasure.measurements.canal import canal_of, canal_waits
from radmeasure.measurements.result import Measured, Missing, key

ONE_PLANE = "a film shows one plane; curvature towards the cheek or tongue is not seen"
_UNITS = {
    "curvature_schneider": "deg",
    "curvature_arc": "deg",
    "curvature_radius": "mm",
    "straight_length": "mm",
}
# Root mean square misfit (mm) from which a canal is not one arc.
_NOT_ONE_ARC_MM = 0.2


def bend_of(sight, root):
    """Fit of straight part and arc to the canal of a root, or None."""

    def make():
        canal = canal_of(sight, root)
        if canal is None or canal.xy.shape[1] < 4:
            return None
        begins = sight.share("bend", root)
        spread = len(begins) if sight.drawn else 2
        fit = fit_straight_then_arc(canal.xy, canal.s, begins, spread)
        if not (sight.drawn and fit.bends):
            return fit
        return bends_drawn(fit, canal.xy, canal.s, *sight.frame(root).from_nominal)

    return sight.once(("bend", root), make)


def curvature(sight, root, rules):
    """curvature_schneider, curvature_arc, curvature_radius, straight_length."""
    bend, canal = bend_of(sight, root), canal_of(sight, root)
    if bend is None:
        lacking = canal_waits(sight, root) or ("canal",)
        why = "" if canal is None else "the canal line needs at least two points inside"
        for id_, unit in _UNITS.items():
            yield key(id_, root), Missing(unit, lacking, why)
        return
    remark = ONE_PLANE
    if bend.rms > _NOT_ONE_ARC_MM and sight.scale.calibrated:
        remark = f"the canal is not one arc (misfit {bend.rms:.1f} mm); {remark}"
    for id_, values, method in _values(bend, canal):
        k = key(id_, root)
        if values is None:
            yield k, Missing(_UNITS[id_], (), f"the canal is straight within {STRAIGHT_DEG:g}°")
        else:
            yield k, Measured(values, _UNITS[id_], method, remark, least=0.0, bent=bend.bends)


def _values(bend, canal):
    chord = canal.xy[:, -1] - bend.leaves
    if bend.bends:
        cross = bend.direction[:, 0] * chord[:, 1] - bend.direction[:, 1] * chord[:, 0]
        dot = (bend.direction * chord).sum(-1)
        schneider = np.degrees(np.abs(np.arctan2(cross, dot)))
    else:
        schneider = _angle_between_halves(canal)
    yield "curvature_schneider", schneider, "Schneider's angle from a fit of straight part and arc"
    turning = bend.turning_deg if bend.bends else None
    yield "curvature_arc", turning, "angle of the arc after the straight part"
    radius = 1 / np.abs(bend.curvature) if bend.bends else None
    yield "curvature_radius", radius, "radius of the arc after the straight part"
    # Where no bend is seen there is no telling where one begins.
    straight = bend.straight if bend.bends else None
    yield "straight_length", straight, "from the orifice to where the arc begins"


def _angle_between_halves(canal):
    middle = canal.xy.shape[1] // 2
    a = canal.xy[:, middle] - canal.xy[:, 0]
    b = canal.xy[:, -1] - canal.xy[:, middle]
    cross = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    return np.degrees(np.abs(np.arctan2(cross, (a * b).sum(-1))))
