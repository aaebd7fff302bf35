"""Properties of every plan, on drawn teeth of many shapes."""

from dataclasses import replace

import pytest
from drawn_tooth import DrawnRoot, DrawnTooth, mirrored
from hypothesis import given, settings
from hypothesis import strategies as st
from plan_made import evaluated

QUICK = settings(max_examples=25, deadline=None)


@st.composite
def roots(draw):
    """Roots that taper or not, filled to near the apex, straight or bent."""
    length = draw(st.floats(10.0, 18.0))
    top = draw(st.floats(3.0, 7.0))
    straight = draw(st.one_of(st.none(), st.floats(3.0, 8.0)))
    return DrawnRoot(
        length=length,
        orifice=draw(st.floats(-0.5, 1.5)),
        straight=straight,
        radius=draw(st.floats(8.0, 40.0)),
        turns=draw(st.sampled_from((-1, 1))),
        width=(top, top * draw(st.floats(0.5, 1.0))),
        canal=(draw(st.floats(0.4, 1.2)), 0.3),
        off_centre=draw(st.floats(-0.4, 0.4)),
        filling=(0.0, length - draw(st.floats(1.5, 3.0))),
    )


@st.composite
def teeth(draw):
    crest = draw(st.floats(0.0, 4.0))
    return DrawnTooth(
        fdi=draw(st.sampled_from(("11", "13", "24", "35", "42"))),
        crown=draw(st.floats(6.0, 11.0)),
        crest=(crest, crest + draw(st.floats(-1.0, 1.0))),
        margin=(draw(st.floats(-4.0, 0.0)), draw(st.floats(-4.0, 0.0))),
        roots={"single": draw(roots())},
    )


def space(tooth, **more):
    return evaluated(tooth, **more).post_space[0]


@QUICK
@given(teeth(), st.floats(3.0, 8.0), st.floats(0.0, 3.0))
def test_raising_the_seal_never_deepens_the_safe_depth(tooth, seal, more):
    """More filling kept, no more depth."""
    assert (
        space(tooth, seal_mm=seal + more).deepest.value
        <= space(tooth, seal_mm=seal).deepest.value + 1e-9
    )


@QUICK
@given(teeth(), st.floats(0.05, 0.6))
def test_thinner_dentine_never_widens_the_post(tooth, less):
    """Both walls nearer the canal by the same amount: nothing wider, nothing deeper fits."""
    drawn = tooth.roots["single"]
    width = tuple(w - 2 * less for w in drawn.width)
    thinner = replace(tooth, roots={"single": replace(drawn, width=width)})
    depth = 5.0
    wide, narrow = space(tooth, depth_mm=depth), space(thinner, depth_mm=depth)
    if wide.widest_at_deepest is None or narrow.widest_at_deepest is None:
        return
    assert narrow.widest_at_deepest.value <= wide.widest_at_deepest.value + 1e-9
    a, b = narrow.limit("dentine"), wide.limit("dentine")
    # Walls square to a bent canal end at another level when they lie nearer to it; where
    # dentine never runs thin the row only says how far they are drawn.
    if "walls are drawn" not in a.words:
        assert a.quantity.value <= b.quantity.value + 1e-6
    fit = {f.size.name for f in wide.sizes if f.p >= 0.5}
    assert {f.size.name for f in narrow.sizes if f.p >= 0.5} <= fit


@QUICK
@given(teeth())
def test_mirrored_films_give_mirrored_plans(tooth):
    """A film seen from behind, of the other side's tooth: the same plan to the last digit."""
    landmarks = tooth.landmarks()
    here, there = evaluated(landmarks), evaluated(mirrored(landmarks))
    assert there.landmarks.tooth.fdi != here.landmarks.tooth.fdi
    for a, b in zip(here.post_space, there.post_space, strict=True):
        assert_same_space(a, b)
    for a, b in zip(here.gains, there.gains, strict=True):
        for one, other in zip(a.options, b.options, strict=True):
            for side in ("mesial", "distal"):
                assert one.ferrule[side].value == pytest.approx(other.ferrule[side].value)
            assert one.crown_root.value == pytest.approx(other.crown_root.value)


def assert_same_space(a, b):
    assert a.deepest_because == b.deepest_because
    assert [r.rule for r in a.limits] == [r.rule for r in b.limits]
    for one, other in zip(a.limits, b.limits, strict=True):
        assert (one.quantity is None) == (other.quantity is None)
        if one.quantity is not None:
            assert one.quantity.value == pytest.approx(other.quantity.value, abs=1e-4)
            assert one.quantity.u == pytest.approx(other.quantity.u, rel=1e-3, abs=1e-4)
    assert [f.fits for f in a.sizes] == [f.fits for f in b.sizes]
    for one, other in zip(a.profile, b.profile, strict=True):
        assert one.dentine_mesial.value == pytest.approx(other.dentine_mesial.value, abs=1e-4)
        assert one.dentine_distal.value == pytest.approx(other.dentine_distal.value, abs=1e-4)


@QUICK
@given(teeth(), st.floats(-25.0, 25.0))
def test_turning_the_film_changes_nothing(tooth, degrees):
    """The plan lives in the tooth's own frame."""
    a, b = space(tooth), space(replace(tooth, turn_deg=degrees))
    assert a.deepest.value == pytest.approx(b.deepest.value, abs=1e-3)
    assert a.deepest_because == b.deepest_because


@QUICK
@given(teeth())
def test_the_safe_depth_is_the_least_of_the_upper_limits(tooth):
    """And every lower rule that asks for more is listed as a clash by just that much."""
    found = space(tooth)
    upper = {r.rule: r.quantity.value for r in found.limits if r.side == "no_deeper"}
    lower = {r.rule: r.quantity.value for r in found.limits if r.side == "no_shallower"}
    assert found.deepest.value == pytest.approx(max(0.0, min(upper.values())))
    assert upper[found.deepest_because] == min(upper.values())
    clashes = {rule: short.value for rule, short in found.clashes}
    for rule, value in lower.items():
        short = value - found.deepest.value
        assert (rule in clashes) == (short > 0.005)
        if rule in clashes:
            assert clashes[rule] == pytest.approx(short)


@QUICK
@given(teeth(), st.floats(2.0, 7.0), st.sampled_from(("parallel 0.9", "tapered 0.8 / 4 %")))
def test_deeper_posts_never_have_more_room(tooth, depth, name):
    """Going deeper never makes a size fit better, and never leaves more filling."""
    a, b = (space(tooth, depth_mm=d, size_name=name) for d in (depth, depth + 1.0))
    fit_a, fit_b = ({f.size.name: f for f in s.sizes}[name] for s in (a, b))
    for rule in ("width_fraction", "wall_dentine", "diameter_cap"):
        one, other = a.planned.check(rule), b.planned.check(rule)
        if one is not None and other is not None:
            assert other.margin.value <= one.margin.value + 0.02
    if fit_b.fits and fit_a.p > 0:
        assert fit_a.p >= fit_b.p - 0.05
    assert b.planned.residual.value < a.planned.residual.value
