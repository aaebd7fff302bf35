"""Reads the worksheet's table (TOML): what it asks, and what each answer speaks for."""

import tomllib
from types import MappingProxyType

from radmeasure.errors import RulebookError
from radmeasure.files.shipped import shipped
from radmeasure.files.text import read_bytes
from radmeasure.model.plan import AGAINST, FOR, OPEN
from radmeasure.model.rulebook import TRUST
from radmeasure.model.worksheet import (
    ENTRY_KINDS,
    GROUPS,
    POST_KINDS,
    TOPICS,
    Entry,
    IndexTable,
    Statement,
    When,
    WorksheetTable,
    count_choices,
    yes_no_choices,
)

_STANCES = (FOR, AGAINST, OPEN)
_TOP = ("version", "entry", "statement", "index", "kind")
_ENTRY = (
    *("name", "group", "label", "kind", "low", "high", "choices", "teeth", "optional"),
    *("rules", "topic", "contraindication", "source", "trust", *_STANCES),
)
_STATEMENT = (
    *("when", "stance", "topic", "words", "source", "trust"),
    *("indication", "contraindication"),
)
_KIND = ("post", "when", "stance", "words", "source", "trust")
_WHEN = ("entry", "equals", "at_least", "at_most")
_INDEX = ("name", "entries", "labels", "high", "bands", "source", "trust")
# Not asked: known from the tooth's designation.
TOOTH_KIND = "tooth_kind"


def read_worksheet_table(own=None):
    """The shipped table, or a practice's ``own`` in its place.

    Raises
    ------
    RulebookError
        Names file, entry and reason.
    """
    path = own or shipped("calibration", "worksheet.toml")
    text = read_bytes(path, "worksheet table", RulebookError)
    try:
        data = tomllib.loads(text.decode("utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, RecursionError) as cause:
        raise RulebookError(f"{path} is not valid TOML ({cause})", "correct it") from None
    return _Reader(path).table(data)


class _Reader:
    """Builds the table, refusing what it does not know, by name."""

    def __init__(self, path):
        self._path, self._names = path, {TOOTH_KIND}

    def _refuse(self, where, reason, do="correct it"):
        raise RulebookError(f"{self._path}: {where}: {reason}", do)

    def _known(self, table, known, where):
        if not isinstance(table, dict):
            self._refuse(where, "not a table")
        for key in table:
            if key not in known:
                self._refuse(where, f"unknown key {key!r}", f"known: {', '.join(known)}")

    def _text(self, table, key, where, among=None, optional=False):
        value = table.get(key, "" if optional else None)
        if not isinstance(value, str) or (not value and not optional):
            self._refuse(where, f"{key} is missing or not text", "add it")
        if among is not None and value and value not in among:
            self._refuse(where, f"{key} is {value!r}", f"use one of: {', '.join(among)}")
        return value

    def _list(self, data, key):
        found = data.get(key, [])
        if not isinstance(found, list):
            self._refuse(key, "not a list of tables", f"write each as [[{key}]]")
        return found

    def table(self, data):
        self._known(data, _TOP, "top level")
        entries = [self._entry(e, n) for n, e in enumerate(self._list(data, "entry"), 1)]
        index = None
        if "index" in data:
            index, sextants = self._index(data["index"])
            entries += sextants
        statements = self._list(data, "statement")
        kinds = self._list(data, "kind")
        return WorksheetTable(
            self._text(data, "version", "top level"),
            tuple(entries),
            tuple(self._statement(s, f"statement {n}") for n, s in enumerate(statements, 1)),
            index,
            tuple(self._kind(k, f"kind {n}") for n, k in enumerate(kinds, 1)),
        )

    # -- entries ----------------------------------------------------------------
    def _entry(self, table, number):
        self._known(table, _ENTRY, f"entry {number}")
        name = self._text(table, "name", f"entry {number}")
        where = f"entry {name!r}"
        if name in self._names:
            self._refuse(where, "stands there twice", "rename one")
        self._names.add(name)
        kind = self._text(table, "kind", where, ENTRY_KINDS)
        parts = {
            "choices": self._choices(table, kind, where),
            "teeth": self._texts(table, "teeth", where),
            "optional": table.get("optional", False) is True,
            "contraindication": self._text(table, "contraindication", where, optional=True),
        }
        if kind == "film":
            parts |= self._film(table, where)
        group = self._text(table, "group", where, GROUPS)
        return Entry(name, group, self._text(table, "label", where), kind, **parts)

    def _texts(self, table, key, where):
        found = table.get(key, [])
        if not isinstance(found, list) or not all(isinstance(v, str) for v in found):
            self._refuse(where, f"{key} is not a list of texts")
        return tuple(found)

    def _film(self, table, where):
        rules = self._texts(table, "rules", where)
        if not rules:
            self._refuse(where, "rules is missing", "name the rules that fill it")
        return {
            "rules": rules,
            "topic": self._text(table, "topic", where, TOPICS),
            "words": MappingProxyType({s: self._text(table, s, where) for s in _STANCES}),
            "source": self._text(table, "source", where, optional=True),
            "trust": self._text(table, "trust", where, TRUST, optional=True),
        }

    def _choices(self, table, kind, where):
        if kind == "yes_no":
            return yes_no_choices()
        if kind == "count":
            low, high = table.get("low"), table.get("high")
            whole = all(isinstance(n, int) and not isinstance(n, bool) for n in (low, high))
            if not whole or not 0 <= low < high <= 9:
                self._refuse(where, "low and high are not two digits in order")
            return count_choices(low, high)
        if kind != "choice":
            return ()
        found = table.get("choices")
        good = isinstance(found, list) and all(
            isinstance(c, list) and len(c) == 3 and all(isinstance(v, str) and v for v in c)
            for c in found
        )
        if not good or len({c[0] for c in found}) < len(found) or len(found) < 2:
            self._refuse(where, "choices are not [key, value, label] with keys of their own")
        return tuple(map(tuple, found))

    # -- statements ---------------------------------------------------------------
    def _when(self, table, where):
        when = table.get("when")
        if when is None:
            return None
        self._known(when, _WHEN, f"{where} when")
        entry = self._text(when, "entry", where)
        if entry not in self._names:
            self._refuse(where, f"no entry {entry!r}", "name an entry of this table")
        equals = when.get("equals")
        if equals is not None:
            equals = tuple(equals) if isinstance(equals, list) else (equals,)
        bounds = {key: when.get(key) for key in ("at_least", "at_most")}
        if equals is None and all(b is None for b in bounds.values()):
            self._refuse(where, "when asks for nothing", "give equals, at_least or at_most")
        return When(entry, equals, **bounds)

    def _said(self, table, where):
        return {
            "stance": self._text(table, "stance", where, _STANCES),
            "words": self._text(table, "words", where),
            "source": self._text(table, "source", where),
            "trust": self._text(table, "trust", where, TRUST),
            "when": self._when(table, where),
        }

    def _statement(self, table, where):
        self._known(table, _STATEMENT, where)
        said = self._said(table, where)
        if said["when"] is None:
            self._refuse(where, "when is missing", "say which answer it follows from")
        return Statement(
            **said,
            topic=self._text(table, "topic", where, TOPICS),
            indication=self._text(table, "indication", where, optional=True),
            contraindication=self._text(table, "contraindication", where, optional=True),
        )

    def _kind(self, table, where):
        self._known(table, _KIND, where)
        post = self._text(table, "post", where, POST_KINDS)
        return Statement(**self._said(table, where), post=post)

    # -- index --------------------------------------------------------------------
    def _index(self, table):
        where = "index"
        self._known(table, _INDEX, where)
        names, labels = (self._texts(table, key, where) for key in ("entries", "labels"))
        high, bands = table.get("high"), table.get("bands")
        if not names or len(names) != len(labels):
            self._refuse(where, "entries and labels do not match")
        if isinstance(high, bool) or not isinstance(high, int) or not 1 <= high <= 9:
            self._refuse(where, f"high is {high!r}", "give a digit")
        good = isinstance(bands, list) and all(
            isinstance(b, list) and len(b) == 2 and isinstance(b[0], int) and isinstance(b[1], str)
            for b in bands
        )
        if not good or [b[0] for b in bands] != sorted((b[0] for b in bands), reverse=True):
            self._refuse(where, "bands are not [from, words], highest first")
        self._names.update(names)
        title = self._text(table, "name", where)
        sextants = [
            Entry(name, "index", label, "count", count_choices(0, high), optional=True)
            for name, label in zip(names, labels, strict=True)
        ]
        source, trust = self._text(table, "source", where), self._text(table, "trust", where, TRUST)
        return IndexTable(title, names, high, tuple(map(tuple, bands)), source, trust), sextants
