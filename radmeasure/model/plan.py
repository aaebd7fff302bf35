"""The plan: post space limits, post sizes, ways to gain tooth."""

from dataclasses import dataclass

from radmeasure.quantity import Quantity

NO_DEEPER, NO_SHALLOWER, NO_WIDER = "no_deeper", "no_shallower", "no_wider"


@dataclass(frozen=True)
class Limit:
    """One limit of the post space; depths count from the orifice along the canal.

    ``quantity`` is None when the landmarks it needs (``missing``) are not placed.
    """

    rule: str
    side: str
    quantity: Quantity | None
    words: str
    source: str
    trust: str
    missing: tuple = ()


@dataclass(frozen=True)
class PostSize:
    """A post of plain geometry: diameter at the tip, taper, usable length."""

    name: str
    tip_mm: float
    taper_mm_per_mm: float = 0.0
    length_mm: float | None = None

    def diameter_mm(self, from_tip_mm):
        """Diameter ``from_tip_mm`` above the tip."""
        return self.tip_mm + self.taper_mm_per_mm * from_tip_mm


@dataclass(frozen=True)
class Fit:
    """Whether a post size fits at the chosen depth, and why."""

    size: PostSize
    fits: bool
    p: float
    because: str


@dataclass(frozen=True)
class PostSpace:
    """All limits of one root and what follows from them.

    ``deepest`` is the smallest no-deeper limit, ``shallowest`` the largest
    no-shallower one; ``clashes`` lists (rule, by how much it fails at the
    deepest safe depth).
    """

    root: str
    limits: tuple
    deepest: Quantity | None
    deepest_because: str
    shallowest: Quantity | None
    shallowest_because: str
    feasible: bool | None
    p_feasible: float | None
    clashes: tuple
    widest_at_deepest: Quantity | None
    widest_because: str
    drill_depth: Quantity | None
    sizes: tuple
    profile: tuple
    contraindications: tuple = ()
    missing: tuple = ()
