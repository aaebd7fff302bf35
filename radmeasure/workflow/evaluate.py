"""The one place where every number is derived, top to bottom.

film + landmarks -> scale -> readings -> findings -> post space. Screen, report,
command line and DICOM objects all show what stands here.
"""

from dataclasses import dataclass, field, replace
from types import MappingProxyType

import numpy as np

from radmeasure.calibration.scale import ScaleModel
from radmeasure.measurements.catalogue import measure_all
from radmeasure.measurements.evidence import Evidence
from radmeasure.model.case import PlanChoice
from radmeasure.model.landmarks import Detector, KnownLength, Landmarks
from radmeasure.model.reading import Reading
from radmeasure.model.rulebook import Rulebook
from radmeasure.planning import gains, post_space
from radmeasure.planning.findings import findings_on
from radmeasure.planning.outline import level_values, outline_of
from radmeasure.quantity import Inputs, Quantity

# Draws of the Monte Carlo run; the standard deviation of 4000 draws is known to 1.1 %.
DRAWS = 4000
# Without any reference a tooth is about this long (Wheeler's means run from 19 to 27 mm);
# only used to express placement uncertainties in px.
_USUAL_TOOTH_MM = 22.0
_USUAL_ROOT_MM = 14.0


@dataclass(frozen=True, eq=False)
class ScaleReport:
    """The scale at the middle of the root, as shown and written.

    ``along`` and ``across`` are None on an uncalibrated film, ``foreshortening``
    unless two kinds of reference were placed.
    """

    along: Quantity | None
    across: Quantity | None
    foreshortening: Quantity | None
    notes: tuple


@dataclass(frozen=True, eq=False)
class Evaluation:
    """Everything derived from one film's landmarks.

    Attributes
    ----------
    landmarks : Landmarks
        As evaluated: with the film's own spacing or the file as scale where that applies.
    scale : ScaleReport
    readings : tuple of Reading
    findings : tuple of Finding
    post_space : tuple of PostSpace
    rulebook : Rulebook
        The rules it was derived by.
    choice : PlanChoice
        What the clinician chose for the post.
    gains : tuple of Gains
        Ways to gain tooth for a ferrule, per root; empty on an uncalibrated film.
    outlines : mapping of root name to RootOutline
        The roots drawn in their own frames; on an uncalibrated film in proportion only.
    """

    landmarks: Landmarks
    scale: ScaleReport
    readings: tuple
    findings: tuple
    post_space: tuple
    rulebook: Rulebook
    choice: PlanChoice
    outlines: MappingProxyType = field(default_factory=lambda: MappingProxyType({}))
    gains: tuple = ()

    def reading(self, id_, root=None, side=None, depth_mm=None):
        """The reading with this key, or None."""
        wanted = (id_, root, side, depth_mm)
        return next((r for r in self.readings if r.key == wanted), None)


def evaluate(landmarks, rulebook, spacing=None, choice=None, sizes=(), live=False):
    """Derive every number from landmarks.

    Parameters
    ----------
    landmarks : Landmarks
    rulebook : Rulebook
    spacing : Spacing, optional
        The film's own spacing, used as scale when the landmarks name none.
    choice : PlanChoice, optional
    sizes : tuple of PostSize
    live : bool
        True while a landmark is dragged: linear propagation only.

    Returns
    -------
    Evaluation
    """
    choice = choice or PlanChoice()
    landmarks, notes = with_own_scale(landmarks, spacing, rulebook)
    model = _declare(landmarks, rulebook)
    run = _Run(model, model.inputs.stencil(), rulebook, choice, sizes)
    quantify = _Quantify(model, run, rulebook, choice, sizes, live)
    scale = _scale_report(run, quantify, rulebook, notes)
    readings = _readings(run, quantify)
    findings = tuple(findings_on(readings, landmarks.tooth, rulebook))
    spaces = tuple(
        post_space.settle(
            space,
            lambda get, root=root: quantify.named(lambda r: get(r.spaces[root])),
            rulebook,
            landmarks.tooth,
            sizes,
            findings,
        )
        for root, space in run.spaces.items()
    )
    ways = tuple(
        gains.settle(
            run.gains[space.root],
            lambda get, root=space.root: quantify.named(lambda r: get(r.gains[root])),
            rulebook,
            landmarks.tooth,
            space.deepest,
        )
        for space in spaces
    )
    drawn = [root for root in run.sight.roots if run.sight.frame(root) is not None]
    outlines = {root: _outline(run, root, quantify) for root in drawn}
    return Evaluation(
        landmarks,
        scale,
        readings,
        findings,
        spaces,
        rulebook,
        choice,
        MappingProxyType(outlines),
        ways,
    )


# -- inputs --------------------------------------------------------------------------------------


def with_own_scale(landmarks, spacing, rulebook):
    """Landmarks with the file in the canal, or else the film's own spacing, as scale.

    A file's length entered beside its stop and tip is a reference; the film's
    spacing is used only when nothing else is there (never silently: the second
    value holds the words).
    """
    notes = []
    length = landmarks.given.get("file_length_mm")
    has_file = any(isinstance(e, KnownLength) and e.along == "tooth" for e in landmarks.scale)
    if length is not None and not has_file:
        for name, root in landmarks.roots.items():
            if {"file_stop", "file_tip"} <= set(root.points):
                u = rulebook.value("scale.file_length")
                ends = (root.points["file_stop"], root.points["file_tip"])
                if ends[0] != ends[1]:
                    entry = KnownLength(length, u, ends, "tooth")
                    landmarks = landmarks.with_scale(*landmarks.scale, entry)
                    where = f" in the {name} root" if name != "single" else ""
                    notes.append(f"scale from the file of {length:g} mm{where}, stop to tip")
                break
    if not landmarks.scale and spacing is not None:
        if spacing.usable:
            pitch = float(np.sqrt(spacing.row_mm * spacing.column_mm))
            calibrated = spacing.basis in ("calibrated", "estimated")
            u = rulebook.value("scale.u_calibrated_spacing")
            entry = Detector(pitch, 1.0, u) if calibrated else Detector(pitch)
            landmarks = landmarks.with_scale(entry)
        notes.append(spacing.words)
    return landmarks, tuple(notes)


@dataclass(eq=False)
class _Model:
    """Declared inputs of one film: what the samplings are drawn from."""

    landmarks: Landmarks
    inputs: Inputs
    scale: ScaleModel
    evidence: Evidence
    entered_files: dict

    def file_lengths(self, sampling):
        """Length of the file in each root, mm (K,): a reference of the scale, or as entered."""
        entered = {root: sampling[index] for root, index in self.entered_files.items()}
        return entered | self.scale.file_lengths(sampling)


def _declare(landmarks, rulebook):
    rough = rough_mm_per_px(landmarks)
    inputs = Inputs()
    top, axis, _, middle = _axis_px(landmarks)
    many = len(landmarks.tooth.usual_roots) > 1
    technique = technique_of(landmarks)
    oblique = rulebook.value(f"hidden.obliquity_{technique}")
    scale = ScaleModel(
        landmarks.scale,
        top,
        axis,
        middle,
        rulebook.value,
        technique,
        {root: rulebook.value(f"hidden.lean_{_leaning(root)}") for root in landmarks.roots},
        oblique,
        lambda file: _root_of(landmarks, file),
        rough,
        inputs,
    )
    kind = landmarks.tooth.kind
    part = kind if kind in ("premolar", "molar") else "anterior"
    roots = "many_roots" if many else "single_root"

    def shift(what):
        """What lies this far towards cheek or tongue moves along the axis when seen obliquely."""
        return rulebook.value(f"hidden.offset_{what}") * np.tan(np.radians(oblique))

    hidden = {
        "reference": shift(f"reference_{part}"),
        "level": shift("level"),
        "cej": shift("cej"),
        "crest": shift("crest"),
        "root": {root: shift(f"root_{_leaning(root)}") for root in landmarks.roots},
        "canal": rulebook.value(f"hidden.canal_{roots}"),
        "apical": rulebook.value(f"hidden.apical_{roots}"),
    }

    def u_px(name, root):
        stated = landmarks.stated_u_px(name, root)
        return rulebook.value(placement_entry(name)) / rough if stated is None else stated

    evidence = Evidence(landmarks, u_px, rough, hidden, oblique, inputs)
    return _Model(landmarks, inputs, scale, evidence, _entered_files(landmarks, rulebook, inputs))


def _entered_files(landmarks, rulebook, inputs):
    """A file whose length was entered but whose stop is not on the film, by root."""
    length = landmarks.given.get("file_length_mm")
    tips = [name for name, root in landmarks.roots.items() if "file_tip" in root.points]
    if length is None or len(tips) != 1:
        return {}
    u = rulebook.value("scale.file_length")
    return {tips[0]: inputs.add(length, u, f"length of the file of {length:g} mm")}


def technique_of(landmarks):
    """'paralleled', 'bisected' or 'unknown'."""
    given = landmarks.given.get("technique")
    return {"paralleling": "paralleled", "bisecting": "bisected"}.get(given, "unknown")


def _leaning(root):
    """Which lean of the rulebook a root has."""
    return root if root in ("single", "palatal") else "many_roots"


def _root_of(landmarks, file):
    """The root a file lies in: the one whose file tip, or else apex, is nearest to its end."""
    for name in ("file_tip", "apex"):
        ends = {r: root.points[name] for r, root in landmarks.roots.items() if name in root.points}
        if ends:
            return min(ends, key=lambda r: np.hypot(*np.subtract(ends[r], file.points[-1])))
    return next(iter(landmarks.roots), None)


def placement_entry(name):
    """Rulebook entry that holds the placement uncertainty of a landmark.

    Examples
    --------
    >>> placement_entry("cej_mesial"), placement_entry("filling_apical")
    ('placement.cej', 'placement.filling')
    """
    for suffix in ("_mesial", "_distal", "_coronal", "_apical"):
        if name.endswith(suffix):
            return f"placement.{name.removesuffix(suffix)}"
    return f"placement.{name}"


def rough_mm_per_px(landmarks):
    """A first guess of the scale, good to some 20 %, to express mm in px."""
    for entry in landmarks.scale:
        if isinstance(entry, Detector):
            return entry.mm_per_px / (entry.magnification or 1.05)
        if isinstance(entry, KnownLength):
            line = np.array(entry.points)
            return entry.length_mm / float(np.hypot(*np.diff(line, axis=0).T).sum())
        rim = np.array(entry.points)
        return entry.diameter_mm / float(np.ptp(rim, axis=0).max())
    length = _axis_px(landmarks)[2]
    if "coronal_reference" in landmarks.points:
        return _USUAL_TOOTH_MM / max(length, 1.0)
    return _USUAL_ROOT_MM / max(length, 1.0)


def _axis_px(landmarks):
    """Coronal level, unit axis, length and middle (px below the level) of the tooth."""
    apices = [r.points["apex"] for r in landmarks.roots.values() if "apex" in r.points]
    cej = [landmarks.points.get(f"cej_{side}") for side in ("mesial", "distal")]
    reference = landmarks.points.get("coronal_reference")
    upright = np.array([0.0, float(landmarks.tooth.apical_sign)])
    if not apices:
        return np.array(reference or (0.0, 0.0)), upright, 600.0, 0.0
    apex = np.mean(apices, axis=0)
    orifices = [r.points["orifice"] for r in landmarks.roots.values() if "orifice" in r.points]
    if all(p is not None for p in cej):
        top = np.mean(cej, axis=0)
    elif reference is not None:
        top = np.array(reference)
    elif orifices:
        top = np.mean(orifices, axis=0)
    else:
        return apex, upright, 600.0, 0.0
    end = np.array(reference) if reference is not None else top
    vector = apex - top
    length = float(np.hypot(*vector))
    if length == 0:
        return top, upright, 600.0, 0.0
    axis = vector / length
    middle = 0.5 * (length + float((end - top) @ axis))
    return top, axis, float(np.hypot(*(apex - end))) or 600.0, middle


# -- one run of all formulas ----------------------------------------------------------------------


class _Run:
    """All formulas on one sampling."""

    def __init__(self, model, sampling, rulebook, choice, sizes):
        self.sampling = sampling
        self.scale = model.scale.solve(sampling)
        sight = model.evidence.at(sampling, self.scale)
        sight.file_lengths = model.file_lengths(sampling)
        self.sight = sight
        self.table = measure_all(sight, rulebook)
        self.spaces = post_space.sample(sight, rulebook, choice, sizes)
        self.gains = gains.sample(sight, rulebook, choice, self.spaces)


class _Quantify:
    """Turns sampled values into quantities: linear, or Monte Carlo where too bent."""

    def __init__(self, model, run, rulebook, choice, sizes, live):
        self._run, self._live, self._drawn = run, live, None
        self._again = lambda: _Run(model, model.inputs.draws(DRAWS), rulebook, choice, sizes)

    def __call__(self, get):
        """Quantity of ``get(run)`` (sampled values (K,) or None)."""
        if get(self._run) is None:
            return None
        return self.named(lambda run: {"": get(run)})[""]

    def named(self, get, least=None, bent=()):
        """Quantities by name of ``get(run)``, a dict of name to sampled values (K,).

        ``least`` holds, by name, the value a quantity cannot fall below; ``bent`` the
        names to which the linear law does not apply.
        """
        values = get(self._run)
        if not values:
            return {}
        stack = np.stack(list(values.values()), axis=1)
        sampling = self._run.sampling
        found = dict(zip(values, sampling.quantities(stack), strict=True))
        low = {n: q.interval95[0] < (least or {}).get(n, -np.inf) for n, q in found.items()}
        if self._live:
            for name in (name for name in found if low[name]):
                high = found[name].interval95[1]
                found[name] = replace(found[name], interval95=(least[name], high))
            return found
        for name, shown_bent in zip(found, sampling.too_bent(stack), strict=True):
            if shown_bent or low[name] or name in bent:
                drawn = self._redrawn().sampling.quantity(get(self._drawn)[name])
                parts, sources = found[name].contributions, found[name].sources
                found[name] = replace(drawn, contributions=parts, sources=sources)
        return found

    def _redrawn(self):
        if self._drawn is None:
            self._drawn = self._again()
        return self._drawn


def _readings(run, quantify):
    def values(run):
        return {k: found.values for k, found in run.table.items() if found}

    least = {k: found.least for k, found in run.table.items() if found}
    bent = {k for k, found in run.table.items() if found and found.bent}
    quantities = quantify.named(values, least, bent)
    return tuple(_reading(k, found, quantities.get(k)) for k, found in run.table.items())


def _reading(key, found, quantity):
    id_, root, side, depth = key
    if quantity is None:
        return Reading(id_, root, side, found.unit, depth, missing=found.waits_for, why=found.why)
    method = found.method + ("; Monte Carlo" if quantity.by_monte_carlo else "")
    return Reading(id_, root, side, found.unit, depth, quantity, method, remark=found.remark)


def _outline(run, root, quantify):
    levels = quantify.named(lambda r: level_values(r.sight, root))
    return outline_of(run.sight, root, levels.__getitem__)


def _scale_report(run, quantify, rulebook, notes):
    scale = run.scale
    notes = [*notes, *scale.notes]
    if not scale.calibrated:
        return ScaleReport(None, None, None, tuple(notes))

    def middle(r):
        """Half-way down the first root whose axis is drawn: (along, across)."""
        for root in r.sight.roots:
            frame = r.sight.frame(root)
            if frame is not None:
                return r.scale.at(0.5 * frame.depth(r.sight.point("apex", root))[0], root)
        return r.scale.along, r.scale.across

    along = quantify(lambda r: middle(r)[0])
    across = quantify(lambda r: middle(r)[1])
    f = None
    if scale.foreshortening is not None:
        f = quantify(lambda r: middle(r)[1] / middle(r)[0])
        limit = rulebook.value("scale.foreshortening_warning")
        if abs(f.value - 1) >= limit:
            word = "foreshortened" if f.value < 1 else "elongated"
            notes.append(
                f"the film is {word}: {100 * (f.value - 1):+.0f} ± {196 * f.u:.0f} % along the "
                "tooth; the readings along the tooth are corrected for it"
            )
    return ScaleReport(along, across, f, tuple(notes))
