"""How far suggestions lie from the truth, mm."""

from dataclasses import dataclass

import numpy as np

from radmeasure.model.landmarks import ROOT_LINES
from radmeasure.tracing.certainty import kind_of
from radmeasure.tracing.rays import Rays, normals, resample, unit

WALL_FROM_APEX_MM = (2.0, 8.0)


@dataclass(frozen=True, eq=False)
class Miss:
    """One suggestion, or one that is missing, against the truth.

    Attributes
    ----------
    film, root, name, kind : str
    error_mm : float
        Distance; of a line the mean distance from its true points. NaN when missing.
    along_mm : float
        Part of the error along the tooth's axis (points only).
    each_mm : ndarray
        Distance of every true point beside a line, or the one distance. What lies beyond the
        line's ends is left to the points that say where it begins and ends.
    deviation_mm, share, overlay, u_mm, confidence : float
    shown : bool
        Sure enough to be shown.
    true : bool
        False when the truth has no such landmark.
    """

    film: str
    root: str | None
    name: str
    kind: str
    error_mm: float
    along_mm: float
    each_mm: np.ndarray
    deviation_mm: float
    share: float
    overlay: float
    u_mm: float
    confidence: float
    shown: bool
    true: bool = True


def distances(points, line):
    """Distance of each point from a polyline."""
    a, p = np.asarray(line, float), np.asarray(points, float)
    edge = np.diff(a, axis=0)
    size = np.maximum((edge**2).sum(axis=1), 1e-12)
    part = np.clip(((p[:, None] - a[None, :-1]) * edge).sum(-1) / size, 0.0, 1.0)
    nearest = a[None, :-1] + part[..., None] * edge
    return np.linalg.norm(p[:, None] - nearest, axis=-1).min(axis=1)


def beside(points, line):
    """Which points lie beside a polyline, not beyond one of its ends."""
    line, points = np.asarray(line, float), np.asarray(points, float)
    after_start = (points - line[0]) @ (line[1] - line[0]) >= 0
    before_end = (points - line[-1]) @ (line[-2] - line[-1]) >= 0
    nearest = np.linalg.norm(points[:, None] - line[None], axis=-1).argmin(axis=1)
    return (after_start | (nearest > 0)) & (before_end | (nearest < len(line) - 1))


def misses(film, found):
    """A Miss for every true landmark and every one suggested without need."""
    several = len(film.truth.roots) > 1
    by_key = {(p.root, p.name): p for p in found.proposals}
    axis = tooth_axis(film.truth)
    for root, name, value in film.truth.placed():
        if name == "lesion":
            continue
        kind = kind_of(name)
        if name == "canal":
            kind = "canal_molar" if several else "canal_single"
        proposal = by_key.pop((root, name), None)
        if proposal is None:
            nothing = np.full(1, np.nan)
            yield Miss(film.name, root, name, kind, np.nan, np.nan, nothing, *[np.nan] * 5, False)
            continue
        error, each, along = _errors(film, root, name, value, proposal.value, axis)
        if len(each):
            yield _miss(film, proposal, kind, error, each, along, True)
    nothing = np.nan, np.full(1, np.nan), np.nan
    for proposal in by_key.values():
        yield _miss(film, proposal, kind_of(proposal.name), *nothing, False)


def _miss(film, proposal, kind, error, each, along, true):
    p = proposal
    return Miss(
        film.name, p.root, p.name, kind, error, along, each,
        p.deviation_mm, p.share, p.overlay, p.u_mm, p.confidence,
        p.shown, true,
    )  # fmt: skip


def tooth_axis(truth):
    """Unit vector coronal -> apical on the film."""
    placed = truth.points
    tips = [root.points["apex"] for root in truth.roots.values() if "apex" in root.points]
    if "cej_mesial" in placed and "cej_distal" in placed:
        top = np.mean([placed["cej_mesial"], placed["cej_distal"]], axis=0)
    else:
        top = np.array(placed["coronal_reference"])
    return unit(np.mean(tips, axis=0) - top)


def _errors(film, root, name, truth, suggested, axis):
    if name not in ROOT_LINES:
        gap = (np.asarray(suggested) - np.asarray(truth)) / film.px_per_mm
        away = float(np.linalg.norm(gap))
        return away, np.array([away]), float(abs(gap @ axis))
    points = resample(truth, 0.1 * film.px_per_mm)
    if name.startswith("root_wall") and "apex" in film.truth.roots[root].points:
        apex = np.array(film.truth.roots[root].points["apex"])
        away = np.linalg.norm(points - apex, axis=1) / film.px_per_mm
        points = points[(away >= WALL_FROM_APEX_MM[0]) & (away <= WALL_FROM_APEX_MM[1])]
    each = distances(points, suggested) / film.px_per_mm
    error = float(each.mean()) if len(each) else np.nan
    keep = beside(points, suggested)
    return error, each[keep] if keep.any() else each, np.nan


def dentine_errors(film, found):
    """Errors of the dentine's thickness beside the canal, every mm, both sides, mm."""
    lines = {(p.root, p.name): p.value for p in found.proposals if p.shown}
    for root, truth in film.truth.roots.items():
        canal = resample(truth.lines["canal"], film.px_per_mm)[1:-2]
        if len(canal) < 3:
            continue
        _, normal = normals(canal)
        mesial = np.array(truth.lines["canal_wall_mesial"])
        across = mesial[len(mesial) // 2] - canal[len(canal) // 2]
        sign = 1 if normal[len(canal) // 2] @ across > 0 else -1
        for side, way in (("mesial", sign), ("distal", -sign)):
            names = (f"root_wall_{side}", f"canal_wall_{side}")
            if not all((root, n) in lines for n in names):
                continue
            rays = Rays(canal, way * normal, 0.1 * np.arange(0, 60), film.px_per_mm)
            real = [rays.crossings(truth.lines[n]) for n in names]
            seen = [rays.crossings(lines[root, n]) for n in names]
            error = np.abs((seen[0] - seen[1]) - (real[0] - real[1]))
            yield from error[np.isfinite(error)]
