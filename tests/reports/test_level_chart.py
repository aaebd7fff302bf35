"""The level chart: to scale, the same way up as the film, labels apart, handles that drag."""

import dataclasses
import itertools
import math
import re
from xml.etree import ElementTree

import numpy as np
import pytest
from drawn_tooth import DrawnRoot, DrawnTooth, mirrored
from hypothesis import given
from hypothesis import strategies as st
from planning.plan_made import SIZES, evaluated
from scipy.optimize import isotonic_regression

from radmeasure.reports.draw_png import dashes, png_bytes
from radmeasure.reports.draw_svg import svg_text
from radmeasure.reports.drawing import Path, Text, spread, text_width
from radmeasure.reports.level_chart import View, level_chart
from radmeasure.reports.palette import PENS, THEMES, colour

CURVED = DrawnRoot(length=14.0, straight=6.0, filling=(0.0, 13.0))
TEETH = {
    "clash": DrawnTooth(),
    "curved": DrawnTooth("14", margin=(-3.0, -1.0), roots={"single": CURVED}),
    "molar": DrawnTooth("46", roots={"mesial": DrawnRoot(at=2.5), "distal": DrawnRoot(at=-2.5)}),
    "turned": DrawnTooth("33", turn_deg=25.0, crest=(2.0, 4.5)),
    "bare": DrawnTooth(crown=None, crest=None),
}


def _chart(name, root=None, size=(320.0, 520.0), **choice):
    evaluation = evaluated(TEETH[name], **choice)
    return level_chart(evaluation, root or next(iter(evaluation.outlines)), size=size)


def _boxes(drawing):
    """(left, top, right, bottom) of every text."""
    boxes = []
    for shape in drawing.shapes:
        if isinstance(shape, Text):
            size = drawing.size_of(PENS[shape.pen])
            width = text_width(shape.text, size, PENS[shape.pen].strong)
            left = shape.at[0] - {"start": 0, "middle": 0.5, "end": 1}[shape.anchor] * width
            top = shape.at[1] - 0.75 * size
            boxes.append((left, top, left + width, shape.at[1] + 0.2 * size, shape.text))
    return boxes


@pytest.mark.parametrize("name", TEETH)
@pytest.mark.parametrize("size", [(320.0, 520.0), (240.0, 268.0), (460.0, 700.0)])
def test_no_label_covers_another(name, size):
    boxes = _boxes(_chart(name, size=size))
    for a, b in itertools.combinations(boxes, 2):
        apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
        assert apart, (a[4], b[4])


@pytest.mark.parametrize("size", [(330.0, 600.0), (390.0, 640.0), (470.0, 640.0)])
@pytest.mark.parametrize("letters", [1.0, 1.5, 2.0, 3.0])
def test_large_letters_leave_the_tooth_room(size, letters):
    """Letters of the size a person needs shrink rather than press the tooth to nothing."""
    evaluation = evaluated(TEETH["clash"])
    drawing = level_chart(evaluation, "single", size=size, font_size=11 * letters, least_size=8.8)
    assert drawing.font_size >= 8.8 - 1e-9
    (area,) = (s for s in drawing.shapes if isinstance(s, Path) and s.pen == "dentine")
    across, along = (np.ptp([p[i] for p in area.points]) for i in (0, 1))
    assert across > 0.15 * size[0] and along > 0.15 * size[1]
    top = next(s for s in drawing.shapes if s.about == "apex")
    assert all(h.per_mm > 0 for h in drawing.handles) and top


@pytest.mark.parametrize("name", TEETH)
def test_nothing_is_drawn_off_the_canvas(name):
    drawing = _chart(name)
    for left, top, right, bottom, text in _boxes(drawing):
        assert left >= -1 and right <= drawing.width + 1, text
        assert top >= -1 and bottom <= drawing.height + 1, text


def _level_y(drawing, name):
    """Canvas y of a level's stroke on the ruler."""
    strokes = [s for s in drawing.shapes if isinstance(s, Path) and s.about == name]
    flat = [s for s in strokes if len(s.points) == 2 and s.points[0][1] == s.points[1][1]]
    return flat[-1].points[0][1]


def test_chart_is_to_scale():
    """Levels on the ruler stand as far apart as the tooth is long: crown 10.5, root 13."""
    drawing = _chart("clash")
    reference, cej, apex = (_level_y(drawing, n) for n in ("coronal_reference", "cej", "apex"))
    assert (apex - cej) / (cej - reference) == pytest.approx(13.0 / 10.5, abs=0.01)


def test_upper_apex_is_up_and_lower_apex_down():
    """The chart stands as the film: upper teeth hang crown down (usual mounting)."""
    upper, lower = _chart("clash"), _chart("molar")
    assert _level_y(upper, "apex") < _level_y(upper, "coronal_reference")
    assert _level_y(lower, "apex") > _level_y(lower, "coronal_reference")


def test_half_turn_and_mirror_follow_the_film():
    evaluation = evaluated(TEETH["clash"])
    turned = level_chart(evaluation, "single", view=View(turns=2))
    assert _level_y(turned, "apex") > _level_y(turned, "coronal_reference")
    plain, flipped = (_sides(evaluation, View(mirrored=m)) for m in (False, True))
    assert plain == flipped[::-1]


def _sides(evaluation, view):
    drawing = level_chart(evaluation, "single", view=view)
    sides = {s.text: s.at[0] for s in drawing.shapes if isinstance(s, Text)}
    return sorted(("mesial", "distal"), key=sides.get)


def test_mirrored_film_gives_the_mirrored_chart():
    """11 seen mirrored is 21: same levels, mesial on the other side."""
    left = evaluated(TEETH["clash"].landmarks())
    right = evaluated(mirrored(TEETH["clash"].landmarks()))
    assert _sides(left, View()) == _sides(right, View())[::-1]
    for name, level in left.outlines["single"].levels.items():
        assert right.outlines["single"].levels[name].value == pytest.approx(level.value)


def test_window_ends_at_the_safe_depth_and_fades_over_its_uncertainty():
    """Opacity is the probability that a depth is still safe: half at the safe depth itself."""
    evaluation = evaluated(TEETH["clash"], live=False)
    drawing = level_chart(evaluation, "single")
    strips = [s for s in drawing.shapes if isinstance(s, Path) and s.pen == "window"]
    assert strips[0].opacity == 1.0
    fading = [s.opacity for s in strips[1:]]
    assert fading == sorted(fading, reverse=True)
    assert fading[0] > 0.9 and fading[-1] < 0.1
    outline = evaluation.outlines["single"]
    deepest = evaluation.post_space[0].deepest.value
    along = outline.post_at(deepest)[1]
    assert along == pytest.approx(10.5 + 8.0, abs=0.05)


def test_binding_rules_are_named_at_the_window():
    drawing = _chart("clash")
    strong = [s.text for s in drawing.shapes if isinstance(s, Text) and s.pen == "label_bound"]
    assert "seal ≤ 8.0" in strong
    assert any(text.startswith("listed: width ≤ 1.1") for text in strong)


def test_no_handle_covers_another_where_depth_and_seal_meet():
    """At the suggested depth, the seal's level, a hand that hits within 14 px finds each."""
    evaluation = evaluated(TEETH["clash"])
    drawing = level_chart(evaluation, "single", size=(394.0, 691.0), font_size=11.0)
    places = [h.at for h in drawing.handles]
    assert len(places) == 3
    assert min(math.dist(a, b) for a, b in itertools.combinations(places, 2)) > 20


def test_dragging_a_handle_by_a_millimetre_changes_its_value_by_one():
    drawing = _chart("clash", depth_mm=6.0, size_name=SIZES[0].name)
    handles = {h.name: h for h in drawing.handles}
    depth = handles["depth"]
    dx, dy = (c * depth.per_mm for c in depth.along)
    assert depth.value == 6.0
    assert depth.dragged(dx, dy) == pytest.approx(7.0)
    assert depth.dragged(100 * dx, 100 * dy) == depth.high
    seal = handles["seal"]
    # More seal is less depth: the two handles pull in opposite directions.
    assert np.dot(seal.along, depth.along) == pytest.approx(-1.0)
    size = handles["size"]
    step = SIZES[3].tip_mm - SIZES[0].tip_mm
    pulled = tuple(c * size.per_mm * step for c in size.along)
    assert size.chosen(*pulled) == SIZES[3].name


def test_chosen_post_is_drawn_where_it_was_chosen():
    drawing = _chart("clash", depth_mm=6.0, size_name=SIZES[0].name)
    (post,) = [s for s in drawing.shapes if isinstance(s, Path) and s.pen == "post"]
    long = max(p[1] for p in post.points) - min(p[1] for p in post.points)
    assert long == pytest.approx(6.0 * drawing.handles[0].per_mm, rel=0.02)


def test_film_without_scale_is_drawn_in_parts_of_the_root():
    """Crown 10.5, root 13 (derived): the reference lies 0.81 roots above the CEJ, the apex at 1."""
    drawing = level_chart(evaluated(DrawnTooth(calibrated=False)), "single")
    said = [s.text for s in drawing.shapes if isinstance(s, Text)]
    assert "no scale" in said and "parts of the root's length, from the CEJ" in said
    assert "−0.81 reference" in said and "1.00 apex" in said
    assert not any("mm" in text for text in said)
    assert "window" not in {s.pen for s in drawing.shapes} and not drawing.handles
    assert "without a scale" in drawing.words


def test_scale_changes_nothing_of_the_proportions():
    """The same landmarks with and without a scale: levels differ by one factor only."""
    bare, scaled = (evaluated(DrawnTooth(calibrated=c)).outlines["single"] for c in (False, True))
    root = scaled.levels["apex"].value - scaled.levels["cej"].value
    for name, level in scaled.levels.items():
        expected = (level.value - scaled.levels["cej"].value) / root
        assert bare.levels[name].value / bare.per_part == pytest.approx(expected, abs=1e-6)


def test_chart_waits_for_an_axis():
    tooth = DrawnTooth().landmarks()
    bare = dataclasses.replace(tooth, points={}, roots={})
    evaluation = evaluated(bare)
    assert not level_chart(evaluation, "single")
    assert "waits for the apex" in level_chart(evaluation, "single").why


def test_svg_is_well_formed_and_keeps_its_text():
    root = ElementTree.fromstring(svg_text(_chart("clash")))
    said = [e.text for e in root.iter() if e.tag.endswith("text")]
    assert "crown height ≥ 10.5" in said
    assert root.find("{http://www.w3.org/2000/svg}title").text.startswith("Tooth 11")


def test_png_shows_the_same_drawing():
    import io

    from PIL import Image

    drawing = _chart("clash")
    image = np.asarray(Image.open(io.BytesIO(png_bytes(drawing, scale=1.0))))
    assert image.shape == (520, 320, 3)
    # The window's colour stands on the post's line.
    outline = evaluated(TEETH["clash"]).outlines["single"]
    assert outline.post_at(4.0) is not None
    blueish = (image[..., 2].astype(int) - image[..., 0]) > 60
    assert blueish.sum() > 100


@given(st.lists(st.floats(0, 300), min_size=1, max_size=12), st.floats(1, 12))
def test_labels_move_as_little_as_they_can(wanted, gap):
    """Against scipy's isotonic regression: the least squares answer without walls."""
    placed = spread(wanted, gap, -1e4, 1e4)
    order = sorted(range(len(wanted)), key=lambda i: wanted[i])
    shifted = [wanted[i] - rank * gap for rank, i in enumerate(order)]
    best = isotonic_regression(shifted).x
    for rank, i in enumerate(order):
        assert placed[i] == pytest.approx(best[rank] + rank * gap, abs=1e-6)


@given(st.lists(st.floats(-50, 150), min_size=2, max_size=12), st.floats(1, 30))
def test_labels_keep_apart_and_inside(wanted, gap):
    placed = sorted(spread(wanted, gap, 0.0, 100.0))
    least = min(gap, 100.0 / (len(wanted) - 1))
    assert placed[0] >= -1e-9 and placed[-1] <= 100 + 1e-9
    assert all(b - a >= least - 1e-6 for a, b in itertools.pairwise(placed))


def test_dashes_cover_their_share_of_the_line():
    pieces = dashes([(0.0, 0.0), (30.0, 40.0), (30.0, 90.0)], [3.0, 2.0])
    drawn = sum(math.dist(a, b) for a, b in pieces)
    assert drawn == pytest.approx(100.0 * 3 / 5, abs=3.0)


# -- colours ---------------------------------------------------------------------------------------


def _luminance(hex_):
    """Relative luminance, WCAG 2.2."""
    parts = [int(hex_[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _contrast(a, b):
    low, high = sorted((_luminance(a), _luminance(b)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("theme", THEMES)
def test_labels_can_be_read(theme):
    """WCAG 2.2, 1.4.3: text stands out from its ground by at least 4.5 to 1."""
    paper = colour("paper", theme)
    for name, pen in PENS.items():
        if name.startswith("label"):
            assert _contrast(colour(pen.stroke, theme), paper) >= 4.5, name


def test_palette_is_the_published_one():
    """The eight colours of Okabe & Ito as printed in Nature Methods 2011;8:441 (from memory)."""
    from radmeasure.reports import palette

    published = {
        "BLACK": (0, 0, 0),
        "ORANGE": (230, 159, 0),
        "SKY": (86, 180, 233),
        "GREEN": (0, 158, 115),
        "YELLOW": (240, 228, 66),
        "BLUE": (0, 114, 178),
        "VERMILION": (213, 94, 0),
        "PURPLE": (204, 121, 167),
    }
    for name, rgb in published.items():
        found = re.findall("..", getattr(palette, name)[1:])
        assert tuple(int(part, 16) for part in found) == rgb


def test_every_pen_has_its_colour_in_every_theme():
    for theme in THEMES:
        for pen in PENS.values():
            for name in filter(None, (pen.stroke, pen.fill)):
                assert colour(name, theme).startswith("#")
