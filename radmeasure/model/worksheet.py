"""The decision worksheet: what it asks, what was answered, what that speaks for or against."""

from collections.abc import Mapping
from dataclasses import dataclass

from radmeasure.errors import InputError
from radmeasure.model.plan import AGAINST, FOR, OPEN

GROUPS = ("restorative", "endodontic", "periodontal", "aesthetic", "arch", "index")
ENTRY_KINDS = ("count", "yes_no", "choice", "text", "film")
# Is a post called for; can the tooth carry it; how will it look; what load must it bear.
TOPICS = ("need", "carry", "look", "load")
POST_KINDS = ("fibre", "cast", "none")
_YES_NO = (("y", True, "yes"), ("n", False, "no"))
_MOST_LETTERS = 2000


@dataclass(frozen=True)
class Entry:
    """One line of the worksheet.

    Attributes
    ----------
    name, group, label, kind : str
        ``kind`` is one of :data:`ENTRY_KINDS`.
    choices : tuple of (key, value, label)
        The keys that answer it; digits for a count. Empty for text and film entries.
    teeth : tuple of str
        Kinds of teeth it is asked for; all when empty.
    optional : bool
        Never listed as missing.
    rules : tuple of str
        Film entries: the rules that fill it.
    topic : str
    words : mapping of stance to str
        Film entries: what it means when the rules are kept, broken or too close.
    contraindication : str
        The line of that list it answers; '' for none.
    source, trust : str
        Of a film entry whose rules are not the rulebook's.
    """

    name: str
    group: str
    label: str
    kind: str
    choices: tuple = ()
    teeth: tuple = ()
    optional: bool = False
    rules: tuple = ()
    topic: str = "carry"
    words: Mapping | None = None
    contraindication: str = ""
    source: str = ""
    trust: str = ""

    def asked_for(self, tooth):
        """True when this tooth is asked for it."""
        return not self.teeth or tooth.kind in self.teeth

    def answer(self, key):
        """The value a pressed key stands for; None when the key answers nothing."""
        return next((value for k, value, _ in self.choices if k == str(key).lower()), None)

    def label_of(self, value):
        """A value in words."""
        return next((label for _, v, label in self.choices if v == value), str(value))

    def checked(self, value):
        """The value as it is kept.

        Raises
        ------
        InputError
            It is not among the choices, or no text.
        """
        where = f"worksheet {self.name}"
        if self.kind == "film":
            raise InputError(f"{where} is filled by the film", "place its landmarks")
        if self.kind == "text":
            if not isinstance(value, str) or len(value) > _MOST_LETTERS:
                raise InputError(f"{where} is not a short text", "give text")
            return value
        for _, known, _ in self.choices:
            if value == known and isinstance(value, bool) == isinstance(known, bool):
                return known
        known = ", ".join(str(v).lower() for _, v, _ in self.choices)
        raise InputError(f"{where} is {value!r:.60}", f"give one of: {known}")


def yes_no_choices():
    """Choices of a yes_no entry."""
    return _YES_NO


def count_choices(low, high):
    """Choices of a count from ``low`` to ``high``: one digit each."""
    return tuple((str(n), n, str(n)) for n in range(low, high + 1))


@dataclass(frozen=True)
class When:
    """A condition on one entry's value: equals one of, at least, or at most."""

    entry: str
    equals: tuple | None = None
    at_least: float | None = None
    at_most: float | None = None

    def holds(self, value):
        """True, False, or None while the entry is not answered."""
        if value is None:
            return None
        if self.equals is not None:
            return any(
                value == v and isinstance(value, bool) == isinstance(v, bool) for v in self.equals
            )
        if isinstance(value, bool) or not isinstance(value, int | float):
            return False
        low = -float("inf") if self.at_least is None else self.at_least
        high = float("inf") if self.at_most is None else self.at_most
        return low <= value <= high


@dataclass(frozen=True)
class Statement:
    """What an answer speaks for or against; with ``post`` about that kind of post."""

    stance: str
    words: str
    source: str
    trust: str
    when: When | None = None
    topic: str = "carry"
    indication: str = ""
    contraindication: str = ""
    post: str = ""


@dataclass(frozen=True)
class IndexTable:
    """An optional index of the tooth left: entries of 0 to ``high``, summed, with bands."""

    name: str
    entries: tuple
    high: int
    bands: tuple
    source: str
    trust: str


@dataclass(frozen=True)
class WorksheetTable:
    """Everything the worksheet can ask and say, in order."""

    version: str
    entries: tuple
    statements: tuple
    index: IndexTable | None
    kinds: tuple

    def entry(self, name):
        """The entry of this name.

        Raises
        ------
        InputError
            There is none.
        """
        for entry in self.entries:
            if entry.name == name:
                return entry
        known = ", ".join(e.name for e in self.entries if e.kind != "film")
        raise InputError(f"unknown worksheet entry {name!r:.60}", f"known: {known}")


# -- filled in -----------------------------------------------------------------------------------


@dataclass(frozen=True)
class Filled:
    """An entry with what is known of it.

    Attributes
    ----------
    entry : Entry
    value : JSON scalar or None
        The answer; for a film entry its stance.
    filled_by : str
        'hand', 'film', 'given' (entered with the landmarks), or '' while open.
    findings : tuple of Finding
        The evidence of a film entry.
    waits_for : tuple of str
        Landmarks a film entry still waits for.
    """

    entry: Entry
    value: object
    filled_by: str
    findings: tuple = ()
    waits_for: tuple = ()


@dataclass(frozen=True)
class Line:
    """A line of the lists of indications and contra-indications.

    ``met`` is True, False, or None while it is open or not known.
    """

    words: str
    met: bool | None
    entry: str
    source: str
    trust: str


@dataclass(frozen=True)
class IndexResult:
    """The optional index, once every sextant was entered; its parts stay visible."""

    name: str
    total: int
    out_of: int
    parts: Mapping
    band: str
    source: str
    trust: str


@dataclass(frozen=True)
class Worksheet:
    """A tooth's worksheet, laid out; it decides nothing.

    Attributes
    ----------
    entries : tuple of Filled
        Everything asked for this tooth, in order.
    reasons : tuple of Reason
        What speaks for, against, or is open, with evidence.
    missing : tuple of Filled
        What is not known yet.
    indications, contraindications : tuple of Line
    kinds : mapping of post kind to tuple of Reason
        Considerations for fibre, cast and no post.
    index : IndexResult or None
    unknown : tuple of str
        Answers to entries this table does not have; kept, not shown.
    """

    entries: tuple
    reasons: tuple
    missing: tuple
    indications: tuple
    contraindications: tuple
    kinds: Mapping
    index: IndexResult | None
    unknown: tuple = ()

    def filled(self, name):
        """The entry of this name as filled in, or None."""
        return next((f for f in self.entries if f.entry.name == name), None)

    def speaking(self, stance, topic=None):
        """Reasons of one stance, and of one topic when given."""
        return tuple(r for r in self.reasons if r.stance == stance and topic in (None, r.topic))

    @property
    def for_(self):
        return self.speaking(FOR)

    @property
    def against(self):
        return self.speaking(AGAINST)

    @property
    def open(self):
        return self.speaking(OPEN)
