"""How wide a post may be: at its end and along it, and which sizes fit."""

from functools import cached_property

import numpy as np

from radmeasure.measurements.canal import canal_waits
from radmeasure.measurements.result import waits
from radmeasure.model.plan import NO_WIDER, PostSize
from radmeasure.planning.post_axis import ROOT_WALLS, STEP_MM, Beside, beside_root
from radmeasure.planning.post_row import Row, in_force


def cap_mm(tooth, root, table):
    """Largest diameter for a root of this tooth, mm.

    Looks for the tooth's own entry first, then for its jaw's and its kind's; a
    tooth no entry speaks of gets the smallest of the table.

    Examples
    --------
    >>> from radmeasure.model.tooth import Tooth
    >>> cap_mm(Tooth("26"), "palatal", {"maxillary_molar_palatal": 1.3, "molar": 0.9})
    1.3
    """
    jaw_kind = f"{tooth.jaw_type.split('_')[0]}_{tooth.kind}"
    names = (tooth.jaw_type, jaw_kind, tooth.kind)
    for name in (*(f"{n}_{root}" for n in names), *names):
        if name in table:
            return table[name]
    return min(table.values())


class Widths:
    """Room for a post that ends at ``depth_mm``, from the root face to its end.

    Attributes
    ----------
    beside : Beside
        Levels every half millimetre and at the end.
    third, walls : ndarray, shape (K, L)
        Largest diameter at each level, by the root's width and by the dentine
        left on the nearer side.
    cap : float
        Largest diameter for this tooth.
    """

    def __init__(self, sight, root, rules, depth_mm, sizes=()):
        self._sizes = sizes
        depth_mm = max(float(depth_mm), STEP_MM)
        end = Beside(sight, root, np.array([depth_mm]))
        self.beside = beside_root(sight, root).down_to(depth_mm, end)
        self._entries = {
            name: in_force(rules, name) for name in ("width_fraction", "dentine", "cap")
        }
        self.third = self._entries["width_fraction"].value * self.beside.width
        self.walls = 2 * (self.beside.nearer - self._entries["dentine"].value)
        self._tooth = sight.tooth
        self.cap = cap_mm(self._tooth, root, self._entries["cap"].value)

    @cached_property
    def rows(self):
        """No-wider limits along the whole post, as rows."""
        entries = self._entries
        part, least = entries["width_fraction"].value, entries["dentine"].value
        found = (
            (
                "width_fraction",
                "width_fraction",
                f"{part:.2g} of the root's width along the post",
                self.third.min(axis=1),
            ),
            (
                "wall_dentine",
                "dentine",
                f"leaves {least:g} mm of dentine on the nearer side along the post",
                self.walls.min(axis=1),
            ),
            (
                "diameter_cap",
                "cap",
                f"largest diameter taught for a {self._tooth.type_name}",
                np.full(len(self.third), self.cap),
            ),
        )
        return [
            Row(rule, entries[name].id, NO_WIDER, words, values)
            for rule, name, words, values in found
        ]

    def rule_margins(self, size):
        """Room left beside one size (K,) by each rule."""
        depths = self.beside.depths
        diameter = size.diameter_mm(depths[-1] - depths)
        return {
            "width_fraction": (self.third - diameter).min(axis=1),
            "wall_dentine": (self.walls - diameter).min(axis=1),
            # A post of exactly the cap is within it, whatever the last binary digit.
            "diameter_cap": np.full(len(self.third), self.cap - diameter[0] + 1e-9),
        }

    @cached_property
    def margins(self):
        """Room left beside each post size (K,), negative where too wide; and the rule that binds.

        A list of (values, rule), in the order of the sizes.
        """
        sizes = self._sizes
        # Sizes of one taper differ only by their tip.
        tapers = {size.taper_mm_per_mm for size in sizes}
        room = {taper: self.rule_margins(PostSize("", 0.0, taper)) for taper in tapers}
        found = []
        for size in sizes:
            limits = room[size.taper_mm_per_mm]
            binding = min(limits, key=lambda rule: limits[rule][0])
            found.append((np.minimum.reduce(list(limits.values())) - size.tip_mm, binding))
        return found


def widths_missing(sight, root):
    """Landmarks the widths still wait for."""
    return waits(sight, *((root, n) for n in ROOT_WALLS)) + canal_waits(sight, root)
