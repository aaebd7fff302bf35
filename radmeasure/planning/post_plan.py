"""A post set to one depth: every rule held against it, and the dentine beside it."""

from dataclasses import dataclass

import numpy as np

from radmeasure.measurements.bone import SIDES, side_depth
from radmeasure.measurements.canal import canal_of
from radmeasure.measurements.lengths import apex_depth, crest_depth
from radmeasure.model.plan import (
    LEAST_TOOTH,
    NO_DEEPER,
    NO_WIDER,
    Check,
    PlannedPost,
    PostLevel,
    PostSize,
)
from radmeasure.quantity import verdict


@dataclass(frozen=True)
class PlannedGeometry:
    """What is fixed of a planned post: numbers without uncertainty.

    ``levels`` holds (depth, diameter, across, along) mm of the levels shown.
    """

    depth_mm: float
    chosen: bool
    size: PostSize | None
    levels: tuple = ()


def sample(space, sight, rules, depth_mm, is_chosen, chosen, size, widths):
    """Put a post of ``depth_mm`` into ``space``.

    Parameters
    ----------
    space : SampledSpace
    sight : Sight
    rules : Rulebook
    depth_mm : float
    is_chosen : bool
        True when the clinician chose the depth.
    chosen : PostSize or None
        The chosen size, held against the width rules.
    size : PostSize
        The size the dentine beside the post is shown for.
    widths : Widths or None
        Down to ``depth_mm``; None when the walls are not drawn that far.
    """
    values = space.values
    for row in space.rows.values():
        if row.values is not None and row.side != NO_WIDER:
            room = row.values - depth_mm
            values[f"check:{row.rule}"] = room if row.side == NO_DEEPER else -room
    seal = space.rows["apical_seal"]
    if seal.values is not None:
        values["plan:residual"] = values["seal_end"] - depth_mm
    if "face" in values:
        values["plan:drill"] = values["face"] + depth_mm
    canal, crest = canal_of(sight, space.root), crest_depth(sight, space.root)
    if canal is not None and crest is not None:
        end = canal.place_at(np.full(len(crest), depth_mm))[:, 1]
        values["plan:in_bone"] = end - crest
    _solid_tooth(space, sight, rules, depth_mm)
    levels = ()
    if widths is not None:
        if chosen is not None:
            for rule, margin in widths.rule_margins(chosen).items():
                values[f"check:{rule}"] = margin
        levels = _levels(space, widths.beside, size)
    space.plan = PlannedGeometry(depth_mm, is_chosen, chosen, levels)


def _solid_tooth(space, sight, rules, depth_mm):
    """Sound tooth from the lower margin to the apex, over what McLean's sum asks for."""
    margins = [side_depth(sight, space.root, "margin", side) for side in SIDES]
    if any(m is None for m in margins):
        return
    solid = apex_depth(sight, space.root) - np.maximum(*margins)
    space.values["check:solid_tooth"] = solid - (rules.value("post.solid_tooth") + depth_mm)


def _levels(space, beside, size):
    depths = beside.depths
    diameter = size.diameter_mm(depths[-1] - depths)
    mesial, distal = beside.dentine(diameter)
    # Levels lie every half millimetre; every second one and the end are shown.
    shown = sorted({*range(0, len(depths), 2), len(depths) - 1})
    for n, i in enumerate(shown):
        space.values[f"level:{n}:mesial"] = mesial[:, i]
        space.values[f"level:{n}:distal"] = distal[:, i]
    return tuple(
        tuple(float(v) for v in (depths[i], diameter[i], beside.across[0, i], beside.level[0, i]))
        for i in shown
    )


def settle(space, q, rules, certainty):
    """The PlannedPost of a sampled space, or None."""
    plan = space.plan
    if plan is None:
        return None
    levels = tuple(
        PostLevel(*place, q[f"level:{n}:mesial"], q[f"level:{n}:distal"])
        for n, place in enumerate(plan.levels)
    )
    return PlannedPost(
        depth_mm=plan.depth_mm,
        chosen=plan.chosen,
        size=plan.size,
        residual=q.get("plan:residual"),
        drill=q.get("plan:drill"),
        in_bone=q.get("plan:in_bone"),
        checks=tuple(_checks(space, q, rules, certainty)),
        levels=levels,
    )


def _checks(space, q, rules, certainty):
    for rule, margin in q.items():
        if not rule.startswith("check:"):
            continue
        rule = rule.removeprefix("check:")
        row = space.rows.get(rule)
        entry_id = row.setting if row else "post.solid_tooth"
        entry = rules.settings.get(entry_id) or rules.rules[entry_id]
        side, words = (row.side, row.words) if row else (LEAST_TOOTH, entry.why)
        p = margin.probability(low=0.0)
        decided = verdict(p, certainty)
        yield Check(rule, side, margin, p, decided, words, entry.source, entry.trust)
