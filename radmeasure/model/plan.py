"""The plan: post space limits, post sizes, ways to gain tooth."""

from collections.abc import Mapping
from dataclasses import dataclass

from radmeasure.quantity import Quantity

NO_DEEPER, NO_SHALLOWER, NO_WIDER = "no_deeper", "no_shallower", "no_wider"
LEAST_TOOTH = "least_tooth"
# Two limits nearer than this are one rule under two names, or a tie: neither clashes (mm).
NOTHING_MM = 0.005
FOR, AGAINST, OPEN = "for", "against", "open"
# One-sided 95 % point of a normal distribution.
ONE_SIDED_95 = 1.6448536269514722


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
class Reason:
    """Something that speaks for or against, or is open, with its source.

    Attributes
    ----------
    id : str
        What it rests on, e.g. 'post.molar_roots' or 'curvature.severe'.
    stance : str
        :data:`FOR`, :data:`AGAINST` or :data:`OPEN`.
    words : str
    quantity : Quantity or None
        The value behind it, in ``unit``.
    source, trust : str
    topic : str
        What it is about: 'need', 'carry', 'look' or 'load' (worksheet).
    entry : str
        The worksheet's entry it comes from.
    answer : str
        The answer behind it, in words.
    findings : tuple of Finding
        The readings behind it, each with its verdict.
    """

    id: str
    stance: str
    words: str
    quantity: Quantity | None = None
    unit: str = ""
    source: str = ""
    trust: str = ""
    topic: str = "carry"
    entry: str = ""
    answer: str = ""
    findings: tuple = ()


@dataclass(frozen=True)
class Check:
    """One rule held against a post of a set depth and size.

    ``margin`` (mm) is the room that is left, negative by how much the rule is
    broken; ``p`` the probability that it is kept (JCGM 106:2012).
    """

    rule: str
    side: str
    margin: Quantity
    p: float
    verdict: str
    words: str
    source: str
    trust: str


@dataclass(frozen=True)
class PostLevel:
    """Dentine left on both sides of the post at one depth.

    ``depth_mm`` counts from the root face; ``diameter_mm`` is that of the post
    there; ``across_mm`` and ``along_mm`` place the post's middle in the tooth
    frame of its root (along: from the frame's coronal end).
    """

    depth_mm: float
    diameter_mm: float
    across_mm: float
    along_mm: float
    dentine_mesial: Quantity
    dentine_distal: Quantity


@dataclass(frozen=True)
class PlannedPost:
    """A post of a set depth: the chosen one, else one as deep as the safe depth.

    Attributes
    ----------
    depth_mm : float
        A number one sets on a drill, so without uncertainty of its own.
    chosen : bool
        True when the clinician chose the depth.
    size : PostSize or None
        The chosen size.
    residual : Quantity or None
        Filling left below it.
    drill : Quantity or None
        Depth to set on the drill from the coronal reference.
    in_bone : Quantity or None
        How far it reaches below the mean crest; negative above it.
    checks : tuple of Check
        Every rule whose landmarks are placed, and the least solid tooth.
    levels : tuple of PostLevel
        From the root face to the post's end; empty when walls are missing.
    """

    depth_mm: float
    chosen: bool
    size: PostSize | None
    residual: Quantity | None
    drill: Quantity | None
    in_bone: Quantity | None
    checks: tuple
    levels: tuple

    def check(self, rule):
        """The check of one rule, or None."""
        return next((c for c in self.checks if c.rule == rule), None)


@dataclass(frozen=True)
class SealOption:
    """What leaving ``seal_mm`` of filling gives and costs.

    Attributes
    ----------
    seal_mm : float
    deepest : Quantity
    deepest_because : str
    gained : Quantity
        Depth gained over the rulebook's seal.
    short_of : tuple of (rule, Quantity)
        Rules that ask for more depth, and by how much.
    least_mm : float
        The least seal accepted.
    p_least : float
        Probability that at least ``least_mm`` is left when the drill is set to
        ``deepest``.
    words, source, trust : str
        What speaks for this seal.
    """

    seal_mm: float
    deepest: Quantity
    deepest_because: str
    gained: Quantity
    short_of: tuple
    least_mm: float
    p_least: float
    words: str
    source: str
    trust: str


@dataclass(frozen=True)
class PostSpace:
    """All limits of one root and what follows from them.

    Attributes
    ----------
    deepest, shallowest : Quantity or None
        The smallest no-deeper and the largest no-shallower limit.
    clashes : tuple of (rule, Quantity)
        Rules that ask for more depth, and by how much they fail at the deepest
        safe depth, worst first.
    contraindications : tuple of str
        Rules by which this root takes no post.
    reasons : tuple of Reason
        Everything that speaks against a post in this root, or is open.
    planned : PlannedPost or None
        The chosen or the deepest safe post, with its dentine.
    seals : tuple of SealOption
        The rulebook's seal, the least one and the chosen one, longest first.
    profile : tuple of PostLevel
        The levels of ``planned``.
    missing : tuple of str
        Landmarks the space still waits for.
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
    reasons: tuple = ()
    planned: PlannedPost | None = None
    seals: tuple = ()

    @property
    def admitted(self):
        """False when a rule forbids a post in this root."""
        return not self.contraindications

    @property
    def sure_mm(self):
        """Depth that is within every limit with 95 % probability, mm; None when unknown."""
        if self.deepest is None:
            return None
        return max(0.0, self.deepest.value - ONE_SIDED_95 * self.deepest.u)

    def limit(self, rule):
        """The row of one rule, or None."""
        return next((row for row in self.limits if row.rule == rule), None)


@dataclass(frozen=True)
class GainOption:
    """One way forward for a tooth that is short of ferrule.

    Attributes
    ----------
    kind : str
        'as_is', 'lengthening', 'extrusion' or 'both'.
    lengthening_mm, extrusion_mm : float
        Bone taken away, and tooth drawn out; numbers one chooses.
    ferrule : mapping of side to Quantity
        Ferrule available afterwards; empty without margins.
    crown, root_in_bone : Quantity or None
        Clinical crown and root in bone afterwards, mm.
    crown_root, root_crown : Quantity or None
        Clinical crown ÷ root, and root ÷ crown.
    bone_support : mapping of 'mesial', 'distal', 'mean' to Quantity
        % of the root from the CEJ on.
    deepest, shallowest, room : Quantity or None
        Post space afterwards; ``room`` is deepest - shallowest.
    shallowest_because : str
    p_room : float or None
        Probability that a post can satisfy every rule on depth.
    short_of : tuple of (rule, Quantity)
        Rules that ask for a deeper post than is safe, and by how much.
    findings : tuple of Finding
        Verdicts on ratio, ferrule and sound tooth.
    words, source, trust : str
        What this way costs besides the figures.
    """

    kind: str
    lengthening_mm: float
    extrusion_mm: float
    ferrule: Mapping
    crown: Quantity | None
    root_in_bone: Quantity | None
    crown_root: Quantity | None
    root_crown: Quantity | None
    bone_support: Mapping
    deepest: Quantity | None
    shallowest: Quantity | None
    room: Quantity | None
    shallowest_because: str
    p_room: float | None
    short_of: tuple
    findings: tuple
    words: str = ""
    source: str = ""
    trust: str = ""

    def finding(self, rule, side=None):
        """The verdict of one rule, or None."""
        return next((f for f in self.findings if (f.rule, f.side) == (rule, side)), None)


@dataclass(frozen=True)
class Gains:
    """Ways to gain tooth, side by side, for one root; nothing is recommended.

    Attributes
    ----------
    root : str
    amount_mm : float
        Amount every way but the first gains: the dragged one, else what the
        shorter side lacks; 0 when nothing is short.
    dragged : bool
        True when the clinician chose the amount.
    shortfall : mapping of side to Quantity
        Ferrule short by, 0 when none is short.
    options : tuple of GainOption
        As it is; then lengthening, extrusion and half of each when an amount is set.
    missing : tuple of str
        Landmarks the ferrule waits for.
    crown_by_plan : bool
        True when the crown is lost and the planned one, standing on the CEJ, is
        counted as the clinical crown.
    """

    root: str
    amount_mm: float
    dragged: bool
    shortfall: Mapping
    options: tuple
    missing: tuple = ()
    crown_by_plan: bool = False

    def option(self, kind):
        """The option of one kind, or None."""
        return next((o for o in self.options if o.kind == kind), None)
