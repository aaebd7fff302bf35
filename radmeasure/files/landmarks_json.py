"""Landmark and hint files: JSON in and out.

Strict: an unknown key is an error that names it and lists the known ones.
"""

import json
import math

from radmeasure.errors import InputError
from radmeasure.files.text import read_json
from radmeasure.model.landmarks import (
    Detector,
    Hints,
    KnownLength,
    Landmarks,
    Root,
    Sphere,
)
from radmeasure.model.tooth import Tooth

FORMAT, HINTS, TRUTH = "radmeasure.landmarks", "radmeasure.hints", "radmeasure.truth"
VERSION = 1
_TOP = (
    "format",
    "version",
    "tooth",
    "scale",
    "points",
    "roots",
    "u_px",
    "given",
    "confidence",
    "left_out",
)
_SCALES = {
    "known_length": (KnownLength, ("length_mm", "u_mm", "points", "along")),
    "sphere": (Sphere, ("diameter_mm", "u_mm", "points")),
    "detector": (Detector, ("mm_per_px", "magnification", "u_magnification")),
}


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
    _object(data, "the landmark file")
    if data.get("format") not in formats:
        raise InputError(
            f"format is {data.get('format')!r}", f"expected {' or '.join(map(repr, formats))}"
        )
    check_version(data, VERSION)
    _only(data, _TOP, "")
    if "tooth" not in data:
        raise InputError("tooth is missing", "give its ISO 3950 designation, such as '11'")
    roots = {
        name: _root(value, name) for name, value in _object(data.get("roots", {}), "roots").items()
    }
    return kind(
        tooth=Tooth(data["tooth"]),
        scale=tuple(_scale(s, i) for i, s in enumerate(_list(data.get("scale", []), "scale"))),
        points=_object(data.get("points", {}), "points"),
        roots=roots,
        u_px=_object(data.get("u_px", {}), "u_px"),
        given=_object(data.get("given", {}), "given"),
        confidence=_object(data.get("confidence", {}), "confidence"),
        left_out=_object(data.get("left_out", {}), "left_out"),
    )


def check_version(data, known):
    """Refuse a version that is not a whole number or newer than ``known``."""
    version = data.get("version")
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise InputError(f"version is {version!r}", f"expected {known}")
    if version > known:
        raise InputError(
            f"version {version} is newer than this program knows ({known})", "update radmeasure"
        )


def _object(value, entry):
    if not isinstance(value, dict):
        raise InputError(f"{entry} is not an object", "give {name: value, ...}")
    return value


def _list(value, entry):
    if not isinstance(value, list):
        raise InputError(f"{entry} is not a list", "give [...]")
    return value


def _only(data, known, where):
    for key in data:
        if key not in known:
            place = f" in {where}" if where else ""
            raise InputError(f"unknown key {key!r}{place}", f"known: {', '.join(known)}")


def _root(value, name):
    _only(_object(value, f"root {name}"), ("points", "lines"), f"root {name}")
    points = _object(value.get("points", {}), f"root {name} points")
    lines = _object(value.get("lines", {}), f"root {name} lines")
    return Root(points, lines)


def _scale(value, i):
    entry = f"scale[{i}]"
    _object(value, entry)
    source = value.get("from")
    if not isinstance(source, str) or source not in _SCALES:
        raise InputError(f"{entry} from is {source!r}", f"use one of: {', '.join(_SCALES)}")
    kind, keys = _SCALES[source]
    _only(value, ("from", *keys), entry)
    rest = {k: v for k, v in value.items() if k != "from"}
    try:
        return kind(**rest)
    except TypeError:
        lacking = [k for k in keys if k not in rest and k not in ("along", "magnification")]
        raise InputError(f"{entry} lacks {', '.join(lacking)}", "add it") from None
    except InputError as error:
        raise InputError(f"{entry}: {error.what}", error.do) from None


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
    """The JSON object of ``landmarks`` (empty parts left out)."""
    kind = HINTS if isinstance(landmarks, Hints) else FORMAT
    data = {"format": kind, "version": VERSION, "tooth": landmarks.tooth.fdi}
    data["scale"] = [_scale_to(entry) for entry in landmarks.scale]
    data["points"] = {k: list(v) for k, v in landmarks.points.items()}
    data["roots"] = {
        name: {
            "points": {k: list(v) for k, v in root.points.items()},
            "lines": {k: [list(p) for p in v] for k, v in root.lines.items()},
        }
        for name, root in landmarks.roots.items()
    }
    for key in ("u_px", "given", "confidence", "left_out"):
        data[key] = dict(getattr(landmarks, key))
    return {k: v for k, v in data.items() if v or k in ("format", "version", "tooth")}


def _scale_to(entry):
    for source, (kind, keys) in _SCALES.items():
        if isinstance(entry, kind):
            values = {k: getattr(entry, k) for k in keys if getattr(entry, k) is not None}
            if "points" in values:
                values["points"] = [list(p) for p in values["points"]]
            return {"from": source, **values}
    raise TypeError(entry)


def landmarks_text(landmarks):
    """The landmark file as text, one landmark a line."""
    return json.dumps(landmarks_to(landmarks), indent=1, allow_nan=False)


def rounded(value, digits):
    """``value`` to ``digits`` significant digits; None for a value that is not finite."""
    if value is None or not math.isfinite(value):
        return None
    return float(f"{value:.{digits}g}")
