"""The chosen post, the seal's price, sizes, roots and the strict figures."""

from dataclasses import replace
from types import MappingProxyType

import pytest
from drawn_tooth import DrawnRoot, DrawnTooth
from plan_made import SIZES, evaluated, limit_mm, rules, space_of

from radmeasure.files.rulebook import read_rulebook
from radmeasure.model.case import PlanChoice
from radmeasure.model.plan import AGAINST, OPEN, PostSize
from radmeasure.planning.post_roots import root_for_post

CENTRAL = DrawnTooth(
    margin=(-3.0, -2.0), given={"planned_crown_mm": 10.5}, roots={"single": DrawnRoot()}
)


def with_settings(**changes):
    """The shipped rulebook with settings replaced (dots written as __)."""
    settings = dict(rules().settings)
    for name, value in changes.items():
        id_ = name.replace("__", ".")
        settings[id_] = replace(settings[id_], value=value)
    return replace(rules(), settings=MappingProxyType(settings))


# -- the chosen depth -----------------------------------------------------------------------------


def test_a_chosen_depth_is_held_against_every_rule():
    """8.5 mm in a root of 13: half a millimetre too deep for the seal, two short of the crown."""
    planned = space_of(CENTRAL, depth_mm=8.5).planned
    assert planned.chosen
    margins = {check.rule: check.margin.value for check in planned.checks}
    assert margins["apical_seal"] == pytest.approx(-0.5, abs=0.01)
    assert margins["crown_height"] == pytest.approx(-2.0, abs=0.01)
    assert margins["beyond_crest"] == pytest.approx(4.5, abs=0.01)
    assert planned.check("crown_height").verdict == "fails"
    assert planned.check("beyond_crest").verdict == "meets"
    assert planned.residual.value == pytest.approx(4.5, abs=0.01)


def test_least_solid_tooth_for_the_chosen_post():
    """2.5 + 2 + 4 + post (McLean 1998, read): from the lower margin 15 mm, 8.5 + 7 asked for."""
    check = space_of(CENTRAL, depth_mm=7.0).planned.check("solid_tooth")
    assert check.side == "least_tooth"
    assert check.margin.value == pytest.approx(15.0 - 15.5, abs=0.01)
    assert "McLean" in check.source


def test_stopping_exactly_at_a_limit_is_too_close_to_call():
    """A drill set to the nominal limit breaks it in half of the cases (JCGM 106:2012)."""
    space = space_of(CENTRAL)
    check = space.planned.check("apical_seal")
    assert check.p == pytest.approx(0.5, abs=0.01) and check.verdict == "too_close"
    # At the depth that is sure, the rule is kept with 95 %.
    sure = space_of(CENTRAL, depth_mm=space.sure_mm).planned.check("apical_seal")
    assert sure.p == pytest.approx(0.95, abs=0.005)


def test_a_chosen_root_leaves_the_other_roots_alone():
    """Depth and seal chosen for the distal root do not touch the mesial one."""
    roots = {
        name: DrawnRoot(length=15.0, filling=(0.0, 15.0), at=at, width=(4.5, 3.5))
        for name, at in (("mesial", 2.5), ("distal", -2.5))
    }
    tooth = DrawnTooth(fdi="46", crown=7.5, roots=roots)
    mesial, distal = evaluated(tooth, root="distal", depth_mm=6.0, seal_mm=4.0).post_space
    assert distal.planned.chosen and distal.planned.depth_mm == 6.0
    assert not mesial.planned.chosen
    assert len(mesial.seals) == 2 and mesial.limit("apical_seal").words.startswith("leaves 5")


# -- the seal -------------------------------------------------------------------------------------


def test_what_leaving_4_mm_gains_and_costs():
    """0.67 mm gained until the middle third stops the post; the seal is then less sure."""
    five, four = space_of(CENTRAL).seals
    assert (five.seal_mm, four.seal_mm) == (5.0, 4.0)
    assert five.gained.value == 0 and four.gained.value == pytest.approx(0.667, abs=0.01)
    assert four.deepest_because == "middle_third"
    assert dict(four.short_of)["crown_height"].value == pytest.approx(1.833, abs=0.01)
    # At 5 mm the least seal is all but sure to be left, at 4 mm it is not.
    assert five.p_least > 0.99 and four.p_least < 0.9
    assert "hard" in four.words and four.source


def test_a_chosen_seal_stands_among_the_options():
    """4.5 mm chosen: three options, longest seal first, and the row says what is left."""
    space = space_of(CENTRAL, seal_mm=4.5)
    assert [option.seal_mm for option in space.seals] == [5.0, 4.5, 4.0]
    assert space.deepest.value == pytest.approx(8.5, abs=0.01)
    assert space.limit("apical_seal").words == "leaves 4.5 mm of filling"


# -- sizes ----------------------------------------------------------------------------------------


def test_sizes_fit_up_to_the_cap_and_say_why_not():
    """Upper central: parallel 1.1 fits, 1.25 does not, for the largest diameter taught."""
    fits = {fit.size.name: fit for fit in space_of(CENTRAL).sizes}
    assert fits["parallel 1.1"].fits and not fits["parallel 1.25"].fits
    assert "0.15" in fits["parallel 1.25"].because and "largest" in fits["parallel 1.25"].because
    assert [fit.size for fit in space_of(CENTRAL).sizes] == list(SIZES)


def test_a_tapered_size_is_judged_at_its_thickest():
    """0.8 at the tip and 4 % over 8 mm is 1.12 at the root face: over the cap of 1.1."""
    fits = {fit.size.name: fit for fit in space_of(CENTRAL).sizes}
    assert not fits["tapered 0.8 / 4 %"].fits
    assert fits["tapered 0.6 / 2 %"].fits


def test_a_size_too_short_for_the_depth_does_not_fit():
    """A post that can be used for 6 mm cannot fill 8."""
    short = PostSize("short", 0.9, length_mm=6.0)
    (fit,) = space_of(CENTRAL, sizes=(short,)).sizes
    assert not fit.fits and "too short" in fit.because
    (fit,) = space_of(CENTRAL, sizes=(short,), depth_mm=6.0).sizes
    assert fit.fits


def test_a_chosen_size_is_checked_by_each_width_rule():
    """1.25 mm: 0.15 too wide for the cap, yet within a third of the root."""
    planned = space_of(CENTRAL, size_name="parallel 1.25").planned
    assert planned.check("diameter_cap").verdict == "fails"
    assert planned.check("width_fraction").margin.value > 0


# -- strict and generous figures ------------------------------------------------------------------


def test_other_figures_are_named_and_not_applied():
    """1.75 mm, half the width and the 1982 diameters stand in the rulebook, unused."""
    value = rules().value
    assert value("post.dentine_strict") == 1.75 and value("post.width_fraction_half") == 0.5
    assert value("post.cap_shillingburg")["maxillary_central_incisor"] == 1.7
    assert value("post.use_dentine") == "post.dentine"
    for name in ("dentine_strict", "cap_shillingburg"):
        assert rules().setting(f"post.{name}").trust == "memory"


def test_a_practice_may_apply_the_strict_figures(tmp_path):
    """Its own rulebook names the entry, and the limit's source follows."""
    own = tmp_path / "own.toml"
    own.write_text(
        '[post.use_dentine]\nvalue = "post.dentine_strict"\n'
        '[post.use_cap]\nvalue = "post.cap_shillingburg"\n'
        '[post.use_width_fraction]\nvalue = "post.width_fraction_half"\n'
    )
    space = space_of(CENTRAL, rulebook=read_rulebook(own))
    assert limit_mm(space, "diameter_cap") == 1.7
    assert "Halle" in space.limit("dentine").source and "1.75" in space.limit("dentine").words
    assert "Morgano" in space.limit("width_fraction").source
    usual = space_of(CENTRAL)
    half = limit_mm(space, "width_fraction") / limit_mm(usual, "width_fraction")
    assert half == pytest.approx(0.5 / 0.3333, rel=0.15)  # at another depth of the post


def test_diameters_of_1982_by_root():
    """Palatal roots of upper molars 1.3, lower canines 1.5 (Shillingburg 1982, memory)."""
    book = with_settings(post__use_cap="post.cap_shillingburg")
    roots = {"palatal": DrawnRoot(), "mesiobuccal": DrawnRoot(at=2.0)}
    found = evaluated(DrawnTooth(fdi="26", crown=7.5, roots=roots), rulebook=book)
    caps = {space.root: limit_mm(space, "diameter_cap") for space in found.post_space}
    assert caps == {"palatal": 1.3, "mesiobuccal": 1.1}
    assert limit_mm(space_of(DrawnTooth(fdi="33"), rulebook=book), "diameter_cap") == 1.5


# -- roots ----------------------------------------------------------------------------------------


def fir():
    """Lower first molar: distal root straight, mesial root curved 24 degrees by Schneider."""
    mesial = DrawnRoot(
        length=13.0,
        straight=4.0,
        radius=9.0 / 0.8378,  # an arc of 48 degrees over the last 9 mm: 24 by Schneider
        filling=(0.0, 12.5),
        width=(3.4, 1.8),
        canal=(0.6, 0.4),
        at=2.5,
    )
    distal = DrawnRoot(length=12.7, filling=(0.0, 12.2), width=(4.5, 3.2), at=-2.5)
    return DrawnTooth(fdi="36", crown=7.5, roots={"mesial": mesial, "distal": distal})


def test_fir_which_root_and_why_not_the_other():
    """Distal at most 7 mm by rule, 5.2 mm of filling left; mesial: rule, curvature, thin wall."""
    mesial, distal = evaluated(fir()).post_space
    assert root_for_post((mesial, distal)) == "distal"
    assert distal.deepest.value == pytest.approx(7.0) and distal.deepest_because == "molar_depth"
    assert distal.planned.residual.value == pytest.approx(5.2, abs=0.05)
    assert not distal.reasons
    reasons = {reason.id: reason for reason in mesial.reasons}
    assert reasons["post.molar_roots"].stance == AGAINST
    assert reasons["curvature.severe"].stance == OPEN
    assert "between the classes" in reasons["curvature.severe"].words
    assert reasons["curvature.severe"].quantity.value == pytest.approx(24.0, abs=1.0)
    assert not any(fit.fits for fit in mesial.sizes)
    assert all(reason.source for reason in mesial.reasons)


def test_thin_walls_are_named_where_they_stop_the_post():
    """A root whose dentine runs out first gives that as a reason, with its depth."""
    thin = DrawnRoot(width=(3.4, 1.8), canal=(0.6, 0.4))
    space = space_of(DrawnTooth(roots={"single": thin}))
    assert space.deepest_because == "dentine"
    (reason,) = space.reasons
    assert reason.id == "dentine" and reason.quantity.value == pytest.approx(
        limit_mm(space, "dentine")
    )


def test_severe_curvature_stands_against():
    """An arc of 70 degrees is 35 by Schneider: in the severe class."""
    bent = DrawnRoot(length=13.0, straight=5.0, radius=8.0 / 1.2217)
    (reason, *_) = space_of(DrawnTooth(fdi="15", roots={"single": bent})).reasons
    assert reason.id == "curvature.severe" and reason.stance == AGAINST


def test_upper_molar_only_the_palatal_root():
    """Abou-Rass 1982 via Baba 2013 (read)."""
    roots = {
        "mesiobuccal": DrawnRoot(at=2),
        "palatal": DrawnRoot(),
        "distobuccal": DrawnRoot(at=-2),
    }
    spaces = evaluated(DrawnTooth(fdi="16", crown=7.5, roots=roots)).post_space
    assert [space.root for space in spaces if space.admitted] == ["palatal"]
    assert root_for_post(spaces) == "palatal"
    assert root_for_post(spaces, PlanChoice(root="distobuccal")) == "distobuccal"


def test_two_rooted_premolar_prefers_the_deeper_space():
    """Without a rule the root with more safe depth is planned; nothing forbids the other."""
    roots = {
        "buccal": DrawnRoot(length=12.0, filling=(0.0, 12.0), at=1.0),
        "palatal": DrawnRoot(length=13.5, filling=(0.0, 13.5), at=-1.0),
    }
    spaces = evaluated(DrawnTooth(fdi="14", crown=8.5, roots=roots)).post_space
    assert all(space.admitted for space in spaces)
    assert root_for_post(spaces) == "palatal"


def test_primary_teeth_are_outside_the_rules():
    """None of the sources speaks of posts in primary teeth."""
    space = space_of(DrawnTooth(fdi="51", crown=6.0))
    assert not space.admitted and "permanent" in space.contraindications[0]
