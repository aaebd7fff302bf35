"""What every edit is: applied to a case, worded for the history, stored as JSON.

An edit is checked by applying it: ``edit.apply(case)`` gives the new case or
raises :class:`~radmeasure.errors.InputError` and nothing has changed. The log
of a case file is a list of edits, so the meaning of a kind never changes; a
new meaning gets a new kind.
"""

from abc import ABC, abstractmethod
from dataclasses import fields
from types import MappingProxyType
from typing import ClassVar

from radmeasure.errors import InputError
from radmeasure.model import case_json, landmarks_json
from radmeasure.model.case import Case, FilmEntry
from radmeasure.model.landmarks import Landmarks

KINDS = {}  # the name of a kind in the log -> its class


class Edit(ABC):
    """Base of all edits.

    Attributes
    ----------
    KIND : str
        Name in the log, never changed once released.
    TEXT : str
        Sentence for the history with ``{slots}`` filled from :meth:`words`.
    """

    KIND: ClassVar[str] = ""
    TEXT: ClassVar[str] = ""

    def __init_subclass__(cls, **kwargs):
        super().__init_subclass__(**kwargs)
        if "KIND" in cls.__dict__:
            KINDS[cls.KIND] = cls

    @abstractmethod
    def apply(self, case):
        """The case after this edit.

        Raises
        ------
        InputError
            The edit does not fit the case; names the entry.
        """

    def words(self):
        """Values for the slots of ``TEXT``."""
        return {f.name: _shown(getattr(self, f.name)) for f in fields(self)}

    @property
    def sentence(self):
        """What was done, in one sentence."""
        return self.worded({})

    def worded(self, film_names):
        """The sentence, with films called by the names of a mapping from film id."""
        words = self.words()
        if "film_id" in words:
            words["film_id"] = film_names.get(words["film_id"], words["film_id"])
        return self.TEXT.format(**words)

    @property
    def merge_key(self):
        """Edits with one key that follow each other at once may share an undo step; or None."""
        return None

    def to_json(self):
        stated = {f.name: _plain(getattr(self, f.name)) for f in fields(self)}
        return {"kind": self.KIND, **{k: v for k, v in stated.items() if v is not None}}


def from_json(data):
    """The edit a JSON object of the log stands for.

    Raises
    ------
    InputError
        Unknown kind or field, or a field of the wrong shape.
    """
    kind = KINDS.get(data.get("kind"))
    if kind is None:
        raise InputError(f"unknown edit {data.get('kind')!r}", "update radmeasure")
    known = {f.name for f in fields(kind)}
    given = {key: value for key, value in data.items() if key != "kind"}
    if not known.issuperset(given):
        raise InputError(f"edit {kind.KIND} has unknown fields", f"known: {', '.join(known)}")
    read = {name: _READ.get(name, _same)(value) for name, value in given.items()}
    try:
        return kind(**read)
    except TypeError as error:
        raise InputError(f"edit {kind.KIND} lacks a field: {error}", "") from error


# -- JSON of the fields, which have one meaning per name ---------------------
def _same(value):
    return value


def _tuples(value):
    return tuple(map(_tuples, value)) if isinstance(value, list) else value


def _plain(value):
    for kind, write in _WRITE:
        if isinstance(value, kind):
            return write(value)
    return value


_WRITE = (
    (Edit, lambda edit: edit.to_json()),
    (FilmEntry, case_json.film_to_json),
    (Landmarks, landmarks_json.landmarks_to_json),
    (Case, case_json.case_to_json),
    (tuple(landmarks_json.SCALE_KINDS), landmarks_json.scale_to_json),
    (tuple, lambda values: [_plain(v) for v in values]),
)
_READ = MappingProxyType(
    {
        "entry": case_json.film_from_json,
        "value": _tuples,
        "suggested": landmarks_json.landmarks_from_json,
        "case": case_json.case_from_json,
        "entries": lambda values: tuple(map(landmarks_json.scale_from_json, values)),
        "edits": lambda values: tuple(map(from_json, values)),
    }
)


# -- words ------------------------------------------------------------------
def _shown(value):
    if value is None:
        return "nothing"
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, tuple) and len(value) == 2 and isinstance(value[0], float):
        return f"({value[0]:.1f}, {value[1]:.1f})"
    if isinstance(value, tuple):
        return f"{len(value)} points"
    return value


def landmark_words(name, root=None):
    """A landmark in words: ``cej_mesial`` -> 'mesial CEJ', with the root where it has one."""
    parts = name.split("_")
    if parts[-1] in ("mesial", "distal"):
        parts = [parts[-1], *parts[:-1]]
    words = " ".join("CEJ" if part == "cej" else part for part in parts)
    return words if root in (None, "single") else f"{words} of the {root} root"


def entry_words(name):
    """An entry's name in words: ``file_length_mm`` -> 'file length mm'."""
    return name.replace("_", " ")


def put(mapping, key, value):
    """Set ``key``, or take it away when ``value`` is None."""
    if value is None:
        mapping.pop(key, None)
    else:
        mapping[key] = value
