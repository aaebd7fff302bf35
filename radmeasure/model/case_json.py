"""A case and its parts as JSON values and back, as the case file stores them.

Landmarks have the shape of a landmarks file without its ``format`` and
``version``. Writing is strict; reading ignores nothing: an unknown key is an
error, because it would be lost by the next writing.
"""

from dataclasses import fields
from types import MappingProxyType

from radmeasure.errors import InputError
from radmeasure.model.case import Case, Chart, FilmEntry, PlanChoice
from radmeasure.model.landmarks import Detector, KnownLength, Landmarks, Root, Sphere
from radmeasure.model.tooth import Tooth

_SCALES = MappingProxyType({"known_length": KnownLength, "sphere": Sphere, "detector": Detector})
# The class of a scale entry -> its word in files.
SCALE_KINDS = MappingProxyType({kind: name for name, kind in _SCALES.items()})


def _checked(data, known, what):
    if not isinstance(data, dict):
        raise InputError(f"{what} is not a JSON object", "")
    for key in data:
        if key not in known:
            raise InputError(f"unknown key {key!r} in {what}", f"known: {', '.join(known)}")
    return data


def _stated(thing):
    """Fields of a flat dataclass that differ from None."""
    found = {f.name: getattr(thing, f.name) for f in fields(thing)}
    return {name: value for name, value in found.items() if value is not None}


def _flat(kind, data, what):
    return kind(**_checked(data, tuple(f.name for f in fields(kind)), what))


# -- landmarks ------------------------------------------------------------
def scale_to_json(entry):
    """One scale entry, e.g. ``{"from": "sphere", "diameter_mm": 5.0, ...}``."""
    return {"from": SCALE_KINDS[type(entry)], **_stated(entry)}


def scale_from_json(data):
    """Inverse of :func:`scale_to_json`; InputError names what is wrong."""
    kind = data.get("from") if isinstance(data, dict) else None
    if kind not in _SCALES:
        raise InputError(f"unknown scale {kind!r}", f"known: {', '.join(_SCALES)}")
    rest = {key: value for key, value in data.items() if key != "from"}
    return _flat(_SCALES[kind], rest, f"scale {kind}")


def _root_to_json(root):
    return {"points": dict(root.points), "lines": dict(root.lines)}


def _root_from_json(data):
    return Root(**_checked(data, ("points", "lines"), "root"))


_LANDMARK_MAPS = ("points", "u_px", "given", "confidence", "left_out")


def landmarks_to_json(landmarks):
    data = {"tooth": landmarks.tooth.fdi}
    if landmarks.scale:
        data["scale"] = [scale_to_json(entry) for entry in landmarks.scale]
    for name in _LANDMARK_MAPS:
        if getattr(landmarks, name):
            data[name] = dict(getattr(landmarks, name))
    if landmarks.roots:
        data["roots"] = {name: _root_to_json(root) for name, root in landmarks.roots.items()}
    return data


def landmarks_from_json(data):
    known = ("tooth", "scale", "roots", *_LANDMARK_MAPS)
    parts = dict(_checked(data, known, "landmarks"))
    parts["tooth"] = Tooth(parts.get("tooth"))
    parts["scale"] = tuple(scale_from_json(entry) for entry in parts.get("scale", ()))
    roots = parts.get("roots", {})
    parts["roots"] = {name: _root_from_json(root) for name, root in roots.items()}
    return Landmarks(**parts)


# -- the case ---------------------------------------------------------------
def film_to_json(entry):
    return _stated(entry)


def film_from_json(data):
    return _flat(FilmEntry, data, "film")


def plan_to_json(choice):
    return _stated(choice)


def plan_from_json(data):
    return _flat(PlanChoice, data, "plan")


def _chart_to_json(key, chart):
    data = {"film": key[0], "tooth": key[1], "landmarks": landmarks_to_json(chart.landmarks)}
    if chart.suggested is not None:
        data["suggested"] = landmarks_to_json(chart.suggested)
    if chart.accepted:
        data["accepted"] = dict(chart.accepted)
    return data


def _chart_from_json(data):
    _checked(data, ("film", "tooth", "landmarks", "suggested", "accepted"), "chart")
    suggested = data.get("suggested")
    chart = Chart(
        landmarks_from_json(data["landmarks"]),
        None if suggested is None else landmarks_from_json(suggested),
        data.get("accepted", {}),
    )
    return (data["film"], data["tooth"]), chart


def case_to_json(case):
    """The whole case as one JSON object."""
    return {
        "label": case.label,
        "films": [film_to_json(entry) for entry in case.films],
        "charts": [_chart_to_json(key, chart) for key, chart in case.charts.items()],
        "worksheets": {tooth: dict(sheet) for tooth, sheet in case.worksheets.items()},
        "plans": {tooth: plan_to_json(choice) for tooth, choice in case.plans.items()},
        "recalls": dict(case.recalls),
        "identity": dict(case.identity),
    }


def case_from_json(data):
    """Inverse of :func:`case_to_json`; InputError names what is wrong."""
    parts = dict(_checked(data, tuple(f.name for f in fields(Case)), "case"))
    parts["films"] = tuple(film_from_json(entry) for entry in parts.get("films", ()))
    parts["charts"] = dict(_chart_from_json(entry) for entry in parts.get("charts", ()))
    sheets = parts.get("worksheets", {})
    parts["worksheets"] = {tooth: MappingProxyType(dict(s)) for tooth, s in sheets.items()}
    plans = parts.get("plans", {})
    parts["plans"] = {tooth: plan_from_json(choice) for tooth, choice in plans.items()}
    return Case(**parts)
