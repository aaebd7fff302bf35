"""The catalogue: every reading, in the order the record lists them."""

from radmeasure.measurements.bone import bone, cej_to_crest, crown_root
from radmeasure.measurements.curvature import curvature
from radmeasure.measurements.ferrule import ferrule
from radmeasure.measurements.filling import filling
from radmeasure.measurements.lengths import axis_lengths, canal_length, file_gap, working_length
from radmeasure.measurements.lesion import lesion
from radmeasure.measurements.result import Missing
from radmeasure.measurements.widths import widths

MEASUREMENTS = (
    axis_lengths,
    canal_length,
    file_gap,
    working_length,
    filling,
    cej_to_crest,
    bone,
    crown_root,
    ferrule,
    curvature,
    widths,
    lesion,
)
NO_SCALE = (
    "no scale on this film: place a file or a reference object of known size, "
    "give the receptor's pixel size, or open the source DICOM"
)


def measure_all(sight, rules):
    """Every reading of one film.

    Parameters
    ----------
    sight : Sight
    rules : Rulebook

    Returns
    -------
    list of dict of (id, root, side, depth_mm) to Measured or Missing
        One a measurement and root, in the order of the record. Millimetres are withheld on
        an uncalibrated film.
    """
    return [_measured(sight, root, rules, what) for what in MEASUREMENTS for root in sight.roots]


def _measured(sight, root, rules, measurement):
    return sight.once((measurement, root), lambda: _found(sight, root, rules, measurement))


def _found(sight, root, rules, measurement):
    table = dict(measurement(sight, root, rules))
    if not sight.scale.calibrated:
        for k, found in table.items():
            if found and found.unit in ("mm", "mm2"):
                table[k] = Missing(found.unit, (), NO_SCALE)
    return table
