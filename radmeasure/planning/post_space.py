"""Post space of each root: every limit, the longest safe depth, clashes, sizes that fit.

Works in two steps: :func:`sample` on a batch of inputs, :func:`settle` turns the
batch into quantities. The same sampling serves all, so two limits that share a
landmark are compared with their correlation.
"""

from dataclasses import dataclass, field
from functools import partial

import numpy as np

from radmeasure.measurements.lengths import reference_depth
from radmeasure.model.case import PlanChoice
from radmeasure.model.plan import (
    NO_DEEPER,
    NO_SHALLOWER,
    NOTHING_MM,
    Fit,
    Limit,
    PostSize,
    PostSpace,
)
from radmeasure.planning import post_plan, post_roots, post_seal
from radmeasure.planning.post_axis import drawn_to_mm
from radmeasure.planning.post_limits import depth_rows
from radmeasure.planning.post_widths import Widths, widths_missing

# The dentine limit is worked out for the thinnest post of the table, or for this one.
_THINNEST = PostSize("thinnest", 0.6)


@dataclass(eq=False)
class SampledSpace:
    """Post space of one root on one sampling.

    Attributes
    ----------
    root : str
    rows : dict of rule to Row
    values : dict of name to ndarray (K,)
        Everything that becomes a quantity.
    because : dict of name to rule
        Which rule binds.
    plan : PlannedGeometry or None
        The post whose depth is set.
    walls_to_mm : float or None
        Depth down to which the root's walls are drawn.
    missing : tuple of str
    """

    root: str
    rows: dict
    values: dict = field(default_factory=dict)
    because: dict = field(default_factory=dict)
    plan: object = None
    walls_to_mm: float | None = None
    missing: tuple = ()


def sample(sight, rules, choice, sizes):
    """Sampled post space of every root whose axis can be drawn.

    Parameters
    ----------
    sight : Sight
    rules : Rulebook
    choice : PlanChoice
        A chosen seal is used; a chosen depth and size are checked against the limits.
        With a chosen root, the other roots are worked out without the choice.
    sizes : tuple of PostSize

    Returns
    -------
    dict of root name to SampledSpace; empty on an uncalibrated film.
    """
    if not sight.scale.calibrated:
        return {}
    return {
        root: _root(sight, root, rules, choice, sizes)
        for root in sight.roots
        if sight.frame(root) is not None
    }


def _root(sight, root, rules, choice, sizes):
    if choice.root not in (None, root):
        choice = PlanChoice()
    name = ("post_space", root, choice, sizes)
    return sight.once(name, lambda: _sample_root(sight, root, rules, choice, sizes))


def _sample_root(sight, root, rules, choice, sizes):
    chosen = next((size for size in sizes if size.name == choice.size_name), None)
    size = chosen or min(sizes, key=lambda s: (s.tip_mm, s.taper_mm_per_mm), default=_THINNEST)
    rows = depth_rows(sight, root, rules, size, choice.seal_mm)
    space = SampledSpace(root, {row.rule: row for row in rows})
    _extreme(space, NO_DEEPER, "deepest", np.min, np.argmin)
    _extreme(space, NO_SHALLOWER, "shallowest", np.max, np.argmax)
    # Without a filling end the seal is unknown, and with it any safe depth.
    if space.rows["apical_seal"].values is None:
        space.missing = space.rows["apical_seal"].missing
        space.values.pop("deepest", None)
    else:
        _from_deepest(space, sight, rules, choice)
    _set_post(space, sight, rules, choice, chosen, size, sizes)
    for row in space.rows.values():
        if row.values is not None:
            space.values[f"row:{row.rule}"] = row.values
    return space


def _extreme(space, side, name, take, pick):
    known = [r for r in space.rows.values() if r.side == side and r.values is not None]
    if known:
        stack = np.array([r.values for r in known])
        space.values[name] = take(stack, axis=0)
        space.because[name] = known[int(pick(stack[:, 0]))].rule


def _from_deepest(space, sight, rules, choice):
    deepest = np.maximum(space.values["deepest"], 0.0)
    space.values["deepest"] = deepest
    if "shallowest" in space.values:
        space.values["room"] = deepest - space.values["shallowest"]
    for row in space.rows.values():
        if row.side == NO_SHALLOWER and row.values is not None:
            space.values[f"short_of:{row.rule}"] = row.values - deepest
    orifice, top = sight.depth("orifice", space.root), reference_depth(sight, space.root)
    if orifice is not None and top is not None:
        space.values["face"] = orifice - top
        space.values["drill"] = deepest + space.values["face"]
    post_seal.sample(space, rules, choice)


def _set_post(space, sight, rules, choice, chosen, size, sizes):
    """Widths, sizes and the checks of a post set to the chosen or the deepest safe depth."""
    depth = choice.depth_mm
    if depth is None and "deepest" in space.values:
        depth = float(space.values["deepest"][0])
    lacking = widths_missing(sight, space.root)
    space.missing = tuple(dict.fromkeys((*space.missing, *lacking)))
    if not depth:
        return
    widths = None
    if not lacking:
        space.walls_to_mm = drawn_to_mm(sight, space.root)
        if depth <= space.walls_to_mm + NOTHING_MM:
            name = ("widths", space.root, depth, sizes)
            make = partial(Widths, sight, space.root, rules, depth, sizes)
            widths = sight.once(name, make)
            _widths(space, widths, depth, sizes)
    post_plan.sample(space, sight, rules, depth, choice.depth_mm is not None, chosen, size, widths)


def _widths(space, widths, depth, sizes):
    rows = widths.rows
    space.rows.update({row.rule: row for row in rows})
    stack = np.array([row.values for row in rows])
    space.values["widest"] = np.maximum(stack.min(axis=0), 0.0)
    space.because["widest"] = rows[int(np.argmin(stack[:, 0]))].rule
    for size, (margin, rule) in zip(sizes, widths.margins, strict=True):
        space.values[f"size:{size.name}"] = margin
        short = size.length_mm is not None and size.length_mm < depth
        space.because[f"size:{size.name}"] = "length" if short else rule


# -- into quantities -----------------------------------------------------------------------------


def settle(space, quantify, rules, tooth, sizes, findings=()):
    """Quantities of a sampled space.

    Parameters
    ----------
    space : SampledSpace
    quantify : callable (getter) -> dict of name to Quantity
        Applies ``getter(space)``, which gives a dict of sampled values, on the
        stencil, and on draws where needed.
    rules : Rulebook
    tooth : Tooth
    sizes : tuple of PostSize
    findings : iterable of Finding
        Of this film; those on the root's curvature become reasons.

    Returns
    -------
    PostSpace
    """
    q = quantify(lambda s: s.values)
    certainty = rules.value("verdict.certainty")
    against = post_roots.forbidden(tooth, space.root, rules)
    p = None
    if "room" in q:
        p = 0.0 if against else q["room"].probability(low=0.0)
    deepest = q.get("deepest")
    planned = post_plan.settle(space, q, rules, certainty)
    limits = tuple(_limit(row, q, rules) for row in space.rows.values())
    return PostSpace(
        root=space.root,
        limits=limits,
        deepest=deepest,
        deepest_because=space.because.get("deepest", "") if deepest else "",
        shallowest=q.get("shallowest"),
        shallowest_because=space.because.get("shallowest", ""),
        feasible=None if p is None else p >= 0.5,
        p_feasible=p,
        clashes=_clashes(q),
        widest_at_deepest=q.get("widest"),
        widest_because=space.because.get("widest", ""),
        drill_depth=q.get("drill") if deepest and deepest.value > 0 else None,
        sizes=tuple(_fit(size, space, q, certainty, against) for size in sizes),
        profile=planned.levels if planned else (),
        contraindications=tuple(f"{reason.words} ({reason.source})" for reason in against),
        missing=space.missing,
        reasons=(*against, *post_roots.reasons(space, q, rules, findings)),
        planned=planned,
        seals=post_seal.settle(space, q, rules),
    )


def _limit(row, q, rules):
    entry = rules.settings.get(row.setting) or rules.rules[row.setting]
    quantity = q.get(f"row:{row.rule}")
    return Limit(row.rule, row.side, quantity, row.words, entry.source, entry.trust, row.missing)


def _clashes(q):
    """(rule, by how much the deepest safe depth falls short of it), worst first."""
    found = [
        (name.removeprefix("short_of:"), short)
        for name, short in q.items()
        if name.startswith("short_of:") and short.value > NOTHING_MM
    ]
    return tuple(sorted(found, key=lambda pair: -pair[1].value))


_BECAUSE = {
    "width_fraction": "the part of the root's width allowed along the post",
    "wall_dentine": "dentine left beside it",
    "diameter_cap": "the largest diameter taught for this tooth",
}


def _waits(space):
    if space.missing:
        return "waits for " + ", ".join(name.replace("_", " ") for name in space.missing)
    if space.plan is None:
        return "waits for a depth"
    return f"the root's walls are drawn only to {space.walls_to_mm:.1f} mm"


def _fit(size, space, q, certainty, against):
    margin = q.get(f"size:{size.name}")
    if against:
        return Fit(size, False, 0.0, against[0].words)
    if margin is None:
        return Fit(size, False, 0.0, _waits(space))
    rule = space.because[f"size:{size.name}"]
    if rule == "length":
        return Fit(size, False, 0.0, f"too short: at most {size.length_mm:g} mm of it can be used")
    p, why = margin.probability(low=0.0), _BECAUSE[rule]
    if p >= certainty:
        words = f"fits with {margin.value:.2f} mm to spare of {why}"
    elif p <= 1 - certainty:
        words = f"too wide by {-margin.value:.2f} mm for {why}"
    else:
        words = f"too close to call for {why} ({100 * p:.0f} % sure it fits)"
    return Fit(size, p >= certainty, p, words)
