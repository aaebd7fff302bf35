"""From two clicks per root to a full set of landmarks.

A staged estimate (docs/suggest.md): axis from the clicks; both walls at once on the
straightened tooth; the outline round the tip; the canal inside it; levels along the
walls; what is radiopaque along the canal. What is not found is left out with a reason.
"""

import numpy as np

from radmeasure.errors import InputError
from radmeasure.model.landmarks import Landmarks
from radmeasure.tracing import bright_ends, levels, metal
from radmeasure.tracing import canal as canals
from radmeasure.tracing.certainty import overlay_of
from radmeasure.tracing.collected import Collected
from radmeasure.tracing.margin import find_margin, find_reference
from radmeasure.tracing.proportions import usual
from radmeasure.tracing.roots import apex_clicks, trace_tooth, trust_of

Suggestions = Landmarks

# The crest lies beside the root, a ligament's width away (0.15-0.21 mm, common reference range).
LIGAMENT = 0.2
SIDES = ("mesial", "distal")
# The chamber's roof lies level with the CEJ, its floor 1.6-1.9 mm below (standard deviation
# 0.7, Deutsch & Musikant, J Endod 2004;30:388-390, read); the canals begin a little deeper.
CHAMBER = 2.2
CLICK_MM = 1.0  # standard deviation granted to a rough click of the user
# The mesial CEJ lies up to 1 mm more coronal than the distal one (Ash & Nelson, Wheeler's
# Dental Anatomy, 9th ed., table 1-1, memory), and a tooth leans: standard deviation, mm.
CEJ_APART = 1.0


def suggest(pixels, hints, pixel_mm=None, report=None):
    """Propose every landmark and line that can be found from rough clicks.

    Parameters
    ----------
    pixels : ndarray, shape (H, W)
        Larger is denser; an obviously inverted film is turned.
    hints : model.landmarks.Hints
        At least ``coronal_reference`` (or both margins, or both CEJ points) and one ``apex``.
        A root's ``canal`` may hold rough points it passes through; other points pull the
        suggestion of the same name towards them.
    pixel_mm : float, optional
        Pixel size on the tooth's plane, if known; otherwise a scale in the hints or the
        tooth's own size serves.
    report : callable, optional
        Called with a share in [0, 1]; may raise to stop.

    Returns
    -------
    Landmarks
        With ``u_px``, ``confidence`` and ``left_out``.

    Raises
    ------
    InputError
        Too few clicks, or clicks that lie on each other.
    """
    return propose(pixels, hints, pixel_mm, report).landmarks(hints)


def propose(pixels, hints, pixel_mm=None, report=None):
    """As :func:`suggest`, with everything known of each proposal (a Collected)."""
    report = report or (lambda share: None)
    hints = _complete(hints)
    tooth = trace_tooth(pixels, hints, pixel_mm)
    report(0.5)
    across = np.array([-tooth.axis[1], tooth.axis[0]])
    tips = [trace.apex for trace in tooth.roots.values()]
    overlay = dict(zip(tooth.roots, overlay_of(tips, across, tooth.scene.unit_px)))
    # Enamel of the facial and lingual side lies over the proximal CEJ.
    overlay[None] = usual(hints.tooth).curvature / 3.0
    found = Collected(np.shape(pixels), tooth.scene.unit_px, overlay)
    _add_reference(found, tooth)
    cej = _add_levels(found, hints, tooth)
    report(0.7)
    for name in tooth.roots:
        _add_root(found, name, hints, tooth, cej)
    found.part_sides(tooth.mesial * across)
    report(1.0)
    return found


def _complete(hints):
    """Hints with a coronal end, made from the margins or the CEJ when it is missing."""
    clicks = apex_clicks(hints)
    if not clicks:
        raise InputError("the hints hold no apex", "click near the apex of at least one root")
    if "coronal_reference" not in hints.points:
        for kind in ("margin", "cej"):
            pair = [hints.points.get(f"{kind}_{side}") for side in SIDES]
            if all(pair):
                middle = tuple(np.mean(pair, axis=0).tolist())
                hints = hints.with_placed("coronal_reference", middle)
                break
        else:
            raise InputError(
                "the hints hold no coronal_reference", "click where the tooth is measured from"
            )
    for name, apex in clicks.items():
        if np.linalg.norm(apex - hints.points["coronal_reference"]) < 30.0:
            raise InputError(
                f"coronal_reference and apex of root {name} lie on each other",
                "click the coronal end and the apex apart",
            )
    return hints


def _row_along(frame, origin, axis, depth_mm):
    """Row of ``frame`` whose point lies ``depth_mm`` beyond ``origin`` along ``axis``."""
    steady = np.maximum.accumulate(_depths(frame, origin, axis))
    return float(np.interp(depth_mm, steady, np.arange(len(steady))))


def _depths(frame, origin, axis):
    """How far every row of ``frame`` lies beyond ``origin`` along ``axis``, nominal mm."""
    return (frame.rays.curve(frame.offset) - origin) @ axis / frame.rays.unit_px


def _add_reference(found, tooth):
    if tooth.crown_lost:
        found.leave("coronal_reference", "the crown is lost; place it where you will measure from")
        return
    seen = find_reference(tooth.scene, tooth.coronal, tooth.axis)
    if seen is None:
        found.leave("coronal_reference", "the crown's edge does not stand out from what is behind")
    else:
        found.add("coronal_reference", *seen)


def _clicked(frame, hints, name, root=None):
    """Expected rows from a click of the user, if there is one."""
    point = hints.get(name, root)
    if point is None:
        return []
    return [(_nearest_row(frame, point), CLICK_MM / levels.ROW)]


def _add_levels(found, hints, tooth):
    """CEJ, crest and margin of both sides; returns the CEJ points found by side."""
    walls = {}
    for trace in tooth.roots.values():
        walls.update(trace.walls)
    for side in SIDES:
        if side not in walls:
            for kind in ("cej", "crest"):
                found.leave(f"{kind}_{side}", "the tooth's wall on that side was not traced")
    cej = _add_cej(found, walls, hints, tooth)
    for side, frame in walls.items():
        _add_crest(found, side, frame, hints, tooth, cej.get(side))
        if tooth.crown_lost:
            _add_margin(found, side, tooth)
    return {side: walls[side].at(level.row) for side, level in cej.items()}


def _add_cej(found, walls, hints, tooth):
    """Levels of the CEJ by side."""
    seen = {}
    for side, frame in walls.items():
        name = f"cej_{side}"
        if tooth.crown_lost and name not in hints.points:
            found.leave(
                name, "the crown is lost, so no enamel ends there; place it by hand if seen"
            )
        else:
            seen[side] = _cej_scores(name, frame, hints, tooth)
    if len(seen) == 2:
        depths = [_depths(walls[side], tooth.coronal, tooth.axis) for side in seen]
        seen = dict(zip(seen, levels.tied(list(seen.values()), depths, CEJ_APART)))
    cej = {side: levels.most_probable(scores) for side, scores in seen.items()}
    for side, level in cej.items():
        point = walls[side].at(level.row)
        found.add(f"cej_{side}", point, level.deviation, level.share)
    return cej


def _cej_scores(name, frame, hints, tooth):
    proportions = usual(hints.tooth)
    tip = np.mean([trace.apex for trace in tooth.roots.values()], axis=0)
    expected = [
        (_row_along(frame, tooth.coronal, tooth.axis, proportions.crown - 1.2), 1.5 / levels.ROW),
        (_row_along(frame, tip, tooth.axis, -proportions.root), 2.5 / levels.ROW),
    ]
    expected = _clicked(frame, hints, name) or expected
    return levels.level_scores("cej", frame, tooth.scene.film, expected)


def _add_crest(found, side, frame, hints, tooth, cej):
    name = f"crest_{side}"
    if cej is not None:
        expected = [(cej.row + 3.5 / levels.ROW, 3.0 / levels.ROW)]
    else:
        root = usual(hints.tooth).root
        tip = np.mean([trace.apex for trace in tooth.roots.values()], axis=0)
        expected = [(_row_along(frame, tip, tooth.axis, 3.5 - root), 3.5 / levels.ROW)]
    expected = _clicked(frame, hints, name) or expected
    level = levels.find_level("crest", frame, tooth.scene.film, expected)
    found.add(name, frame.at(level.row, LIGAMENT), level.deviation, level.share)


def _add_margin(found, side, tooth):
    sign = tooth.mesial if side == "mesial" else -tooth.mesial
    for trace in tooth.roots.values():
        if side not in trace.walls:
            continue
        seen = find_margin(tooth.scene, trace.outer_line(side), sign)
        if seen is None:
            found.leave(f"margin_{side}", "no broken edge stands out; place it by hand")
        else:
            found.add(f"margin_{side}", *seen)


def _add_root(found, name, hints, tooth, cej):
    """Apex, canal, walls, orifice, foramen and everything radiopaque of one root."""
    trace, unit_px = tooth.roots[name], tooth.scene.unit_px
    found.add("apex", trace.apex, trace.u_apex / unit_px, trace.trust * trace.apex_share, name)
    clicks = [np.array(p) for p in hints.roots[name].lines.get("canal", ())]
    path = canals.find_canal(tooth.scene, trace.canal_frame, clicks)
    axis = trace.apex - trace.middle[0][0]
    axis /= np.linalg.norm(axis)
    bright = metal.found_in(metal.track(tooth.scene, path.points, tooth.coronal))
    row, u_orifice = _orifice(hints, tooth, trace, path, axis, cej, name, bright)
    below = np.arange(len(path.radius)) >= row
    orifice = path.points[below][0]
    share = trace.trust * float(np.mean(path.share[below]))
    for click in clicks:
        share *= trust_of(np.linalg.norm(path.points - click, axis=1).min() / unit_px)
    line = _within(trace, path.points[below])
    found.add("canal", line, path.deviation[below].mean(), share, name)
    found.add("orifice", orifice, u_orifice, share, name)
    if bright.start(metal.FILLING) is None:
        _add_foramen(found, name, path, trace, axis, hints, tooth)
    else:
        found.leave("foramen", "not seen in a filled canal; lengths run to the apex", name)
    _add_canal_walls(found, name, path, below, trace, tooth, share)
    _add_root_walls(found, name, trace, orifice, axis, tooth)
    _add_bright(found, name, bright, trace, axis, hints, tooth, cej)


def _within(trace, line):
    """The points of ``line`` that lie within the root's outline, where it was traced."""
    return line if trace.hidden else line[trace.outline.holds(line)]


def _orifice(hints, tooth, trace, path, axis, cej, name, bright):
    """Row of the canal path at the root face, and the deviation in mm along it."""
    frame = _along_canal(path, tooth)
    expected = _clicked(frame, hints, "orifice", name)
    expected = expected or _usual_orifice(hints, tooth, trace, axis, cej, frame)
    filled_from = bright.start(metal.FILLING)
    if filled_from is not None and bright.start(metal.POST) is None:
        # A filling is cut back at the root face or a little below it (common practice);
        # one that begins far below belongs to a post not seen.
        row = _nearest_row(frame, filled_from) - 0.5 / levels.ROW
        if row < expected[0][0] + 2.0 / levels.ROW:
            expected = [(row, 0.8 / levels.ROW)]
    level = levels.find_level("orifice", frame, tooth.scene.film, expected, 2.0)
    point = frame.at(level.row)
    row = int(np.linalg.norm(path.points - point, axis=1).argmin())
    return min(row, len(path.points) - 10), level.deviation


def _nearest_row(frame, point):
    points = frame.rays.curve(frame.offset)
    return float(np.linalg.norm(points - np.asarray(point), axis=1).argmin())


def _usual_orifice(hints, tooth, trace, axis, cej, frame):
    """Rows at which the root face of such a tooth usually lies."""
    proportions = usual(hints.tooth)
    molar = hints.tooth.kind == "molar"
    # The floor of a molar's chamber is seen; the root face of a front tooth is a convention.
    u_top = 0.8 if molar else 1.0
    if len(cej) == 2:
        top = np.mean(list(cej.values()), axis=0)
    else:
        top, u_top = trace.apex - proportions.root * tooth.scene.unit_px * axis, 1.5
    drop = CHAMBER if molar else proportions.curvature + 0.6
    return [(_row_along(frame, top, axis, drop), u_top / levels.ROW)]


def _along_canal(path, tooth):
    unit_px = tooth.scene.unit_px
    return levels.level_frame(levels.extended(path.points, unit_px), 1, unit_px)


def _add_foramen(found, name, path, trace, axis, hints, tooth):
    frame = _along_canal(path, tooth)
    expected = [(_row_along(frame, trace.apex, axis, -0.3), 0.5 / levels.ROW)]
    expected = _clicked(frame, hints, "foramen", name) or expected
    scores = levels.level_scores("foramen", frame, tooth.scene.film, expected)
    if not trace.hidden:
        scores -= 60.0 * ~trace.outline.holds(frame.rays.curve(frame.offset))
    level = levels.most_probable(scores)
    found.add("foramen", frame.at(level.row), level.deviation, level.share, name)


def _add_canal_walls(found, name, path, below, trace, tooth, share):
    sides, width, deviation = canals.find_walls(tooth.scene, path)
    for rays, sign in zip(sides, (1, -1)):
        label = "mesial" if sign == tooth.mesial else "distal"
        line = _within(trace, rays.curve(width)[below])
        found.add(f"canal_wall_{label}", line, deviation[below].mean(), share, name)


def _add_root_walls(found, name, trace, orifice, axis, tooth):
    unit_px = tooth.scene.unit_px
    for sign, label in ((tooth.mesial, "mesial"), (-tooth.mesial, "distal")):
        if trace.hidden:
            found.leave(f"root_wall_{label}", "this root lies behind the others", name)
            continue
        wall, deviation, share = trace.outline.wall(sign)
        keep = (wall - orifice) @ axis >= -0.4 * unit_px
        sure = trace.trust * share[keep].mean()
        found.add(f"root_wall_{label}", wall[keep], deviation[keep].mean(), sure, name)


def _add_bright(found, name, bright, trace, axis, hints, tooth, cej):
    """Ends of file, post and filling along the canal; beyond the apex they may stick out."""
    frame = levels.level_frame(bright.track.points, 1, tooth.scene.unit_px)

    def level(label, point):
        expected = _clicked(frame, hints, label, name)
        spread = bright_ends.SPREAD_MM[label] / levels.ROW
        expected = expected or [(_nearest_row(frame, point), spread)]
        seen = levels.find_level(label, frame, tooth.scene.film, expected)
        return frame.at(seen.row), seen

    usual_cervix = trace.apex - usual(hints.tooth).root * tooth.scene.unit_px * axis
    cervix = np.mean(list(cej.values()), axis=0) if len(cej) == 2 else usual_cervix
    strip = bright_ends.strip_of(tooth.scene, bright.track)
    ends = bright_ends.ends(bright, strip, level, cervix, trace.apex, found.overlay[name])
    for label, end in ends.items():
        outside = (end.point - trace.apex) @ axis < 0 and not len(_within(trace, end.point[None]))
        reason = "it would lie outside the root" if outside else end.reason
        if reason:
            found.leave(label, reason, name)
        else:
            certain = end.u_mm, trace.trust * end.confidence
            found.add(label, end.point, end.deviation_mm, end.share, name, certain)
    if "file_tip" in ends:
        point, seen = level("file_stop", tooth.coronal)
        share = bright.confidence(metal.FILE) * seen.share
        found.add("file_stop", point, seen.deviation, share, name)
