"""What leaving more or less filling at the apex gives and costs."""

import numpy as np

from radmeasure.model.plan import NO_DEEPER, NO_SHALLOWER, SealOption


def sample(space, rules, choice):
    """Put the deepest safe depth under each seal into ``space``, and what it falls short of."""
    row = space.rows["apical_seal"]
    usual = rules.value("post.seal")
    used = usual if choice.seal_mm is None else choice.seal_mm
    end = row.values + used
    space.values["seal_end"] = end
    others = {
        r.rule: r.values
        for r in space.rows.values()
        if r.side == NO_DEEPER and r is not row and r.values is not None
    }
    names = ("apical_seal", *others)
    seals = sorted({usual, rules.value("post.seal_least"), used}, reverse=True)
    depths = {}
    for seal in seals:
        stack = np.array([end - seal, *others.values()])
        depths[seal] = np.maximum(stack.min(axis=0), 0.0)
        space.because[f"seal:{seal:g}"] = names[int(np.argmin(stack[:, 0]))]
    for seal, depth in depths.items():
        name = f"seal:{seal:g}"
        space.values[name] = depth
        space.values[f"{name}:gained"] = depth - depths[usual]
        # The drill is set to a number: what is left below it is as unsure as the filling's end.
        space.values[f"{name}:left"] = end - depth[0]
        for lower in space.rows.values():
            if lower.side == NO_SHALLOWER and lower.values is not None:
                space.values[f"{name}:short:{lower.rule}"] = lower.values - depth
    space.because["seals"] = tuple(seals)


def settle(space, q, rules):
    """Tuple of SealOption, longest seal first; empty while the filling's end is not placed."""
    return tuple(_option(seal, space, q, rules) for seal in space.because.get("seals", ()))


def _option(seal, space, q, rules):
    name = f"seal:{seal:g}"
    least = rules.setting("post.seal_least")
    entry = least if seal <= least.value else rules.setting("post.seal")
    prefix = f"{name}:short:"
    short = [
        (key.removeprefix(prefix), quantity)
        for key, quantity in q.items()
        if key.startswith(prefix) and quantity.value > 0
    ]
    return SealOption(
        seal_mm=seal,
        deepest=q[name],
        deepest_because=space.because[name],
        gained=q[f"{name}:gained"],
        short_of=tuple(sorted(short, key=lambda pair: -pair[1].value)),
        least_mm=least.value,
        p_least=q[f"{name}:left"].probability(low=least.value),
        words=entry.why,
        source=entry.source,
        trust=entry.trust,
    )
