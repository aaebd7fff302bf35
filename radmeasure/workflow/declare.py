"""What stands on one film, declared as independent inputs: references, places, what is hidden.

Landmarks and rulebook -> inputs with their standard uncertainties, the model of the
scale and the evidence of all places; workflow/evaluate.py derives every number from them.
"""

from dataclasses import dataclass

import numpy as np

from radmeasure.calibration.lean import RootLeans
from radmeasure.calibration.scale import ScaleModel
from radmeasure.measurements.evidence import Evidence
from radmeasure.model.landmarks import Detector, KnownLength, Landmarks
from radmeasure.quantity import Inputs
from radmeasure.workflow.hidden import beam_of, hidden_of, leans_of
from radmeasure.workflow.mistyped import mistyped

# Without any reference a tooth is about this long (Wheeler's means run from 19 to 27 mm);
# only used to express placement uncertainties in px and to say where its middle lies.
_USUAL_TOOTH_MM = 22.0
_USUAL_ROOT_MM = 14.0
# The middle of a whole tooth lies this share of the root below the CEJ. Not taken from the
# coronal reference: that of a broken-down tooth is a stump.
_MIDDLE = 1 - _USUAL_TOOTH_MM / 2 / _USUAL_ROOT_MM


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
    notes += mistyped(landmarks.scale, spacing)
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
class FilmModel:
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


def declare(landmarks, rulebook):
    """The :class:`FilmModel` of landmarks that already carry their scale."""
    rough = rough_mm_per_px(landmarks)
    inputs = Inputs()
    top, axis, _, middle = _axis_px(landmarks)
    technique = technique_of(landmarks)
    beam = beam_of(technique, rulebook.value, inputs)
    scale = ScaleModel(
        landmarks.scale,
        top,
        axis,
        middle,
        rulebook.value,
        technique,
        RootLeans(leans_of(landmarks, rulebook.value), beam, inputs),
        lambda file: _root_of(landmarks, file),
        rough,
        inputs,
    )
    hidden = hidden_of(landmarks, rulebook.value, beam)

    def u_px(name, root):
        stated = landmarks.stated_u_px(name, root)
        return rulebook.value(placement_entry(name)) / rough if stated is None else stated

    evidence = Evidence(landmarks, u_px, rough, hidden, beam, inputs)
    return FilmModel(
        landmarks, inputs, scale, evidence, _entered_files(landmarks, rulebook, inputs)
    )


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
    middle = _MIDDLE
    if all(p is not None for p in cej):
        top = np.mean(cej, axis=0)
    elif reference is not None:
        top, middle = np.array(reference), 0.5
    elif orifices:
        top = np.mean(orifices, axis=0)
    else:
        return apex, upright, 600.0, 0.0
    end = np.array(reference) if reference is not None else top
    vector = apex - top
    length = float(np.hypot(*vector))
    if length == 0:
        return top, upright, 600.0, 0.0
    return top, vector / length, float(np.hypot(*(apex - end))) or 600.0, middle * length
