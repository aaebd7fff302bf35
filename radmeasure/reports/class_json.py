"""A marked class for other programs; keys and meaning stand in docs/command-line.md."""

import json

from radmeasure.reports.observers_json import observers_object
from radmeasure.reports.readings_json import figure

FORMAT, VERSION = "radmeasure.class", 1


def class_text(marks):
    """The class file as text.

    Parameters
    ----------
    marks : radmeasure.model.class_marks.ClassMarks
    """
    data = {
        "format": FORMAT,
        "version": VERSION,
        "films": list(marks.films),
        "students": [_student(marks, student) for student in marks.students],
        "not_marked": list(marks.troubles),
        "landmarks": _landmarks(marks.landmarks),
        "observers": None if marks.observers is None else observers_object(marks.observers),
    }
    return json.dumps(data, indent=1, allow_nan=False) + "\n"


def _student(marks, student):
    held = [h.holds for h in marks.readings if h.handed.student == student]
    return {
        "student": student,
        "handed": [
            {"film": h.film, "occasion": h.occasion} for h in marks.handed if h.student == student
        ],
        "intervals": {"hold": sum(held), "of": len(held)},
        "placement": [
            {
                "entry": p.entry,
                "marks": p.marks,
                "rms_mm": figure(p.rms_mm),
                "shipped_mm": figure(p.shipped_mm),
                "written": p.written,
            }
            for p in marks.placements[student]
        ],
    }


def _landmarks(study):
    """As the readings of an observers file, by landmark and direction; the truth is zero."""
    if study is None:
        return []
    found = []
    for reading in observers_object(study)["readings"]:
        shown = {"landmark": reading["reading"], "direction": reading["side"]}
        kept = ("unit", "subjects", "observers")
        found.append(shown | {key: reading[key] for key in kept})
    return found
