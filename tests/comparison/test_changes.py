"""Changes between two films: combined uncertainty, and the root by the rule of three."""

import numpy as np
import pytest

from radmeasure.comparison.changes import BY_CROWN, changes_between
from radmeasure.model.reading import Reading
from radmeasure.quantity import Quantity, normal


def reading(id_, value, u=0.1, root="single", side=None, depth=None):
    quantity = None if value is None else normal(value, u)
    return Reading(id_, root, side, "mm", depth, quantity)


def test_uncertainties_of_two_films_add_in_squares():
    """JCGM 100:2008, 5.1.2: independent contributions; 3-4-5 by hand."""
    earlier = [reading("cej_to_crest", 1.2, 0.3, None, "mesial")]
    later = [reading("cej_to_crest", 2.4, 0.4, None, "mesial")]
    (change,) = changes_between(earlier, later)
    assert change.change.value == pytest.approx(1.2) and change.change.u == pytest.approx(0.5)
    assert change.change.interval95 == pytest.approx((1.2 - 0.98, 1.2 + 0.98), abs=1e-3)
    assert change.exceeds and change.side == "mesial"


@pytest.mark.parametrize(("apart", "exceeds"), [(0.27, False), (0.28, True)])
def test_a_change_counts_from_its_own_95_percent_on(apart, exceeds):
    """1.96 x hypot(0.1, 0.1) = 0.277."""
    (change,) = changes_between(
        [reading("lesion_diameter", 4.0)], [reading("lesion_diameter", 4.0 - apart)]
    )
    assert change.exceeds is exceeds


def test_only_what_both_films_have_is_compared():
    """Missing on either, another root, or given for every mm of depth: left out."""
    earlier = [
        reading("tooth_length", 20.0),
        reading("post_gap", None),
        reading("root_width", 3.0, depth=2.0),
        reading("crown_length", 9.0, root="mesial"),
    ]
    later = [
        reading("post_gap", 0.3),
        reading("root_width", 3.1, depth=2.0),
        reading("crown_length", 9.0, root="distal"),
    ]
    assert changes_between(earlier, later) == ()


def test_rule_of_three_by_the_published_example():
    """Brezniak 2004 (read): crown 10.0 root 15.0, then 10.5 and 15.0 -> 14.286."""
    films = [
        [reading("crown_length", crown, 0.1), reading("root_length", 15.0, 0.1)]
        for crown in (10.0, 10.5)
    ]
    found = {c.id: c for c in changes_between(*films)}[BY_CROWN]
    assert found.later.value == pytest.approx(14.286, abs=5e-4)
    assert found.change.value == pytest.approx(14.286 - 15.0, abs=5e-4)


def film(crown, root, parts):
    """Readings whose uncertainties come from ``parts``: (scale, crown, root) contributions."""
    scale, of_crown, of_root = parts
    sources = ("scale", "crown", "root")
    rows = (
        ("crown_length", crown, [scale * crown, of_crown, 0.0]),
        ("root_length", root, [scale * root, 0.0, of_root]),
    )
    for id_, value, row in rows:
        row = np.array(row)
        quantity = Quantity(value, float(np.hypot.reduce(row)), (0, 0), row, sources)
        yield Reading(id_, "single", None, "mm", quantity=quantity)


def test_uncertainty_of_the_rule_of_three_agrees_with_draws():
    """Outside reference: 200 000 draws of all inputs (JCGM 101:2008), each film its own scale."""
    films = ((10.0, 15.0, (0.02, 0.15, 0.2)), (10.5, 14.2, (0.03, 0.15, 0.25)))
    (found,) = (c for c in changes_between(*(list(film(*f)) for f in films)) if c.id == BY_CROWN)
    rng = np.random.default_rng(1)
    drawn = []
    for crown, root, (scale, of_crown, of_root) in films:
        s, c, r = rng.standard_normal((3, 200_000))
        drawn.append(
            (crown + s * scale * crown + c * of_crown, root + s * scale * root + r * of_root)
        )
    (c1, r1), (c2, r2) = drawn
    # The earlier root is in mm of its own scale, so that scale stays in the change.
    assert found.change.u == pytest.approx(np.std(r2 * c1 / c2 - r1), rel=0.02)


def test_a_scale_of_the_later_film_cancels_in_the_rule_of_three():
    one = list(film(10.0, 15.0, (0.0, 0.1, 0.1)))
    sure, unsure = (list(film(10.5, 15.0, (scale, 0.1, 0.1))) for scale in (0.0, 0.2))
    us = [
        next(c for c in changes_between(one, later) if c.id == BY_CROWN).change.u
        for later in (sure, unsure)
    ]
    assert us[0] == pytest.approx(us[1])
