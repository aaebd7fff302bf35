"""A case and its parts as JSON values and back, as the case file stores them.

Landmarks have the shape of a landmarks file without its ``format`` and
``version``. Writing is strict; reading ignores nothing: an unknown key is an
error, because it would be lost by the next writing.
"""

from dataclasses import fields
from types import MappingProxyType

from radmeasure.model.case import Case, Chart, FilmEntry, PlanChoice
from radmeasure.model.landmarks_json import checked, landmarks_from_json, landmarks_to_json


def _stated(thing):
    """Fields of a flat dataclass that differ from None."""
    found = {f.name: getattr(thing, f.name) for f in fields(thing)}
    return {name: value for name, value in found.items() if value is not None}


def _flat(kind, data, what):
    return kind(**checked(data, what, tuple(f.name for f in fields(kind))))


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
    checked(data, "chart", ("film", "tooth", "landmarks", "suggested", "accepted"))
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
    parts = dict(checked(data, "case", tuple(f.name for f in fields(Case))))
    parts["films"] = tuple(film_from_json(entry) for entry in parts.get("films", ()))
    parts["charts"] = dict(_chart_from_json(entry) for entry in parts.get("charts", ()))
    sheets = parts.get("worksheets", {})
    parts["worksheets"] = {tooth: MappingProxyType(dict(s)) for tooth, s in sheets.items()}
    plans = parts.get("plans", {})
    parts["plans"] = {tooth: plan_from_json(choice) for tooth, choice in plans.items()}
    return Case(**parts)
