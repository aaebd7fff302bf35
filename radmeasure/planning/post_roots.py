"""Which root takes a post, and why not the others."""

from radmeasure.model.plan import AGAINST, OPEN, Reason
from radmeasure.quantity import FAILS, TOO_CLOSE, normal


def forbidden(tooth, root, rules):
    """Rules by which this root takes no post at all, as a tuple of Reason."""
    found = []
    if tooth.primary:
        entry = rules.setting("post.primary")
        found.append(_against(entry, str(entry.value)))
    if tooth.kind == "molar" and root != "single":
        entry = rules.setting("post.molar_roots")
        allowed = entry.value["upper" if tooth.upper else "lower"]
        if root not in allowed:
            only = " or ".join(allowed)
            words = f"by the rule for molars no post in the {root} root, only in the {only} one"
            found.append(_against(entry, words))
    return tuple(found)


def _against(entry, words):
    return Reason(entry.id, AGAINST, words, source=entry.source, trust=entry.trust)


def reasons(space, q, rules, findings):
    """Curvature and thin walls of a root as reasons against a post there, or open ones."""
    found = [*_curvature(space.root, rules, findings), *_thin_walls(space, q, rules)]
    return tuple(found)


def severe_curvature(root, findings):
    """The finding on a root that its post space rests on, or None."""
    return next((f for f in findings if f.rule == "curvature.severe" and f.root == root), None)


def _curvature(root, rules, findings):
    severe = severe_curvature(root, findings)
    if severe is None:
        return
    low, high = rules.value("curvature.classes")[2:4]
    entry = rules.setting("curvature.classes")
    if severe.verdict == FAILS:
        stance, words = AGAINST, "curvature in the severe class"
    elif low < severe.value < high:
        stance, words = OPEN, "curvature between the classes moderate and severe"
    elif severe.verdict == TOO_CLOSE and severe.value > low:
        stance, words = OPEN, "curvature about the severe class"
    elif severe.verdict == TOO_CLOSE:
        stance, words = OPEN, "curvature not known well enough to rule out the severe class"
    else:
        return
    angle = normal(severe.value, severe.u, "curvature")
    yield Reason(severe.rule, stance, words, angle, "deg", entry.source, entry.trust)


def _thin_walls(space, q, rules):
    """Dentine that stops a post sooner than every other rule and than what is asked for."""
    row, wanted = q.get("row:dentine"), q.get("shallowest")
    if row is None or space.because.get("deepest") != "dentine":
        return
    if wanted is not None and row.value >= wanted.value:
        return
    limit = space.rows["dentine"]
    entry = rules.setting(limit.setting)
    yield Reason("dentine", AGAINST, limit.words, row, "mm", entry.source, entry.trust)


def root_for_post(spaces, choice=None):
    """The root a post is planned in: the chosen one, else the admitted one with most depth.

    Parameters
    ----------
    spaces : iterable of PostSpace
    choice : PlanChoice, optional

    Returns
    -------
    str or None
        None when no root is admitted by the rules or none is known well enough.
    """
    spaces = tuple(spaces)
    if choice is not None and choice.root in {space.root for space in spaces}:
        return choice.root
    admitted = [space for space in spaces if space.admitted]
    if len(admitted) == 1:
        return admitted[0].root
    known = [space for space in admitted if space.deepest is not None]
    return max(known, key=lambda space: space.deepest.value).root if known else None
