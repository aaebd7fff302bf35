"""Post space of each root: every limit, the longest safe depth, clashes, sizes that fit.

Works in two steps: :func:`sample` on a batch of inputs, :func:`settle` turns the
batch into quantities. The same sampling serves all, so two limits that share a
landmark are compared with their correlation.
"""

from dataclasses import dataclass, field

import numpy as np

from radmeasure.measurements.lengths import reference_depth
from radmeasure.model.plan import NO_DEEPER, NO_SHALLOWER, Fit, Limit, PostSpace
from radmeasure.planning.post_limits import depth_rows
from radmeasure.planning.post_widths import Widths, widths_missing


@dataclass(eq=False)
class SampledSpace:
    """Post space of one root on one sampling."""

    root: str
    rows: dict
    values: dict = field(default_factory=dict)
    because: dict = field(default_factory=dict)
    missing: tuple = ()


def sample(sight, rules, choice, sizes):
    """Sampled post space of every root whose axis can be drawn.

    Parameters
    ----------
    sight : Sight
    rules : Rulebook
    choice : PlanChoice
        A chosen seal is used; a chosen depth is checked against the limits.
    sizes : tuple of PostSize

    Returns
    -------
    dict of root name to SampledSpace; empty on an uncalibrated film.
    """
    if not sight.scale.calibrated:
        return {}
    return {
        root: _sample_root(sight, root, rules, choice, sizes)
        for root in sight.roots
        if sight.frame(root) is not None
    }


def _sample_root(sight, root, rules, choice, sizes):
    rows = depth_rows(sight, root, rules, sight.landmarks.given, choice.seal_mm)
    space = SampledSpace(root, {row.rule: row for row in rows})
    _extreme(space, rows, NO_DEEPER, "deepest", np.argmin)
    _extreme(space, rows, NO_SHALLOWER, "shallowest", np.argmax)
    # Without a filling end the seal is unknown, and with it any safe depth.
    seal = space.rows["apical_seal"]
    if seal.values is None:
        space.missing = seal.missing
        space.values.pop("deepest", None)
        return space
    deepest = np.maximum(space.values["deepest"], 0.0)
    space.values["deepest"] = deepest
    if "shallowest" in space.values:
        space.values["room"] = deepest - space.values["shallowest"]
    for row in rows:
        if row.side == NO_SHALLOWER and row.values is not None:
            space.values[f"short_of:{row.rule}"] = row.values - deepest
    _drill(sight, root, space)
    space.missing = widths_missing(sight, root)
    if not space.missing:
        depth = deepest if choice.depth_mm is None else np.full_like(deepest, choice.depth_mm)
        _widths(sight, root, rules, space, depth, sizes)
    return space


def _extreme(space, rows, side, name, pick):
    known = [r for r in rows if r.side == side and r.values is not None]
    if not known:
        return
    stack = np.array([r.values for r in known])
    space.values[name] = stack.min(axis=0) if pick is np.argmin else stack.max(axis=0)
    space.because[name] = known[int(pick(stack[:, 0]))].rule


def _drill(sight, root, space):
    orifice, top = sight.point("orifice", root), reference_depth(sight, root)
    if orifice is not None and top is not None:
        face = sight.frame(root).depth(orifice) - top
        space.values["face"] = face
        space.values["drill"] = space.values["deepest"] + face


def _widths(sight, root, rules, space, depth, sizes):
    tooth = sight.landmarks.tooth
    room = Widths(sight, root, rules, np.maximum(depth, 0.5))
    rows = room.rows(tooth, rules)
    space.rows.update({row.rule: row for row in rows})
    stack = np.array([row.values for row in rows])
    space.values["widest"] = np.maximum(stack.min(axis=0), 0.0)
    space.because["widest"] = rows[int(np.argmin(stack[:, 0]))].rule
    for size in sizes:
        margin, binding = room.margin(size, tooth, rules)
        space.values[f"size:{size.name}"] = margin
        space.because[f"size:{size.name}"] = binding


def settle(space, quantify, rules, tooth, sizes):
    """Quantities of a sampled space.

    Parameters
    ----------
    space : SampledSpace
    quantify : callable (getter) -> Quantity or None
        Applies ``getter(space)`` on the stencil, and on draws where needed.
    rules : Rulebook
    tooth : Tooth
    sizes : tuple of PostSize

    Returns
    -------
    PostSpace
    """

    def q(name):
        return quantify(lambda s: s.values.get(name))

    limits = tuple(_limit(row, quantify, rules) for row in space.rows.values())
    against = contraindications(tooth, space.root, rules)
    room, deepest = q("room"), q("deepest")
    p = None if room is None else room.probability(low=0.0)
    if against:
        p = 0.0 if p is not None else None
    return PostSpace(
        root=space.root,
        limits=limits,
        deepest=deepest,
        deepest_because=space.because.get("deepest", "") if deepest else "",
        shallowest=q("shallowest"),
        shallowest_because=space.because.get("shallowest", ""),
        feasible=None if p is None else p >= 0.5,
        p_feasible=p,
        clashes=_clashes(space, quantify),
        widest_at_deepest=q("widest"),
        widest_because=space.because.get("widest", ""),
        drill_depth=q("drill"),
        sizes=tuple(_fit(size, space, q, rules) for size in sizes),
        profile=(),
        contraindications=against,
        missing=space.missing,
    )


def _limit(row, quantify, rules):
    entry = rules.settings.get(row.setting) or rules.rules[row.setting]
    quantity = quantify(lambda s: s.rows[row.rule].values if row.rule in s.rows else None)
    return Limit(row.rule, row.side, quantity, row.words, entry.source, entry.trust, row.missing)


def _clashes(space, quantify):
    """(rule, by how much the deepest safe depth falls short of it), worst first."""
    found = []
    for name in space.values:
        if name.startswith("short_of:"):
            short = quantify(lambda s, name=name: s.values.get(name))
            if short.value > 0:
                found.append((name.split(":", 1)[1], short))
    return tuple(sorted(found, key=lambda pair: -pair[1].value))


_BECAUSE = {
    "width_fraction": "a third of the root's width along the post",
    "wall_dentine": "dentine left beside it",
    "diameter_cap": "the cautious largest diameter for this tooth",
}


def _fit(size, space, q, rules):
    margin = q(f"size:{size.name}")
    if margin is None:
        lacking = ", ".join(space.missing) or "the canal's walls"
        return Fit(size, False, 0.0, f"waits for {lacking}")
    p = margin.probability(low=0.0)
    certainty = rules.value("verdict.certainty")
    rule = _BECAUSE[space.because[f"size:{size.name}"]]
    if p >= certainty:
        words = f"fits with {margin.value:.2f} mm to spare of {rule}"
    elif p <= 1 - certainty:
        words = f"too wide by {-margin.value:.2f} mm for {rule}"
    else:
        words = f"too close to call for {rule} ({100 * p:.0f} % sure it fits)"
    return Fit(size, p >= certainty, p, words)


def contraindications(tooth, root, rules):
    """Why a root of a molar takes no post by the rule (tuple of str)."""
    if tooth.kind != "molar" or root == "single":
        return ()
    allowed = rules.value("post.molar_roots")["upper" if tooth.upper else "lower"]
    if root in allowed:
        return ()
    source = rules.setting("post.molar_roots").source
    return (f"no post in the {root} root of this molar, only in the {allowed[0]} one ({source})",)
