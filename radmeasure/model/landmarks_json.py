"""Landmarks as JSON values and back: the one codec of landmark, hint and case files.

The shape is that of a landmarks file without its ``format`` and ``version``. Strict
both ways: an unknown key is an error that names it and lists the known ones.
"""

from dataclasses import fields
from types import MappingProxyType

from radmeasure.errors import InputError
from radmeasure.model.landmarks import Detector, KnownLength, Landmarks, Root, Sphere
from radmeasure.model.tooth import Tooth

_SCALES = MappingProxyType({"known_length": KnownLength, "sphere": Sphere, "detector": Detector})
# The class of a scale entry -> its word in files.
SCALE_KINDS = MappingProxyType({kind: name for name, kind in _SCALES.items()})
KEYS = ("tooth", "scale", "points", "roots", "u_px", "given", "confidence", "left_out")
_MAPS = ("points", "u_px", "given", "confidence", "left_out")
_OPTIONAL = ("along", "magnification", "u_magnification")


def checked(value, entry, known=None):
    """``value`` when it is a JSON object with none but ``known`` keys.

    Raises
    ------
    InputError
        Names the entry or the key.
    """
    if not isinstance(value, dict):
        raise InputError(f"{entry or 'the file'} is not an object", "give {name: value, ...}")
    for key in value:
        if known is not None and key not in known:
            place = f" in {entry}" if entry else ""
            raise InputError(f"unknown key {key!r}{place}", f"known: {', '.join(known)}")
    return value


def scale_to_json(entry):
    """One scale entry, e.g. ``{"from": "sphere", "diameter_mm": 5.0, ...}``."""
    values = {f.name: getattr(entry, f.name) for f in fields(entry)}
    return {"from": SCALE_KINDS[type(entry)], **{k: v for k, v in values.items() if v is not None}}


def scale_from_json(data, entry="scale"):
    """Inverse of :func:`scale_to_json`; InputError names what is wrong."""
    source = checked(data, entry).get("from")
    if not isinstance(source, str) or source not in _SCALES:
        place = "" if entry == "scale" else f"{entry}: "
        raise InputError(f"{place}unknown scale {source!r}", f"use one of: {', '.join(_SCALES)}")
    kind = _SCALES[source]
    keys = tuple(f.name for f in fields(kind))
    checked(data, entry, ("from", *keys))
    lacking = [k for k in keys if k not in data and k not in _OPTIONAL]
    if lacking:
        raise InputError(f"{entry} lacks {', '.join(lacking)}", "add it")
    try:
        return kind(**{k: v for k, v in data.items() if k != "from"})
    except InputError as error:
        raise InputError(f"{entry}: {error.what}", error.do) from None


def landmarks_to_json(landmarks):
    """The JSON object of ``landmarks``; empty parts are left out."""
    roots = {
        name: {"points": dict(root.points), "lines": dict(root.lines)}
        for name, root in landmarks.roots.items()
    }
    data = {key: dict(getattr(landmarks, key)) for key in _MAPS}
    data["scale"] = [scale_to_json(entry) for entry in landmarks.scale]
    data["roots"] = roots
    kept = {key: data[key] for key in KEYS[1:] if data[key]}
    return {"tooth": landmarks.tooth.fdi, **kept}


def landmarks_from_json(data, kind=Landmarks):
    """Inverse of :func:`landmarks_to_json`.

    Parameters
    ----------
    data : dict
    kind : class
        Landmarks or Hints.

    Raises
    ------
    InputError
        Names the entry that is wrong.
    """
    checked(data, "", KEYS)
    if "tooth" not in data:
        raise InputError("tooth is missing", "give its ISO 3950 designation, such as '11'")
    scale = data.get("scale", ())
    if not isinstance(scale, list | tuple):
        raise InputError("scale is not a list", "give [...]")
    roots = checked(data.get("roots", {}), "roots")
    return kind(
        tooth=Tooth(data["tooth"]),
        scale=tuple(scale_from_json(s, f"scale[{i}]") for i, s in enumerate(scale)),
        roots={name: _root_from_json(value, name) for name, value in roots.items()},
        **{key: checked(data.get(key, {}), key) for key in _MAPS},
    )


def _root_from_json(value, name):
    checked(value, f"root {name}", ("points", "lines"))
    parts = {part: checked(value.get(part, {}), f"root {name} {part}") for part in value}
    return Root(**parts)
