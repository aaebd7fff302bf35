"""Landmark and hint files: JSON in and out.

Strict: an unknown key is an error that names it and lists the known ones.
"""

import json

from radmeasure.errors import InputError
from radmeasure.files.text import read_json
from radmeasure.model.landmarks import Hints, Landmarks
from radmeasure.model.landmarks_json import (
    KEYS,
    checked,
    landmarks_from_json,
    landmarks_to_json,
)

FORMAT, HINTS, TRUTH = "radmeasure.landmarks", "radmeasure.hints", "radmeasure.truth"
VERSION = 1


def read_landmarks(path):
    """Read a landmark file (or a truth file, which holds one).

    Raises
    ------
    InputError
        Names the entry that is wrong.
    """
    data = read_json(path)
    if isinstance(data, dict) and data.get("format") == TRUTH:
        data = data.get("landmarks")
    return _at_fault(path, lambda: landmarks_from(data))


def read_hints(path):
    """Read a hints file; a landmark file serves too."""
    data = read_json(path)
    return _at_fault(path, lambda: landmarks_from(data, kind=Hints, formats=(HINTS, FORMAT)))


def _at_fault(path, read):
    try:
        return read()
    except InputError as error:
        raise InputError(f"{path}: {error.what}", error.do) from None


def landmarks_from(data, kind=Landmarks, formats=(FORMAT,)):
    """Landmarks of a parsed JSON object.

    Raises
    ------
    InputError
        Names the entry that is wrong.
    """
    checked(data, "the landmark file")
    if data.get("format") not in formats:
        raise InputError(
            f"format is {data.get('format')!r}", f"expected {' or '.join(map(repr, formats))}"
        )
    check_version(data, VERSION)
    checked(data, "", ("format", "version", *KEYS))
    body = {key: value for key, value in data.items() if key in KEYS}
    return landmarks_from_json(body, kind)


def check_version(data, known):
    """Refuse a version that is not a whole number or newer than ``known``."""
    version = data.get("version")
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise InputError(f"version is {version!r}", f"expected {known}")
    if version > known:
        raise InputError(
            f"version {version} is newer than this program knows ({known})", "update radmeasure"
        )


def check_on_film(landmarks, width, height):
    """Refuse a coordinate that lies off a film of ``width`` x ``height`` px.

    Raises
    ------
    InputError
        Names the first landmark that lies off the film.
    """

    def check(entry, xy):
        x, y = xy
        if not (-0.5 <= x <= width - 0.5 and -0.5 <= y <= height - 0.5):
            raise InputError(
                f"{entry} at ({x:g}, {y:g}) lies off the film of {width} x {height} px",
                "place it on the film, or check that the landmarks belong to this film",
            )

    for root, name, value in landmarks.placed():
        entry = name if root is None else f"{root}.{name}"
        if isinstance(value[0], tuple):
            for i, xy in enumerate(value):
                check(f"{entry}[{i}]", xy)
        else:
            check(entry, value)
    for i, reference in enumerate(landmarks.scale):
        for j, xy in enumerate(getattr(reference, "points", ())):
            check(f"scale[{i}] points[{j}]", xy)


def landmarks_to(landmarks):
    """The JSON object of a landmark or hint file (empty parts left out)."""
    kind = HINTS if isinstance(landmarks, Hints) else FORMAT
    return {"format": kind, "version": VERSION, **landmarks_to_json(landmarks)}


def landmarks_text(landmarks):
    """The landmark file as text, one landmark a line."""
    return json.dumps(landmarks_to(landmarks), indent=1, allow_nan=False)
