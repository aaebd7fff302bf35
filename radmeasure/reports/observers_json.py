"""Observer statistics for other programs; keys and meaning stand in docs/command-line.md."""

import json

from radmeasure.model.observers import Classes, Limits
from radmeasure.reports.readings_json import figure

FORMAT, VERSION = "radmeasure.observers", 1


def observers_text(study):
    """The observers file as text."""
    return json.dumps(observers_object(study), indent=1, allow_nan=False) + "\n"


def observers_object(study):
    """The observers file as an object, for a file that holds it too."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "observers": list(study.observers),
        "films": list(study.films),
        "factor": study.factor,
        "readings": [_reading(reading) for reading in study.readings],
    }


def _reading(reading):
    found = {
        "reading": reading.reading,
        "side": reading.side or None,
        "unit": reading.unit,
        "subjects": reading.subjects,
        "without_truth": reading.without_truth,
        "against": reading.against or None,
        "observers": [_observer(observer) for observer in reading.observers],
        "pairs": [{"first": a, "second": b, **agreement(said)} for a, b, said in reading.pairs],
    }
    if reading.classes:
        return {**found, "classes": list(reading.classes)}
    sure = reading.reliability
    icc = None
    if sure is not None:
        forms = {form: figure(value) for form, value in sure.forms.items()}
        icc = {**forms, "subjects": sure.subjects, "left_out": sure.left_out}
    return {**found, "icc": icc}


def _observer(observer):
    found = {"observer": observer.name, **agreement(observer.against)}
    if observer.again is not None:
        found["again"] = agreement(observer.again)
    if observer.error is not None:
        found |= {"error": figure(observer.error), "repeats": observer.repeats}
    return found


def agreement(said):
    """Limits or classes as an object; empty when there are none."""
    if isinstance(said, Limits):
        return {
            "n": said.n,
            "bias": figure(said.bias),
            "se": figure(said.se),
            "interval95": _pair(said.interval95),
            "direction": said.direction,
            "sd": figure(said.sd),
            "limits": _pair(said.limits),
            "se_limit": figure(said.se_limit),
            "limits_interval95": [_pair(pair) for pair in said.limits_interval95],
        }
    if isinstance(said, Classes):
        return {
            "n": said.n,
            "agreement": figure(said.agreement),
            "kappa": figure(said.kappa),
            "linear": figure(said.linear),
            "quadratic": figure(said.quadratic),
        }
    return {}


def _pair(pair):
    return [figure(value) for value in pair]
