"""The rulebook: every threshold, default uncertainty and table, with its source."""

from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType

from radmeasure.errors import RulebookError
from radmeasure.quantity import bounds

TRUST = {
    "read": "read in the published source or its abstract",
    "memory": "from memory, check the original before relying on it",
    "derived": "exact mathematics",
    "practice": "common practice, no source",
    "measured": "measured on our own synthetic films",
}
RELATIONS = ("at_least", "at_most", "between")


@dataclass(frozen=True)
class Setting:
    """A value that is not itself a rule: a default uncertainty, a named constant.

    ``id`` is dotted, e.g. 'placement.apex'.
    """

    id: str
    value: object
    unit: str
    source: str
    trust: str
    why: str = ""


@dataclass(frozen=True)
class Rule:
    """A limit on a reading.

    Attributes
    ----------
    id, reading : str
        e.g. 'filling.length' on 'filling_to_apex'.
    relation : str
        'at_least', 'at_most' or 'between'.
    limit : float or tuple of two floats
    says : mapping of verdict to str
        What 'meets', 'fails' and 'too_close' mean, in the record's tone.
    when : mapping
        Conditions: ``kinds`` (tooth kinds), ``roots``.
    """

    id: str
    reading: str
    relation: str
    limit: float | tuple
    unit: str
    source: str
    trust: str
    why: str = ""
    says: MappingProxyType = field(default_factory=lambda: MappingProxyType({}))
    when: MappingProxyType = field(default_factory=lambda: MappingProxyType({}))

    @property
    def bounds(self):
        return bounds(self.relation, self.limit)


@dataclass(frozen=True)
class Rulebook:
    """Settings and rules by id.

    Attributes
    ----------
    version : str
        Version of the shipped rulebook.
    digest : str
        SHA-256 of the text the rulebook was read from (shipped plus own copy).
    settings, rules : mapping of id to Setting or Rule
    changed : mapping of id to (shipped entry, own entry)
        What a practice's own copy changes.
    """

    version: str
    digest: str
    settings: MappingProxyType
    rules: MappingProxyType
    changed: MappingProxyType = field(default_factory=lambda: MappingProxyType({}))

    def value(self, id_):
        """Value of a setting.

        Raises
        ------
        RulebookError
            The rulebook has no such setting.
        """
        return self.setting(id_).value

    def setting(self, id_):
        try:
            return self.settings[id_]
        except KeyError:
            raise RulebookError(
                f"the rulebook has no entry {id_!r}", "compare it with the shipped rulebook"
            ) from None

    def rules_on(self, reading):
        """Rules on one reading id, in the rulebook's order."""
        return self._by_reading.get(reading, ())

    @cached_property
    def _by_reading(self):
        found = {}
        for rule in self.rules.values():
            found.setdefault(rule.reading, []).append(rule)
        return {reading: tuple(rules) for reading, rules in found.items()}
