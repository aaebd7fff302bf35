"""From two clicks per root to a full set of landmarks.

A staged estimate (docs/suggest.md): axis from the clicks; both walls at once on the
straightened tooth; the outline round the tip; the canal inside it; levels along the
walls; what is radiopaque along the canal. What is not found is left out with a reason.
"""

import numpy as np

from radmeasure.errors import InputError
from radmeasure.model.landmarks import Landmarks, Root
from radmeasure.tracing import canal as canals
from radmeasure.tracing import levels, metal
from radmeasure.tracing.proportions import usual
from radmeasure.tracing.roots import apex_clicks, traced_roots

Suggestions = Landmarks

# The crest lies beside the root, a ligament's width away (0.15-0.21 mm, common reference range).
LIGAMENT = 0.2


class _Found:
    """Collects what is found, in px, with deviations and confidence."""

    def __init__(self, shape):
        self.points, self.roots = {}, {}
        self.u_px, self.confidence, self.left_out = {}, {}, {}
        self.high = np.array(shape[::-1], float) - 1.0

    def _on_film(self, value):
        value = np.atleast_2d(value)
        return bool((value >= 0).all() and (value <= self.high).all())

    def add(self, name, value, u_px, confidence, root=None, line=False, several=False):
        key = f"{root}.{name}" if root else name
        if line:
            value = np.asarray(value)
            value = value[((value >= 0) & (value <= self.high)).all(axis=1)]
            if len(value) < 5:
                self.leave(name, "it lies off the film", root)
                return
        elif not self._on_film(value):
            self.leave(name, "it would lie off the film", root)
            return
        u_px, confidence = float(max(u_px, 0.3)), float(np.clip(confidence, 0.0, 1.0))
        if root is None:
            self.points[name] = _pair(value)
        else:
            kept = self.roots.setdefault(root, ({}, {}))
            kept[line][name] = tuple(map(_pair, value)) if line else _pair(value)
            self.u_px[name] = max(u_px, self.u_px.get(name, 0.0))
            self.confidence[name] = min(confidence, self.confidence.get(name, 1.0))
            if not several:
                return
        self.u_px[key], self.confidence[key] = u_px, confidence

    def leave(self, name, reason, root=None):
        self.left_out[f"{root}.{name}" if root else name] = reason


def _pair(xy):
    return (float(xy[0]), float(xy[1]))


def suggest(pixels, hints, pixel_mm=None, report=None):
    """Propose every landmark and line that can be found from rough clicks.

    Parameters
    ----------
    pixels : ndarray, shape (H, W)
        Larger is denser; an obviously inverted film is turned.
    hints : model.landmarks.Hints
        At least ``coronal_reference`` (or both margins, or both CEJ points) and one ``apex``.
        A root's ``canal`` may hold rough points it passes through.
    pixel_mm : float, optional
        Pixel size on the tooth's plane, if known; otherwise the tooth's own size serves.
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
    report = report or (lambda share: None)
    hints = _complete(hints)
    scene, traces = traced_roots(pixels, hints, pixel_mm)
    report(0.5)
    found = _Found(np.shape(pixels))
    several = len(traces) > 1
    tooth_walls = {}
    for name, trace in traces.items():
        tooth_walls.update(trace.walls)
        _add_apex(found, name, trace, scene, several)
    cej = _add_levels(found, hints, scene, tooth_walls)
    report(0.7)
    for name, trace in traces.items():
        _add_inside(found, name, trace, hints, scene, cej, several)
    report(1.0)
    roots = {name: Root(*kept) for name, kept in found.roots.items()}
    return Landmarks(
        hints.tooth,
        scale=hints.scale,
        points={**found.points, "coronal_reference": hints.points["coronal_reference"]},
        roots=roots,
        u_px=found.u_px,
        given=hints.given,
        confidence=found.confidence,
        left_out=found.left_out,
    )


def _complete(hints):
    """Hints with a coronal end, made from the margins or the CEJ when it is missing."""
    if not apex_clicks(hints):
        raise InputError("the hints hold no apex", "click near the apex of at least one root")
    if "coronal_reference" not in hints.points:
        for kind in ("margin", "cej"):
            pair = [hints.points.get(f"{kind}_{side}") for side in ("mesial", "distal")]
            if all(pair):
                middle = tuple(np.mean(pair, axis=0).tolist())
                return hints.with_placed("coronal_reference", middle)
        raise InputError(
            "the hints hold no coronal_reference", "click where the tooth is measured from"
        )
    return hints


def _add_apex(found, name, trace, scene, several):
    found.add(
        "apex",
        trace.apex,
        max(2.0 * trace.u_apex, 0.12 * scene.unit_px),
        0.8,
        name,
        several=several,
    )


def _add_levels(found, hints, scene, walls):
    """CEJ and crest of both sides; returns the CEJ points found."""
    proportions = usual(hints.tooth)
    coronal = np.array(hints.points["coronal_reference"])
    cej = {}
    for side, frame in walls.items():
        points = frame.rays.curve(frame.offset)
        axis = points[-1] - points[0]
        axis /= np.linalg.norm(axis)
        depth = (points - coronal) @ axis / scene.unit_px
        expected = float(np.interp(proportions.crown - 0.7, depth, np.arange(len(depth))))
        level = levels.find_level("cej", frame, scene.film, expected, 1.5 / levels.ROW)
        _add_level(found, f"cej_{side}", frame, level, scene)
        cej[side] = frame.at(level.row)
        crest = levels.find_level(
            "crest", frame, scene.film, level.row + 3.5 / levels.ROW, 3.0 / levels.ROW
        )
        _add_level(found, f"crest_{side}", frame, crest, scene, LIGAMENT)
    return cej


def _add_level(found, name, frame, level, scene, beside=0.0):
    u_px = max(1.5 * level.deviation, 0.08) * scene.unit_px
    if level.share < 0.3:
        found.leave(name, "no level on this wall stands out; place it by hand")
        return
    found.add(name, frame.at(level.row, beside), u_px, level.share)


def _add_inside(found, name, trace, hints, scene, cej, several):
    """Canal, walls, orifice, foramen and everything radiopaque of one root."""
    clicks = [np.array(p) for p in hints.roots[name].lines.get("canal", ())]
    frame = canals.canal_frame(*trace.middle, trace.apex, scene.unit_px)
    path = canals.find_canal(scene, frame, clicks)
    proportions = usual(hints.tooth)
    axis = trace.apex - trace.middle[0][0]
    axis /= np.linalg.norm(axis)
    if len(cej) == 2:
        top = np.mean(list(cej.values()), axis=0)
    else:
        top = trace.apex - proportions.root * scene.unit_px * axis
    drop = 3.4 if hints.tooth.kind == "molar" else proportions.curvature + 0.6
    depth = (path.points - top) @ axis / scene.unit_px
    below = depth >= drop
    confidence = float(np.mean(path.share[below]))
    u_canal = max(1.5 * float(np.mean(path.deviation[below])), 0.06) * scene.unit_px
    line = path.points[below]
    found.add("canal", line, u_canal, confidence, name, True, several)
    found.add("orifice", line[0], 0.5 * scene.unit_px, confidence, name, several=several)
    found.add("foramen", line[-1], 0.4 * scene.unit_px, confidence, name, several=several)
    _add_walls(found, name, trace, scene, line[0], axis, hints, several)
    _add_bright(found, name, path, trace, hints, scene, line[0], several)


def _add_walls(found, name, trace, scene, orifice, axis, hints, several):
    from radmeasure.tracing.roots import mesial_side

    side = mesial_side(hints.tooth, hints)
    for sign, label in ((side, "mesial"), (-side, "distal")):
        wall, deviation = trace.outline.wall(sign)
        keep = (wall - orifice) @ axis >= -0.4 * scene.unit_px
        u_px = max(1.5 * float(np.mean(deviation[keep])), 0.05) * scene.unit_px
        found.add(f"root_wall_{label}", wall[keep], u_px, 0.9, name, True, several)


def _add_bright(found, name, path, trace, hints, scene, orifice, several):
    coronal = np.array(hints.points["coronal_reference"])
    above = np.linalg.norm(path.points[0] - coronal) / scene.unit_px + 5.0
    track = metal.track(scene, path.points, trace.middle[1], above)
    parts = metal.bright_parts(track.contrast)
    along = np.linalg.norm(track.points - coronal, axis=1)
    reference = int(along.argmin())

    def end(label, row, inward):
        place, deviation = metal.end_row(track.contrast, row, inward)
        u_px = max(0.08, 0.06 * deviation) * scene.unit_px
        found.add(label, track.at(place), u_px, 0.8, name, several=several)

    entry = int(np.linalg.norm(track.points - orifice, axis=1).argmin())
    parts = [p for p in parts if p[1] > entry + 10]
    if not parts:
        return
    beyond = slice(max(0, reference - 35), max(1, reference - 15))
    if np.median(track.contrast[beyond]) > 0.3 and parts[0][0] < reference:
        end("file_tip", parts[-1][1], -1)
        return
    first = parts[0]
    if first[0] < entry - 10:
        split = metal.split_level(track, first)
        end("post_coronal", first[0], 1)
        if split is not None:
            parts = [(first[0], split), (split + 1, first[1]), *parts[1:]]
        end("post_apical", parts[0][1], -1)
        parts = parts[1:]
    if parts:
        end("filling_coronal", parts[0][0], 1)
        end("filling_apical", parts[-1][1], -1)
