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
    dict of (id, root, side, depth_mm) to Measured or Missing
        Millimetres are withheld on an uncalibrated film.
    """
    table = {}
    for measurement in MEASUREMENTS:
        table.update(_measured(sight, rules, measurement))
    if not sight.scale.calibrated:
        for k, found in table.items():
            if found and found.unit in ("mm", "mm2"):
                table[k] = Missing(found.unit, (), NO_SCALE)
    return table


def _measured(sight, rules, measurement):
    return sight.once(measurement, lambda: dict(measurement(sight, rules)))
