"""What changed between two films of one tooth, and whether it is more than error.

Each film is measured on its own scale with its own landmarks, and both are taken as
independent. What they share (the same ball, the same hand) would partly cancel, so the
uncertainty is rather too large than too small.
"""

import math

from radmeasure.model.comparison import Change
from radmeasure.quantity import K95, difference_of_two, normal

BY_CROWN = "root_length_by_crown"


def changes_between(earlier, later):
    """Every reading that both films have, and the root's length by the rule of three.

    Readings given for every mm of depth are left out: with another angulation a
    millimetre down the root is not the same place.

    Parameters
    ----------
    earlier, later : iterable of Reading
        Of two evaluations of the same tooth.

    Returns
    -------
    tuple of Change
    """
    before = {r.key: r for r in earlier if r.quantity is not None and r.depth_mm is None}
    after = {r.key: r for r in later if r.quantity is not None and r.depth_mm is None}
    found = [_change(r, after[key]) for key, r in before.items() if key in after]
    for id_, root, side, depth in before:
        if id_ == "root_length":
            keys = ((id_, root, side, depth), ("crown_length", root, side, depth))
            if all(key in films for key in keys for films in (before, after)):
                pairs = [tuple(films[key].quantity for key in keys) for films in (before, after)]
                found.append(_by_crown(root, *pairs))
    return tuple(found)


def _change(earlier, later):
    apart = difference_of_two(later.quantity, earlier.quantity)
    return Change(
        earlier.id,
        earlier.root,
        earlier.side,
        earlier.unit,
        earlier.quantity,
        later.quantity,
        apart,
        abs(apart.value) > K95 * apart.u,
    )


def _by_crown(root, earlier, later):
    """Root length brought to one angulation by the crown, which is taken as unchanged.

    Later root x earlier crown / later crown (Brezniak N et al., Angle Orthod
    2004;74:786-791, rule of three, read). A scale common to root and crown of one film
    cancels, so this needs no calibration.
    """
    (root1, crown1), (root2, crown2) = earlier, later
    ratio = crown1.value / crown2.value
    corrected = root2.value * ratio
    of_later = ratio * (root2.contributions - root2.value / crown2.value * crown2.contributions)
    of_earlier = root2.value / crown2.value * crown1.contributions
    value = corrected - root1.value
    u_later, u_crown = (math.sqrt(float(p @ p)) for p in (of_later, of_earlier))
    moved = of_earlier - root1.contributions
    u = math.hypot(u_later, math.sqrt(float(moved @ moved)))
    return Change(
        BY_CROWN,
        root,
        None,
        "mm",
        root1,
        normal(corrected, math.hypot(u_later, u_crown), "later film by the crown"),
        normal(value, u, "both films"),
        abs(value) > K95 * u,
    )
