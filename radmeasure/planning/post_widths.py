"""How wide a post may be: at its end and along it, and which sizes fit."""

import numpy as np

from radmeasure.measurements.canal import canal_of, canal_waits
from radmeasure.measurements.result import waits
from radmeasure.measurements.widths import levels_at, wall_of
from radmeasure.model.plan import NO_WIDER
from radmeasure.planning.post_limits import Row

_WALLS = ("root_wall_mesial", "root_wall_distal")
LEVELS = 24


def cap_mm(tooth, rules):
    """Cautious largest diameter for this kind of tooth (mm)."""
    table = rules.value("post.cap")
    return table.get(tooth.jaw_type, table.get(tooth.kind))


class Widths:
    """Room for a post of depth ``s`` (K,), on LEVELS levels from the root face to its end.

    Attributes
    ----------
    depths : ndarray, shape (K, LEVELS)
    third, walls : ndarray, shape (K, LEVELS)
        Largest diameter by the root's width, and by dentine left beside it.
    """

    def __init__(self, sight, root, rules, s):
        canal = canal_of(sight, root)
        walls = [wall_of(sight, root, n) for n in _WALLS]
        self.depths = np.linspace(0.0, 1.0, LEVELS) * s[:, None]
        centre, level = levels_at(canal, self.depths)
        # Above the drawn walls the root is wider than where they begin.
        top = max(w.along[0].min() for w in walls)
        level = np.maximum(level, top)
        mesial, distal = (w.at(level) for w in walls)
        nearer = np.minimum(mesial - centre, centre - distal)
        self.third = rules.value("post.width_fraction") * (mesial - distal)
        self.walls = 2 * (nearer - rules.value("post.dentine"))

    def rows(self, tooth, rules):
        """No-wider limits at the end and along the post, as rows."""
        cap = cap_mm(tooth, rules)
        part = rules.value("post.width_fraction")
        least = rules.value("post.dentine")
        return [
            Row(
                "width_fraction",
                "post.width_fraction",
                NO_WIDER,
                f"{part:.2g} of the root's width along the post",
                self.third.min(axis=1),
            ),
            Row(
                "wall_dentine",
                "post.dentine",
                NO_WIDER,
                f"leaves {least:g} mm of dentine on the nearer side along the post",
                self.walls.min(axis=1),
            ),
            Row(
                "diameter_cap",
                "post.cap",
                NO_WIDER,
                f"cautious largest diameter for a {tooth.type_name}",
                np.full(len(self.third), cap),
            ),
        ]

    def margin(self, size, tooth, rules):
        """Room left beside a post size (K,), negative where too wide; and the rule that binds."""
        diameter = size.tip_mm + size.taper_mm_per_mm * (self.depths[:, -1:] - self.depths)
        cap = cap_mm(tooth, rules)
        margins = {
            "width_fraction": (self.third - diameter).min(axis=1),
            "wall_dentine": (self.walls - diameter).min(axis=1),
            "diameter_cap": cap - diameter.max(axis=1),
        }
        binding = min(margins, key=lambda k: margins[k][0])
        return np.min(list(margins.values()), axis=0), binding


def widths_missing(sight, root):
    """Landmarks the widths still wait for."""
    return waits(sight, *((root, n) for n in _WALLS)) + canal_waits(sight, root)
