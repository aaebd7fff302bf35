"""Post space on drawn teeth whose limits follow by arithmetic."""

import pytest
from drawn_tooth import DrawnRoot, DrawnTooth
from plan_made import evaluated, limit_mm, rules, space_of

from radmeasure.model.plan import NO_DEEPER, NO_SHALLOWER, NO_WIDER


def tooth(root=13.0, crown=10.5, crest=0.0, **more):
    """A straight central incisor, orifice at the CEJ, filled to the apex."""
    drawn = DrawnRoot(length=root, filling=(0.0, root), width=(7.0, 4.0))
    return DrawnTooth(crown=crown, crest=(crest, crest), roots={"single": drawn}, **more)


def test_root_of_16_with_5_mm_of_filling_left():
    """16 - 5 = 11 (exam-preparation page, read; exact arithmetic); two thirds are 10.667."""
    space = space_of(tooth(root=16.0))
    assert limit_mm(space, "apical_seal") == pytest.approx(11.0, abs=0.01)
    assert limit_mm(space, "middle_third") == pytest.approx(10.667, abs=0.01)
    assert limit_mm(space, "root_two_thirds") == pytest.approx(10.667, abs=0.01)


def test_root_of_17_crown_of_10_crest_2_below_the_cej():
    """At most 17 - 5 = 12; half of the root in bone is 2 + (17 - 2) / 2 = 9.5 (exact)."""
    space = space_of(tooth(root=17.0, crown=10.0, crest=2.0))
    assert limit_mm(space, "apical_seal") == pytest.approx(12.0, abs=0.01)
    assert limit_mm(space, "bone_half") == pytest.approx(9.5, abs=0.01)
    assert limit_mm(space, "beyond_crest") == pytest.approx(6.0, abs=0.01)
    assert limit_mm(space, "crown_height") == pytest.approx(10.0, abs=0.01)
    assert space.feasible


def test_average_upper_central_cannot_keep_every_rule():
    """Root 13, seal 4: 9 mm, shorter than the crown of 10.5 (Wheeler's means; exact)."""
    space = space_of(tooth(), seal_mm=4.0)
    assert limit_mm(space, "apical_seal") == pytest.approx(9.0, abs=0.01)
    short = dict(space.clashes)["crown_height"]
    # The middle third ends at 8.667 and stops the post before the seal does.
    assert space.deepest_because == "middle_third"
    assert short.value == pytest.approx(10.5 - 13 * 2 / 3, abs=0.01)
    assert not space.feasible and space.p_feasible < 0.05


def test_cedar_is_bound_by_the_seal_and_clashes_with_the_crown_by_2_5():
    """Scenario with root 13, crown 10.5, 5 mm kept: 8.0 mm deep, 2.5 mm too short (exact)."""
    space = space_of(tooth(given={"planned_crown_mm": 10.5}))
    assert space.deepest.value == pytest.approx(8.0, abs=0.01)
    assert space.deepest_because == "apical_seal"
    rule, short = space.clashes[0]
    assert (rule, round(short.value, 2)) == ("crown_height", 2.5)
    # The planned crown is exact, so the clash is as unsure as the safe depth.
    assert short.u == pytest.approx(space.deepest.u, rel=0.01)


def test_the_drill_is_set_from_the_coronal_reference():
    """Depth on the drill = depth + reference to root face: 8 + 10.5 + 1 (orifice 1 mm down)."""
    drawn = DrawnRoot(length=14.0, orifice=1.0, filling=(0.0, 13.0), width=(7.0, 4.0))
    space = space_of(DrawnTooth(roots={"single": drawn}))
    assert space.deepest.value == pytest.approx(8.0, abs=0.01)
    assert space.drill_depth.value == pytest.approx(19.5, abs=0.01)
    assert space.planned.drill.value == pytest.approx(19.5, abs=0.01)


def test_every_rule_is_a_row_with_side_source_and_uncertainty():
    """No-deeper, no-shallower and no-wider rules as published, none left out."""
    space = space_of(tooth())
    sides = {row.rule: row.side for row in space.limits}
    assert sides == {
        "apical_seal": NO_DEEPER,
        "straight_part": NO_DEEPER,
        "dentine": NO_DEEPER,
        "middle_third": NO_DEEPER,
        "crown_height": NO_SHALLOWER,
        "bone_half": NO_SHALLOWER,
        "beyond_crest": NO_SHALLOWER,
        "root_two_thirds": NO_SHALLOWER,
        "width_fraction": NO_WIDER,
        "wall_dentine": NO_WIDER,
        "diameter_cap": NO_WIDER,
    }
    for row in space.limits:
        assert row.source and row.trust in ("read", "memory", "practice", "derived", "measured")
        assert row.words and row.quantity.u >= 0


def test_a_third_of_the_root_at_the_posts_end():
    """Root 7 mm at the top, 4 mm at 13: at 8 mm 7 - 3 * 8 / 13 wide, a third of it (exact)."""
    space = space_of(tooth())
    third = (7 - 3 * 8 / 13) / 3
    assert limit_mm(space, "width_fraction") == pytest.approx(third, abs=0.01)


def test_the_cautious_diameter_of_each_tooth():
    """Baba 2013 (read): lower incisors 0.6, most teeth 0.9, canines 1.0, upper central 1.1 mm."""
    wanted = {"11": 1.1, "12": 0.9, "13": 1.0, "14": 0.9, "31": 0.6, "42": 0.6, "43": 1.0}
    for fdi, cap in {**wanted, "45": 0.9}.items():
        space = space_of(DrawnTooth(fdi=fdi))
        assert limit_mm(space, "diameter_cap") == cap, fdi


def test_uncertainty_of_the_seal_follows_its_landmarks():
    """Orifice and filling end of known placement: u is theirs and the scale's, in quadrature.

    JCGM 100:2008, 5.1: sqrt(0.25^2 + 0.10^2) mm of placement; the scale adds 1 % of the
    depth of the filling's end, and the film's unknown foreshortening (1 %, paralleled)
    another 1 %, on 13 mm. A root leaning 3 degrees unseen, under a beam 3.5 degrees off, may
    be tan 3 tan 3.5 = 0.32 % longer (derived); magnification changes by 0.05 % per mm at most.
    """
    space = space_of(tooth())
    lean, change = 0.0032 * 13, 0.0005 * 13**2
    expected = (0.25**2 + 0.10**2 + 2 * (0.01 * 13) ** 2 + lean**2 + change**2) ** 0.5
    assert space.limit("apical_seal").quantity.u == pytest.approx(expected, rel=0.03)


def test_without_a_filling_end_there_is_no_safe_depth():
    """An unknown seal is never replaced by another rule, and says what it waits for."""
    drawn = DrawnRoot(filling=None)
    space = space_of(DrawnTooth(roots={"single": drawn}))
    assert space.deepest is None and space.feasible is None and not space.seals
    assert "filling_apical" in space.missing
    assert all(not fit.fits for fit in space.sizes)


def test_a_filling_shorter_than_the_seal_leaves_no_room():
    """A filling of 4 mm cannot give up anything: depth 0, and no drill setting is shown."""
    drawn = DrawnRoot(filling=(0.0, 4.0))
    space = space_of(DrawnTooth(roots={"single": drawn}))
    assert space.deepest.value == 0.0 and space.deepest_because == "apical_seal"
    assert space.drill_depth is None and space.planned is None
    assert not any(fit.fits for fit in space.sizes)


def test_nothing_in_mm_without_a_scale():
    """An uncalibrated film gets no post space and no ways to gain tooth."""
    found = evaluated(tooth(calibrated=False))
    assert found.post_space == () and found.gains == ()


def test_molars_no_deeper_than_7_from_the_orifice():
    """Abou-Rass 1982 via Baba 2013 (read): 7 mm, whatever the seal would allow."""
    drawn = {
        "mesial": DrawnRoot(length=16.0, filling=(0.0, 16.0), at=2.5, width=(4.5, 3.5)),
        "distal": DrawnRoot(length=16.0, filling=(0.0, 16.0), at=-2.5, width=(4.5, 3.5)),
    }
    found = evaluated(DrawnTooth(fdi="36", crown=7.5, roots=drawn))
    mesial, distal = found.post_space
    assert distal.deepest.value == pytest.approx(7.0) and distal.deepest_because == "molar_depth"
    assert distal.admitted and not mesial.admitted
    assert rules().setting("post.molar_roots").source.split()[0] in mesial.contraindications[0]
    # The planned depth leaves far more than 5 mm of filling.
    assert distal.planned.residual.value == pytest.approx(9.0, abs=0.05)
