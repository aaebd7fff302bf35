"""Ways to gain tooth for a ferrule: as it is, crown lengthening, extrusion, or both.

Crown lengthening by d makes the clinical crown longer and the root in bone shorter
by d; extrusion by d with the incisal level kept leaves the crown and takes d off the
root in bone (Assif et al. 1991). Either uncovers d of sound tooth on both sides.
An amount is a number one chooses, so only what it is added to is uncertain; all
options stand on the sampling of the readings, correlations kept.
"""

from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np

from radmeasure.measurements.bone import SIDES, side_depth
from radmeasure.measurements.ferrule import attachment_mm
from radmeasure.measurements.lengths import (
    apex_depth,
    cej_depth,
    crest_depth,
    reference_depth,
)
from radmeasure.measurements.result import waits
from radmeasure.model.plan import NO_SHALLOWER, GainOption, Gains
from radmeasure.model.reading import Reading
from radmeasure.planning.findings import findings_on
from radmeasure.planning.post_limits import lower_rows

KINDS = ("as_is", "lengthening", "extrusion", "both")
_ENTRIES = {
    "lengthening": ("gain.lengthening",),
    "extrusion": ("gain.extrusion",),
    "both": ("gain.lengthening", "gain.extrusion"),
}


@dataclass(eq=False)
class SampledGains:
    """Ways to gain tooth on one sampling; ``amounts`` holds (lengthening, extrusion) by kind."""

    root: str
    amount_mm: float
    dragged: bool
    amounts: dict
    values: dict = field(default_factory=dict)
    because: dict = field(default_factory=dict)
    crown_by_plan: bool = False
    missing: tuple = ()


def sample(sight, rules, choice, spaces):
    """Sampled ways to gain tooth of every root in ``spaces``.

    Parameters
    ----------
    sight : Sight
    rules : Rulebook
    choice : PlanChoice
        ``gain_mm`` is the dragged amount, ``gain_drawn_mm`` what of it is drawn out
        where both ways go together.
    spaces : dict of root name to SampledSpace

    Returns
    -------
    dict of root name to SampledGains
    """
    return {root: _sample_root(sight, rules, choice, space) for root, space in spaces.items()}


def _sample_root(sight, rules, choice, space):
    root = space.root
    available = _available(sight, rules, root)
    wanted = rules.value("ferrule.wanted")
    short = {side: np.maximum(wanted - v, 0.0) for side, v in available.items()}
    amount = choice.gain_mm
    if amount is None:
        amount = max((float(v[0]) for v in short.values()), default=0.0)
    dragged = choice.gain_mm is not None
    kinds = KINDS if amount > 0 or dragged else KINDS[:1]
    amounts = {kind: _amounts(kind, amount, choice.gain_drawn_mm) for kind in kinds}
    gains = SampledGains(root, amount, dragged, amounts)
    names = [f"{point}_{side}" for side in SIDES for point in ("margin", "crest")]
    gains.missing = waits(sight, *names)
    gains.values.update({f"short:{side}": v for side, v in short.items()})
    lower = _lower(sight, root, rules, space, amount)
    levels = _levels(gains, sight)
    for kind, (longer, drawn) in amounts.items():
        for side, values in available.items():
            ferrule = gains.values[f"{kind}:ferrule:{side}"] = values + longer + drawn
            gains.values[f"{kind}:sound:{side}"] = ferrule + attachment_mm(sight, rules)
        _bone(gains, kind, levels, longer, longer + drawn)
        rows = lower[kind != "as_is"]
        _post(gains, kind, space, rows, longer * rules.value("post.crown_ratio"))
    return gains


def _amounts(kind, amount, drawn):
    """(lengthening, extrusion) in mm of one way; half of each unless ``drawn`` is chosen."""
    drawn = 0.5 * amount if drawn is None else min(drawn, amount)
    both = (amount - drawn, drawn)
    return {"as_is": (0.0, 0.0), "lengthening": (amount, 0.0), "extrusion": (0.0, amount)}.get(
        kind, both
    )


def _available(sight, rules, root):
    """Ferrule available on each side whose margin and crest are placed."""
    found = {}
    for side in SIDES:
        margin = side_depth(sight, root, "margin", side)
        crest = side_depth(sight, root, "crest", side)
        if margin is not None and crest is not None:
            found[side] = crest - margin - attachment_mm(sight, rules)
    return found


def _lower(sight, root, rules, space, amount):
    """No-shallower rows as the tooth is, and with the crest ``amount`` further down the root."""
    now = [row for row in space.rows.values() if row.side == NO_SHALLOWER]
    return now, (lower_rows(sight, root, rules, (amount, 0.0)) if amount > 0 else now)


def _levels(gains, sight):
    """What the crown, the bone and their ratios are worked out from, mm along the axis."""
    root = gains.root
    top, gains.crown_by_plan = _crown_top(sight, root)
    crest, apex = crest_depth(sight, root), apex_depth(sight, root)
    sides = {}
    for side in SIDES:
        cej, edge = (side_depth(sight, root, name, side) for name in ("cej", "crest"))
        if cej is not None and edge is not None and (apex - cej).all():
            sides[side] = (apex - edge, apex - cej)
    return top, crest, apex, sides


def _bone(gains, kind, levels, longer, lost):
    """Crown, root in bone, their ratios and the bone support after losing ``lost`` of bone."""
    put, (top, crest, apex, sides) = gains.values, levels
    if crest is not None:
        in_bone = put[f"{kind}:root"] = apex - crest - lost
        if top is not None:
            crown = put[f"{kind}:crown"] = crest - top + longer
            # With no root left in bone there is no ratio to speak of.
            if in_bone[0] > 0 and crown[0] > 0:
                put[f"{kind}:crown_root"] = crown / in_bone
                put[f"{kind}:root_crown"] = in_bone / crown
    support = {side: 100 * (held - lost) / whole for side, (held, whole) in sides.items()}
    put.update({f"{kind}:support:{side}": values for side, values in support.items()})
    if len(support) == 2:
        put[f"{kind}:support:mean"] = 0.5 * (support["mesial"] + support["distal"])


def _crown_top(sight, root):
    """(level of the crown's top or None, True when the planned crown stands in for it).

    Where the crown is lost, the planned one is taken to stand on the CEJ.
    """
    top, cej = reference_depth(sight, root), cej_depth(sight, root)
    planned = sight.given.get("planned_crown_mm")
    if top is not None or planned is None or cej is None:
        return top, False
    return cej - planned, True


def _post(gains, kind, space, rows, longer):
    """Room for a post: the depths asked for move, the safe depth stays with the root."""
    asked = {row.rule: row.values for row in rows if row.values is not None}
    if "crown_height" in asked:
        asked["crown_height"] = asked["crown_height"] + longer
    if not asked:
        return
    stack = np.array(list(asked.values()))
    gains.values[f"{kind}:shallowest"] = stack.max(axis=0)
    gains.because[kind] = list(asked)[int(np.argmax(stack[:, 0]))]
    deepest = space.values.get("deepest")
    if deepest is not None:
        gains.values[f"{kind}:room"] = deepest - stack.max(axis=0)
        for rule, values in asked.items():
            gains.values[f"{kind}:short:{rule}"] = values - deepest


# -- into quantities -----------------------------------------------------------------------------


def settle(gains, quantify, rules, tooth, deepest):
    """Quantities and verdicts of sampled ways to gain tooth.

    Parameters
    ----------
    gains : SampledGains
    quantify : callable (getter) -> dict of name to Quantity
    rules : Rulebook
    tooth : Tooth
    deepest : Quantity or None
        The longest safe depth of a post in this root.

    Returns
    -------
    Gains
    """
    q = quantify(lambda g: g.values)
    options = tuple(_option(kind, gains, q, rules, tooth, deepest) for kind in gains.amounts)
    shortfall = {side: q[f"short:{side}"] for side in SIDES if f"short:{side}" in q}
    return Gains(
        gains.root,
        gains.amount_mm,
        gains.dragged,
        MappingProxyType(shortfall),
        options,
        gains.missing,
        gains.crown_by_plan,
    )


def _part(q, prefix):
    return {name.removeprefix(prefix): v for name, v in q.items() if name.startswith(prefix)}


def _option(kind, gains, q, rules, tooth, deepest):
    own = _part(q, f"{kind}:")
    ferrule, support = _part(own, "ferrule:"), _part(own, "support:")
    room = own.get("room")
    short = [(rule, v) for rule, v in _part(own, "short:").items() if v.value > 0.005]
    entries = [rules.setting(name) for name in _ENTRIES.get(kind, ())]
    lengthening, extrusion = gains.amounts[kind]
    return GainOption(
        kind=kind,
        lengthening_mm=lengthening,
        extrusion_mm=extrusion,
        ferrule=MappingProxyType(ferrule),
        crown=own.get("crown"),
        root_in_bone=own.get("root"),
        crown_root=own.get("crown_root"),
        root_crown=own.get("root_crown"),
        bone_support=MappingProxyType(support),
        deepest=deepest,
        shallowest=own.get("shallowest"),
        room=room,
        shallowest_because=gains.because.get(kind, ""),
        p_room=None if room is None else room.probability(low=0.0),
        short_of=tuple(sorted(short, key=lambda pair: -pair[1].value)),
        findings=tuple(findings_on(_readings(gains.root, own), tooth, rules)),
        words="; ".join(str(entry.value) for entry in entries),
        source=entries[0].source if entries else "",
        trust=entries[0].trust if entries else "",
    )


def _readings(root, own):
    """The option's figures as readings, so that the rulebook's rules apply to them."""
    if "crown_root" in own:
        yield Reading("crown_root_clinical", root, None, "1", quantity=own["crown_root"])
    for side in SIDES:
        for part, id_ in (("ferrule", "ferrule_available"), ("sound", "margin_to_crest")):
            quantity = own.get(f"{part}:{side}")
            if quantity is not None:
                yield Reading(id_, root, side, "mm", quantity=quantity)
