"""Ends of files, posts and fillings, fitted on the film along the canal.

The scorers say what lies in the canal and about where it ends (:mod:`metal`); the brightness
along it says where exactly (:mod:`fading_tip`), and whether the upper part of something
bright is a post (:mod:`post_rod`). How sure an end is depends on how well both agree; the
logistic fit was made on films of random anatomy which no table shows (seeds 50000 to 50160
of tests.experiments.suggest_recipes; derived).
"""

from dataclasses import dataclass, replace

import numpy as np

from radmeasure.tracing import fading_tip, post_rod
from radmeasure.tracing.metal import FILE, FILLING, POST
from radmeasure.tracing.rays import Rays, normals, resample

# How far off, mm, an end may be where the kind of the contents changes, and how good a
# scorer's place is (own films, derived).
SPREAD_MM = {
    "file_stop": 1.5,
    "file_tip": 2.0,
    "post_coronal": 0.8,
    "post_apical": 1.6,
    "filling_coronal": 1.5,
    "filling_apical": 1.2,
}
_U_SCORED_MM = {"file_tip": 0.5, "post_coronal": 0.5, "filling_coronal": 0.3, "filling_apical": 0.3}
# An end is seen to within this across and along, mm, and deviations of the fit are this much
# too small (own films, derived).
_U_END_MM, _U_WIDER = 0.10, 1.5
# Log-odds that an end lies within 1 mm: constant; log of the doubt about the kind and about
# the scorer's place; log of u, mm; mm between scorer and fit; what lies over the root.
_SURE = np.array([-1.25, -0.82, -0.24, -0.69, -1.15, -1.09])
_LEAST_SURE = 0.65
_FADED = 1.3  # step over pattern: below, the end of a file is lost in the bone
_USUAL_POST_MM = 9.0  # with the part in the core (common practice, no source)
_SURE_OF_POST = 0.85  # where one root lies free (own films, derived)
_NARROW_MM = 0.2  # half the widest gap between post and filling that was missed (own films)
_CLEAR_POST, _APART_MM = 5.0, 0.6  # a post's coronal end: step over pattern, scorer and fit agree
_UNSURE = "what fills the canal and where it ends does not stand out; place it by hand"
_FADES = "the tip of the file fades into the bone; place it by hand"
_HIDDEN = "the post's coronal end is hidden in the core or crown; place it by hand"


@dataclass(frozen=True, eq=False)
class Strip:
    """The film along a track, finer than the track.

    Attributes
    ----------
    rays : Rays
        Square to the track, a ray every ``fading_tip.ROW`` nominal mm.
    values : ndarray, shape (N, len(fading_tip.COLUMNS))
    """

    rays: Rays
    values: np.ndarray

    def row_of(self, point):
        """Row nearest to a film position."""
        return int(np.linalg.norm(self.rays.origin - point, axis=1).argmin())

    def at(self, row, beside=0.0):
        """Film position at a fractional row, ``beside`` nominal mm off the middle."""
        row = float(np.clip(row, 0, len(self.values) - 1))
        low = min(int(row), len(self.values) - 2)
        here, there = self.rays.at(np.array([low, low + 1]), np.full(2, beside))
        return here + (row - low) * (there - here)

    def end(self, label, point, half=None):
        """Film position and Ending of the body whose end ``label`` lies near ``point``, or None.

        ``half``: half width of the body, nominal mm; measured if not given.
        """
        last, row = len(self.values) - 1, float(self.row_of(point))
        upwards, tip = label.endswith("coronal"), label == "file_tip"
        values, row = (self.values[::-1], last - row) if upwards else (self.values, row)
        fine = fading_tip.FINE if tip else half and fading_tip.sized(half)
        found = fading_tip.find_end(values, row, _U_SCORED_MM[label], fine)
        if found is None:
            return None
        row = found.row + tip * fading_tip.POINT_MM / fading_tip.ROW
        return self.at(last - row if upwards else row, found.beside), found


@dataclass(frozen=True, eq=False)
class End:
    """An end found: film position, uncertainty (mm) and confidence, and what the scorer says.

    ``deviation_mm`` and ``share`` are the scorer's spread, ``reason`` why it is not shown.
    """

    point: np.ndarray
    u_mm: float
    confidence: float
    deviation_mm: float
    share: float
    reason: str = ""


def strip_of(scene, track):
    """The Strip of a track."""
    line = resample(track.points, fading_tip.ROW * scene.unit_px)
    rays = Rays(line, normals(line)[1], fading_tip.COLUMNS, scene.unit_px)
    return Strip(rays, rays.sample(scene.film))


def ends(bright, strip, level, cervix, apex, overlay):
    """Ends of file, post and filling.

    Parameters
    ----------
    bright : metal.Bright
    strip : Strip
        Along the same track.
    level : callable
        Given an end's name and a film position near it: where its scorer puts it (film px),
        and the Level.
    cervix, apex : ndarray, shape (2,)
        Film positions, the first level with the CEJ.
    overlay : float
        How much else lies over the root, 0 to 1.

    Returns
    -------
    dict of End by name
    """
    found = {}
    neck = strip.row_of(cervix)
    # what ends above the cervix lies over the crown, not in a canal
    there = [
        kind
        for kind in (FILE, POST, FILLING)
        if bright.start(kind) is not None and strip.row_of(bright.end(kind)) > neck
    ]
    if FILE in there:
        sure = bright.confidence(FILE)
        found["file_tip"] = _placed("file_tip", bright.end(FILE), sure, strip, level, overlay)
    solid = [kind for kind in there if kind != FILE]
    if not solid:
        return found
    sure = bright.confidence(solid[-1])
    for label, near in (
        ("filling_coronal", bright.start(solid[-1])),
        ("filling_apical", bright.end(solid[-1])),
    ):
        found[label] = _placed(label, near, sure, strip, level, overlay)
    rows = [strip.row_of(p) for p in (bright.start(solid[0]), bright.end(solid[-1]))]
    top = strip.row_of(found["filling_coronal"].point)
    said, tip = POST in solid, strip.row_of(apex)
    post = post_rod.find_post(strip.values, rows, said, top, neck, tip)
    if post is not None:
        start = bright.start(POST) if said else None
        found.update(_post_ends(post, start, strip, level, overlay))
    return found


def _placed(label, near, sure, strip, level, overlay):
    """The End near ``near`` of a body of which the kind is ``sure``."""
    scored, seen = level(label, near)
    fitted = strip.end(label, scored)
    raw = seen.deviation, sure * seen.share
    if fitted is None:
        return End(scored, 1.0, 0.0, *raw, _UNSURE)  # no rod leads up to it
    point, ending = fitted
    u_point = fading_tip.U_POINT_MM if label == "file_tip" else 0.0
    u_mm = float(np.linalg.norm([_U_WIDER * ending.deviation, _U_END_MM, u_point]))
    apart = float(np.linalg.norm(point - scored)) / strip.rays.unit_px
    doubts = np.log([1.02 - sure, 1.02 - seen.share, u_mm])
    confidence = float(1 / (1 + np.exp(-_SURE @ [1.0, *doubts, apart, overlay])))
    lost = confidence < _LEAST_SURE or (label == "file_tip" and ending.stands_out < _FADED)
    reason = (_FADES if label == "file_tip" else _UNSURE) if lost else ""
    return End(point, u_mm, confidence, *raw, reason)


def _post_ends(post, start, strip, level, overlay):
    """Both ends of a post, and where the filling below it begins if they touch."""
    sure = _SURE_OF_POST * (1 - 0.5 * overlay)
    apical = strip.at(post.apical)
    u_mm = float(np.hypot(post.u_apical, _U_END_MM))
    spread = level("post_apical", apical)[1]
    ends = {"post_apical": End(apical, u_mm, sure, spread.deviation, sure * spread.share)}
    if post.filling == post.apical:
        # A gap this narrow is not told from none; two marks on one place could not be dragged.
        below = strip.at(post.apical + _NARROW_MM / fading_tip.ROW)
        u_below = float(np.hypot(u_mm, _NARROW_MM))
        ends["filling_coronal"] = replace(ends["post_apical"], point=below, u_mm=u_below)
    if start is None:
        start = strip.at(post.apical - _USUAL_POST_MM / fading_tip.ROW)
    scored, seen = level("post_coronal", start)
    fitted = strip.end("post_coronal", scored, post.half)
    raw = seen.deviation, sure * seen.share
    ends["post_coronal"] = End(scored, 1.0, 0.0, *raw, _HIDDEN)
    if fitted is not None:
        point, ending = fitted
        apart = np.linalg.norm(point - scored) / strip.rays.unit_px
        if ending.stands_out >= _CLEAR_POST and apart <= _APART_MM:
            u_mm = float(np.hypot(_U_WIDER * ending.deviation, _U_END_MM))
            ends["post_coronal"] = End(point, u_mm, sure, *raw)
    return ends
