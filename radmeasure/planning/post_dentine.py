"""How deep a post may go before dentine beside it runs thin, on either side.

Looks at every level from the root face to the post's end, so a tapered post that
is thick coronally, a canal off the root's middle and a root that leans away from
the post's straight axis are all seen.
"""

import numpy as np

from radmeasure.measurements.canal import canal_of, canal_waits
from radmeasure.measurements.result import waits
from radmeasure.model.plan import NO_DEEPER
from radmeasure.planning.post_axis import CANAL_WALLS, ROOT_WALLS, beside_root, drawn_to_mm
from radmeasure.planning.post_row import Row, in_force

# A millimetre either way of where dentine runs out.
_SLOPE_LEVELS = 2
# Walls that hardly come nearer tell little of a depth; mm of dentine per mm.
_LEAST_SLOPE = 0.02


def dentine_row(sight, root, rules, size):
    """The no-deeper limit by dentine for one post size, as a Row."""
    return sight.once(("dentine", root, size), lambda: _dentine_row(sight, root, rules, size))


def _dentine_row(sight, root, rules, size):
    entry = in_force(rules, "dentine")
    least = entry.value
    row = ("dentine", entry.id, NO_DEEPER)
    words = f"dentine beside the post falls under {least:g} mm below this depth"
    lacking = waits(sight, *((root, name) for name in (*ROOT_WALLS, *CANAL_WALLS)))
    lacking += canal_waits(sight, root)
    if lacking:
        return Row(*row, words, missing=lacking)
    length = canal_of(sight, root).length
    seen = min(drawn_to_mm(sight, root), float(length[0]))
    beside = beside_root(sight, root)
    if len(beside.depths) < 2:
        return Row(*row, words, missing=ROOT_WALLS)
    zero = np.zeros(len(length))
    found = _Spare(beside, size, least).runs_out()
    if found is None:
        words = f"as far as the walls are drawn; dentine stays over {least:g} mm so far"
        return Row(*row, words, zero + seen)
    if not found.any():
        words = f"dentine is under {least:g} mm from the root face on"
    return Row(*row, words, found)


class _Spare:
    """Twice the dentine over the least wanted, at each level, (K, L).

    ``tip`` is beside a post that ends at that level, ``canal`` beside the canal.
    """

    def __init__(self, beside, size, least):
        self.depths, self.taper = beside.depths, size.taper_mm_per_mm
        self.tip = 2 * (beside.nearer - least) - size.tip_mm
        canal = np.minimum(beside.mesial - beside.canal_mesial, beside.distal - beside.canal_distal)
        self.canal = 2 * (canal - least)

    def runs_out(self):
        """Depth (K,) at which a level has none left; None when every level has.

        Zero throughout when even the root face has none.
        """
        here = np.minimum(self.tip, self.canal)
        thin = here[0] < 0
        if self.taper:
            # A level keeps its dentine while the post ends above this depth.
            most = self.depths + self.tip / self.taper
            thin = thin | (np.minimum.accumulate(most[0]) < self.depths)
        if not thin.any():
            return None
        i = int(np.argmax(thin))
        if i == 0:
            return np.zeros(len(here))
        ends = []
        if here[0, i] < 0:
            ends.append(self._falls_to_nothing(here, i))
        if self.taper:
            ends.append(most[:, int(np.argmin(most[0, :i]))])
        return np.clip(min(ends, key=lambda values: values[0]), 0.0, self.depths[-1])

    def _falls_to_nothing(self, here, i):
        """Depth (K,) between levels i - 1 and i where ``here`` reaches zero.

        The slope is that of the nominal row over a millimetre either way: a wall
        drawn a little uneven must not swing the depth of every other row.
        """
        t = here[0, i - 1] / (here[0, i - 1] - here[0, i])
        at = self.depths[i - 1] + t * (self.depths[i] - self.depths[i - 1])
        left = here[:, i - 1] + t * (here[:, i] - here[:, i - 1])
        a, b = max(i - _SLOPE_LEVELS, 0), min(i + _SLOPE_LEVELS, len(self.depths) - 1)
        slope = (here[0, b] - here[0, a]) / (self.depths[b] - self.depths[a])
        return at + left / max(-slope, _LEAST_SLOPE)
