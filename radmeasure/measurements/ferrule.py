"""Sound tooth above the crest, ferrule available and what is short of it."""

import numpy as np

from radmeasure.measurements.bone import SIDES
from radmeasure.measurements.lengths import side_depth
from radmeasure.measurements.result import Measured, Missing, key, waits


def attachment_mm(sight, rules):
    """Supracrestal attachment kept free: as sounded in this patient, else the rulebook's."""
    return sight.given.get("attachment_mm", rules.value("ferrule.attachment"))


def ferrule(sight, root, rules):
    """margin_to_crest, ferrule_available and ferrule_shortfall, per side."""
    attachment = attachment_mm(sight, rules)
    wanted = rules.value("ferrule.wanted")
    for side in SIDES:
        margin = side_depth(sight, root, "margin", side)
        crest = side_depth(sight, root, "crest", side)
        ids = ("margin_to_crest", "ferrule_available", "ferrule_shortfall")
        if margin is None or crest is None:
            lacking = waits(sight, f"margin_{side}", f"crest_{side}", (root, "apex"))
            for id_ in ids:
                yield key(id_, root, side), Missing("mm", lacking)
            continue
        above = crest - margin
        available = above - attachment
        words = (
            "margin to crest, projected on the axis",
            f"margin to crest - {attachment:g} mm attachment",
            f"{wanted:g} mm wanted - ferrule available, 0 when none is short",
        )
        short = np.maximum(wanted - available, 0.0)
        for id_, values, method in zip(ids, (above, available, short), words, strict=True):
            # Nothing is short of less than nothing: the linear law would say 0 ± 0.
            bent = values is short
            yield key(id_, root, side), Measured(values, "mm", method, bent=bent)
