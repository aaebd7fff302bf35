"""Reads the rulebook (TOML) and a practice's own copy that overrides entries."""

import hashlib
import math
import tomllib
from types import MappingProxyType

from radmeasure.errors import RulebookError
from radmeasure.files.shipped import shipped
from radmeasure.files.text import read_bytes
from radmeasure.model.rulebook import RELATIONS, TRUST, Rule, Rulebook, Setting

_SETTING = ("value", "unit", "source", "trust", "why")
_RULE = ("reading", "relation", "limit", "unit", "source", "trust", "why", "says", "when")
_WHEN = ("kinds", "roots")
_VERDICTS = ("meets", "fails", "too_close")


def read_rulebook(own=None):
    """The shipped rulebook, with the entries of a practice's ``own`` file over it.

    Parameters
    ----------
    own : path, optional
        A TOML file with any of the shipped entries; each may give only the keys
        it changes.

    Raises
    ------
    RulebookError
        Names file, entry and reason.
    """
    path = shipped("calibration", "rulebook.toml")
    data, text = _load(path)
    version = data.pop("rulebook", {}).get("version", "")
    raw = dict(_entries(data, path))
    digest = hashlib.sha256(text)
    changed = {}
    if own is not None:
        own_data, own_text = _load(own)
        own_data.pop("rulebook", None)
        digest.update(own_text)
        for id_, entry in _entries(own_data, own, partial=True):
            if id_ not in raw:
                raise RulebookError(
                    f"{own}: unknown entry {id_!r}", "use only entries of the shipped rulebook"
                )
            merged = {**raw[id_], **entry}
            if merged != raw[id_]:
                changed[id_] = (_build(id_, raw[id_], path), _build(id_, merged, own))
            raw[id_] = merged
    built = {id_: _build(id_, entry, own if id_ in changed else path) for id_, entry in raw.items()}
    return Rulebook(
        version=version,
        digest=digest.hexdigest(),
        settings=MappingProxyType({k: v for k, v in built.items() if isinstance(v, Setting)}),
        rules=MappingProxyType({k: v for k, v in built.items() if isinstance(v, Rule)}),
        changed=MappingProxyType(changed),
    )


def _load(path):
    text = read_bytes(path, "rulebook", RulebookError)
    try:
        return tomllib.loads(text.decode("utf-8")), text
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, RecursionError) as cause:
        raise RulebookError(f"{path} is not valid TOML ({cause})", "correct it") from None


def _entries(data, path, partial=False, prefix=""):
    """Yield (dotted id, raw entry) of nested tables."""
    for key, value in data.items():
        id_ = f"{prefix}{key}"
        if not isinstance(value, dict):
            raise RulebookError(f"{path}: {id_} is not an entry", "entries are [tables]")
        if set(value) & {"value", "limit"} or (partial and not _is_group(value)):
            yield id_, value
        else:
            yield from _entries(value, path, partial, f"{id_}.")


def _is_group(value):
    return all(isinstance(v, dict) for v in value.values())


def _build(id_, entry, path):
    def refuse(reason, do):
        raise RulebookError(f"{path}: entry {id_}: {reason}", do)

    known = _RULE if "limit" in entry else _SETTING
    for key in entry:
        if key not in known:
            refuse(f"unknown key {key!r}", f"known: {', '.join(known)}")
    for key in ("unit", "source", "trust"):
        if not isinstance(entry.get(key), str):
            refuse(f"{key} is missing or not text", "add it")
    if entry["trust"] not in TRUST:
        refuse(f"trust is {entry['trust']!r}", f"use one of: {', '.join(TRUST)}")
    if known is _SETTING:
        _check_value(entry["value"], refuse)
        return Setting(id_, **entry)
    return _rule(id_, entry, refuse)


def _check_value(value, refuse):
    if isinstance(value, bool | str):
        return
    if isinstance(value, dict):
        for item in value.values():
            _check_value(item, refuse)
    elif isinstance(value, list):
        for item in value:
            _check_value(item, refuse)
    elif not isinstance(value, int | float) or not math.isfinite(value) or value < 0:
        refuse(f"value {value!r} is not a number from 0 up", "correct it")


def _rule(id_, entry, refuse):
    if entry.get("relation") not in RELATIONS:
        refuse(f"relation is {entry.get('relation')!r}", f"use one of: {', '.join(RELATIONS)}")
    limit = entry["limit"]
    numbers = limit if isinstance(limit, list) else [limit]
    if not all(isinstance(n, int | float) and math.isfinite(n) for n in numbers):
        refuse(f"limit is {limit!r}", "give finite numbers")
    if (entry["relation"] == "between") != (len(numbers) == 2 and isinstance(limit, list)):
        refuse(f"limit {limit!r} does not suit {entry['relation']}", "between takes [low, high]")
    if len(numbers) == 2 and numbers[0] > numbers[1]:
        refuse(f"limit {limit!r} is empty", "give the lower figure first")
    says, when = entry.get("says", {}), entry.get("when", {})
    for part, names in ((says, _VERDICTS), (when, _WHEN)):
        for key in part:
            if key not in names:
                refuse(f"unknown key {key!r}", f"known: {', '.join(names)}")
    return Rule(
        id=id_,
        reading=str(entry.get("reading", "")),
        relation=entry["relation"],
        limit=tuple(map(float, limit)) if isinstance(limit, list) else float(limit),
        unit=entry["unit"],
        source=entry["source"],
        trust=entry["trust"],
        why=entry.get("why", ""),
        says=MappingProxyType(dict(says)),
        when=MappingProxyType(dict(when)),
    )
