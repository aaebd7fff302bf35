"""Every way a case can change: small frozen edits, each with a sentence and a JSON form.

An edit is checked by applying it: ``edit.apply(case)`` gives the new case or
raises :class:`~radmeasure.errors.InputError` and nothing has changed. The log
of a case file is a list of edits, so the meaning of a kind never changes; a
new meaning gets a new kind.
"""

import datetime
import math
from dataclasses import dataclass, fields, replace
from types import MappingProxyType
from typing import ClassVar

from radmeasure.errors import InputError
from radmeasure.model import case_json
from radmeasure.model.case import (
    IDENTITY_FIELDS,
    Case,
    Chart,
    FilmEntry,
    PlanChoice,
    landmark_key,
)
from radmeasure.model.landmarks import ROOT_LINES, Landmarks, point, points
from radmeasure.model.tooth import Tooth

KINDS = {}  # the name of a kind in the log -> its class

# The name under which all suggested scale entries are accepted or rejected together.
SCALE = "scale"


class Edit:
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

    def apply(self, case):
        """The case after this edit.

        Raises
        ------
        InputError
            The edit does not fit the case; names the entry.
        """
        raise NotImplementedError

    def words(self):
        """Values for the slots of ``TEXT``."""
        return {f.name: _shown(getattr(self, f.name)) for f in fields(self)}

    @property
    def sentence(self):
        """What was done, for the history."""
        return self.TEXT.format(**self.words())

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
    (Landmarks, case_json.landmarks_to_json),
    (Case, case_json.case_to_json),
    (tuple(case_json.SCALE_KINDS), case_json.scale_to_json),
    (tuple, lambda values: [_plain(v) for v in values]),
)
_READ = MappingProxyType(
    {
        "entry": case_json.film_from_json,
        "value": _tuples,
        "suggested": case_json.landmarks_from_json,
        "case": case_json.case_from_json,
        "entries": lambda values: tuple(map(case_json.scale_from_json, values)),
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


# -- films ----------------------------------------------------------------
def _film(case, film_id):
    try:
        return case.film(film_id)
    except KeyError:
        raise InputError(f"the case has no film {film_id!r}", "add the film first") from None


def _with_film(case, film_id, **changes):
    new = replace(_film(case, film_id), **changes)
    return replace(case, films=tuple(new if f.film_id == film_id else f for f in case.films))


@dataclass(frozen=True)
class AddFilm(Edit):
    """A film joins the case; its bytes go into the case file with this edit."""

    KIND: ClassVar[str] = "add_film"
    TEXT: ClassVar[str] = "Film {name} added as '{role}'"
    entry: FilmEntry

    def apply(self, case):
        if any(f.film_id == self.entry.film_id for f in case.films):
            raise InputError(f"the case has a film {self.entry.film_id!r} already", "")
        return replace(case, films=(*case.films, self.entry))

    def words(self):
        return {"name": self.entry.name, "role": self.entry.role}


@dataclass(frozen=True)
class RemoveFilm(Edit):
    """A film leaves the case with its charts; its bytes stay for undo."""

    KIND: ClassVar[str] = "remove_film"
    TEXT: ClassVar[str] = "Film {film_id} removed"
    film_id: str

    def apply(self, case):
        _film(case, self.film_id)
        return replace(
            case,
            films=tuple(f for f in case.films if f.film_id != self.film_id),
            charts={key: c for key, c in case.charts.items() if key[0] != self.film_id},
        )


@dataclass(frozen=True)
class SetRole(Edit):
    KIND: ClassVar[str] = "set_role"
    TEXT: ClassVar[str] = "Film {film_id} is '{role}'"
    film_id: str
    role: str

    def apply(self, case):
        return _with_film(case, self.film_id, role=self.role)


@dataclass(frozen=True)
class SetVisit(Edit):
    """``visit`` is an ISO date or any word the user orders visits by."""

    KIND: ClassVar[str] = "set_visit"
    TEXT: ClassVar[str] = "Film {film_id} belongs to visit '{visit}'"
    film_id: str
    visit: str

    def apply(self, case):
        return _with_film(case, self.film_id, visit=self.visit)


@dataclass(frozen=True)
class SetOrientation(Edit):
    """How the film is shown; landmarks keep their original pixels."""

    KIND: ClassVar[str] = "set_orientation"
    TEXT: ClassVar[str] = "Film {film_id} shown with {turns} quarter turn(s), {mirror}"
    film_id: str
    turns: int = 0
    mirrored: bool = False

    def apply(self, case):
        return _with_film(case, self.film_id, turns=self.turns, mirrored=self.mirrored)

    def words(self):
        return {**super().words(), "mirror": "mirrored" if self.mirrored else "not mirrored"}


# -- charts -----------------------------------------------------------------
@dataclass(frozen=True)
class ChartEdit(Edit):
    """Base of edits of one tooth on one film; a missing chart is begun."""

    film_id: str
    tooth: str

    def apply(self, case):
        _film(case, self.film_id)
        old = case.chart(self.film_id, self.tooth) or Chart(Landmarks(Tooth(self.tooth)))
        return case.with_chart(self.film_id, self.tooth, self.change(old))

    def change(self, chart):
        """The chart after this edit."""
        raise NotImplementedError


@dataclass(frozen=True)
class StartChart(ChartEdit):
    KIND: ClassVar[str] = "start_chart"
    TEXT: ClassVar[str] = "Tooth {tooth} taken up on film {film_id}"

    def change(self, chart):
        return chart


@dataclass(frozen=True)
class RemoveChart(Edit):
    """All that was placed for one tooth on one film is taken away."""

    KIND: ClassVar[str] = "remove_chart"
    TEXT: ClassVar[str] = "Tooth {tooth} taken off film {film_id}"
    film_id: str
    tooth: str

    def apply(self, case):
        if case.chart(self.film_id, self.tooth) is None:
            raise InputError(f"tooth {self.tooth} is not on film {self.film_id!r}", "")
        kept = {k: c for k, c in case.charts.items() if k != (self.film_id, self.tooth)}
        return replace(case, charts=kept)


@dataclass(frozen=True)
class RenameTooth(Edit):
    """The tooth on a film was named wrongly; its landmarks go to the right designation."""

    KIND: ClassVar[str] = "rename_tooth"
    TEXT: ClassVar[str] = "Tooth {tooth} on film {film_id} is tooth {to}"
    film_id: str
    tooth: str
    to: str

    def apply(self, case):
        chart = case.chart(self.film_id, self.tooth)
        if chart is None:
            raise InputError(f"tooth {self.tooth} is not on film {self.film_id!r}", "")
        if case.chart(self.film_id, self.to) is not None:
            raise InputError(f"tooth {self.to} is on film {self.film_id!r} already", "")
        new = Tooth(self.to)
        moved = Chart(
            replace(chart.landmarks, tooth=new),
            chart.suggested and replace(chart.suggested, tooth=new),
            chart.accepted,
        )
        kept = {k: c for k, c in case.charts.items() if k != (self.film_id, self.tooth)}
        return replace(case, charts={**kept, (self.film_id, self.to): moved})


def _checked_value(name, value):
    if name in ROOT_LINES:
        return points(value, f"line {name}", 3 if name == "lesion" else 2)
    return point(value, f"point {name}")


@dataclass(frozen=True)
class LandmarkEdit(ChartEdit):
    """Base of edits of one point or line."""

    name: str
    root: str | None = None

    @property
    def key(self):
        return landmark_key(self.name, self.root)

    def words(self):
        return {**super().words(), "landmark": landmark_words(self.name, self.root)}


def _by_hand(chart, edit, value):
    """The landmark as a person set it: no suggestion, and no suggestion's uncertainty, is left."""
    placed = chart.landmarks.with_placed(edit.name, value, edit.root)
    if edit.key in chart.accepted:
        placed = placed.with_u_px(edit.key, None)
    suggested = _without(chart.suggested, edit.name, edit.root)
    return Chart(placed, suggested, _less(chart.accepted, edit.key))


def _less(mapping, key):
    return {k: v for k, v in mapping.items() if k != key}


def _without(suggested, name, root):
    """Suggestions less one; None when none is left."""
    if suggested is None:
        return None
    if name == SCALE:
        rest = suggested.with_scale()
    elif suggested.get(name, root) is None:
        rest = suggested
    else:
        rest = suggested.with_placed(name, None, root)
    return rest if rest.scale or rest.left_out or any(rest.placed()) else None


@dataclass(frozen=True)
class Place(LandmarkEdit):
    """Place or move a point, or set a line, by hand.

    ``value`` is (x, y) in px of the original film, or a tuple of such for a
    line. A suggestion of the same name is overruled and goes.
    """

    KIND: ClassVar[str] = "place"
    TEXT: ClassVar[str] = "Tooth {tooth}: {landmark} placed at {value}"
    value: tuple = ()

    def __post_init__(self):
        object.__setattr__(self, "value", _checked_value(self.name, self.value))

    def change(self, chart):
        return _by_hand(chart, self, self.value)

    @property
    def merge_key(self):
        return (self.KIND, self.film_id, self.tooth, self.key)


@dataclass(frozen=True)
class Remove(LandmarkEdit):
    """Take a placed point or line away."""

    KIND: ClassVar[str] = "remove"
    TEXT: ClassVar[str] = "Tooth {tooth}: {landmark} removed"

    def change(self, chart):
        if chart.landmarks.get(self.name, self.root) is None:
            raise InputError(f"{self.key} is not placed", "")
        placed = chart.landmarks.with_placed(self.name, None, self.root)
        return Chart(placed, chart.suggested, _less(chart.accepted, self.key))


@dataclass(frozen=True)
class SetUncertainty(LandmarkEdit):
    """Standard uncertainty of placement in px; None for the rulebook's default."""

    KIND: ClassVar[str] = "set_u_px"
    TEXT: ClassVar[str] = "Tooth {tooth}: {landmark} placed to within {value} px"
    value: float | None = None

    def change(self, chart):
        placed = chart.landmarks.with_u_px(self.key, self.value)
        return Chart(placed, chart.suggested, _less(chart.accepted, self.key))


@dataclass(frozen=True)
class SetScale(ChartEdit):
    """All scale entries of the chart: KnownLength, Sphere or Detector."""

    KIND: ClassVar[str] = "set_scale"
    TEXT: ClassVar[str] = "Tooth {tooth}: scale from {what}"
    entries: tuple = ()

    def change(self, chart):
        return replace(chart, landmarks=chart.landmarks.with_scale(*self.entries))

    def words(self):
        kinds = [case_json.SCALE_KINDS[type(e)].replace("_", " ") for e in self.entries]
        return {"tooth": self.tooth, "what": " and ".join(kinds) or "nothing"}

    @property
    def merge_key(self):
        return (self.KIND, self.film_id, self.tooth)


@dataclass(frozen=True)
class SetGiven(ChartEdit):
    """A value the clinician enters (``GIVEN`` of landmarks); None takes it away."""

    KIND: ClassVar[str] = "set_given"
    TEXT: ClassVar[str] = "Tooth {tooth}: {entry_words} is {value}"
    name: str
    value: float | str | None = None

    def change(self, chart):
        return replace(chart, landmarks=chart.landmarks.with_given(self.name, self.value))

    def words(self):
        return {**super().words(), "entry_words": self.name.replace("_", " ")}


# -- suggestions ------------------------------------------------------------
@dataclass(frozen=True)
class SetSuggestions(ChartEdit):
    """What image processing proposes, in place of what it proposed before; None clears."""

    KIND: ClassVar[str] = "set_suggestions"
    TEXT: ClassVar[str] = "Tooth {tooth}: {count} suggestion(s)"
    suggested: Landmarks | None = None

    def change(self, chart):
        if self.suggested is not None and self.suggested.tooth.fdi != self.tooth:
            raise InputError(
                f"the suggestions are for tooth {self.suggested.tooth.fdi}, not {self.tooth}", ""
            )
        return replace(chart, suggested=self.suggested)

    def words(self):
        count = 0 if self.suggested is None else sum(1 for _ in self.suggested.placed())
        return {"tooth": self.tooth, "count": count}


@dataclass(frozen=True)
class SuggestionEdit(LandmarkEdit):
    """Base of the answers to one suggestion; ``name`` "scale" means the suggested scale."""

    def change(self, chart):
        if self.proposed(chart) in (None, ()):
            raise InputError(f"there is no suggestion for {self.key}", "")
        return self.answer(chart)

    def proposed(self, chart):
        if chart.suggested is None:
            return None
        if self.name == SCALE:
            return chart.suggested.scale
        return chart.suggested.get(self.name, self.root)


@dataclass(frozen=True)
class AcceptSuggestion(SuggestionEdit):
    """A suggestion becomes a landmark as it is, with the uncertainty it came with."""

    KIND: ClassVar[str] = "accept"
    TEXT: ClassVar[str] = "Tooth {tooth}: suggested {landmark} accepted"

    def answer(self, chart):
        rest = _without(chart.suggested, self.name, self.root)
        if self.name == SCALE:
            scaled = chart.landmarks.with_scale(*chart.suggested.scale)
            return Chart(scaled, rest, chart.accepted)
        placed = chart.landmarks.with_placed(self.name, self.proposed(chart), self.root)
        u_px = chart.suggested.stated_u_px(self.name, self.root)
        said = chart.suggested.confidence
        sure = said.get(self.key, said.get(self.name))
        return Chart(placed.with_u_px(self.key, u_px), rest, {**chart.accepted, self.key: sure})


@dataclass(frozen=True)
class CorrectSuggestion(SuggestionEdit):
    """A suggestion was moved by hand; it counts as placed by the person."""

    KIND: ClassVar[str] = "correct"
    TEXT: ClassVar[str] = "Tooth {tooth}: suggested {landmark} corrected to {value}"
    value: tuple = ()

    def __post_init__(self):
        object.__setattr__(self, "value", _checked_value(self.name, self.value))

    def answer(self, chart):
        return _by_hand(chart, self, self.value)


@dataclass(frozen=True)
class RejectSuggestion(SuggestionEdit):
    KIND: ClassVar[str] = "reject"
    TEXT: ClassVar[str] = "Tooth {tooth}: suggested {landmark} rejected"

    def answer(self, chart):
        return replace(chart, suggested=_without(chart.suggested, self.name, self.root))


# -- the rest of the case ----------------------------------------------------
@dataclass(frozen=True)
class SetWorksheet(Edit):
    """One entry of a tooth's decision worksheet: any JSON scalar; None takes it away."""

    KIND: ClassVar[str] = "set_worksheet"
    TEXT: ClassVar[str] = "Tooth {tooth}: worksheet, {entry_words}: {value}"
    tooth: str
    name: str
    value: str | float | bool | None = None

    def apply(self, case):
        Tooth(self.tooth)
        if self.value is not None and not _scalar(self.value):
            raise InputError(f"worksheet {self.name} is {self.value!r}", "give text or a number")
        sheet = dict(case.worksheets.get(self.tooth, {}))
        _put(sheet, self.name, self.value)
        sheets = dict(case.worksheets)
        _put(sheets, self.tooth, MappingProxyType(sheet) if sheet else None)
        return replace(case, worksheets=sheets)

    def words(self):
        return {**super().words(), "entry_words": self.name.replace("_", " ")}

    @property
    def merge_key(self):
        return (self.KIND, self.tooth, self.name)


def _scalar(value):
    return isinstance(value, str | bool | int) or (
        isinstance(value, float) and math.isfinite(value)
    )


def _put(mapping, key, value):
    if value is None:
        mapping.pop(key, None)
    else:
        mapping[key] = value


@dataclass(frozen=True)
class ChoosePlan(Edit):
    """One field of :class:`PlanChoice`; None takes the choice back."""

    KIND: ClassVar[str] = "choose_plan"
    TEXT: ClassVar[str] = "Tooth {tooth}: plan, {entry_words}: {value}"
    tooth: str
    name: str
    value: str | float | None = None

    def apply(self, case):
        Tooth(self.tooth)
        known = tuple(f.name for f in fields(PlanChoice))
        if self.name not in known:
            raise InputError(f"unknown plan entry {self.name!r}", f"known: {', '.join(known)}")
        if self.value is not None:
            self._check()
        choice = replace(case.plans.get(self.tooth, PlanChoice()), **{self.name: self.value})
        plans = dict(case.plans)
        _put(plans, self.tooth, None if choice == PlanChoice() else choice)
        return replace(case, plans=plans)

    def _check(self):
        number = isinstance(self.value, int | float) and not isinstance(self.value, bool)
        if self.name.endswith("_mm"):
            if not number or not math.isfinite(self.value) or self.value < 0:
                raise InputError(f"plan {self.name} is {self.value!r}", "give mm, 0 or more")
        elif not isinstance(self.value, str):
            raise InputError(f"plan {self.name} is {self.value!r}", "give a name")

    def words(self):
        return {**super().words(), "entry_words": self.name.replace("_", " ")}

    @property
    def merge_key(self):
        return (self.KIND, self.tooth, self.name)


@dataclass(frozen=True)
class SetRecall(Edit):
    """Date (ISO 8601, YYYY-MM-DD) of the next recall of a tooth; None takes it away."""

    KIND: ClassVar[str] = "set_recall"
    TEXT: ClassVar[str] = "Tooth {tooth}: next recall {date}"
    tooth: str
    date: str | None = None

    def apply(self, case):
        Tooth(self.tooth)
        if self.date is not None:
            _check_date(self.date)
        recalls = dict(case.recalls)
        _put(recalls, self.tooth, self.date)
        return replace(case, recalls=recalls)


def _check_date(text):
    try:
        datetime.date.fromisoformat(text)
    except (TypeError, ValueError):
        raise InputError(f"{text!r} is not a date", "give YYYY-MM-DD") from None


@dataclass(frozen=True)
class SetLabel(Edit):
    KIND: ClassVar[str] = "set_label"
    TEXT: ClassVar[str] = "Case labelled '{label}'"
    label: str

    def apply(self, case):
        if not isinstance(self.label, str):
            raise InputError(f"the label is {self.label!r}", "give text")
        return replace(case, label=self.label)


@dataclass(frozen=True)
class SetIdentity(Edit):
    """One identity field; None or '' takes it away. Its sentence never shows the value."""

    KIND: ClassVar[str] = "set_identity"
    TEXT: ClassVar[str] = "Identity: {entry_words} {done}"
    name: str
    value: str | None = None

    def apply(self, case):
        if self.name not in IDENTITY_FIELDS:
            raise InputError(
                f"unknown identity field {self.name!r}", f"known: {', '.join(IDENTITY_FIELDS)}"
            )
        if not isinstance(self.value, str | None):
            raise InputError(f"identity {self.name} is not text", "give text")
        identity = dict(case.identity)
        _put(identity, self.name, self.value or None)
        return replace(case, identity=identity)

    def words(self):
        done = "entered" if self.value else "taken away"
        return {"entry_words": self.name.replace("_", " "), "done": done}


@dataclass(frozen=True)
class StartFrom(Edit):
    """A whole case at once: how a copy without its history begins."""

    KIND: ClassVar[str] = "start_from"
    TEXT: ClassVar[str] = "Started from a case of {films} film(s)"
    case: Case

    def apply(self, case):
        return self.case

    def words(self):
        return {"films": len(self.case.films)}


@dataclass(frozen=True)
class Several(Edit):
    """Edits that belong together: all of them or none, one undo step."""

    KIND: ClassVar[str] = "several"
    TEXT: ClassVar[str] = "{title}"
    title: str
    edits: tuple

    def apply(self, case):
        for edit in self.edits:
            case = edit.apply(case)
        return case

    def words(self):
        return {"title": self.title or "; ".join(edit.sentence for edit in self.edits)}


def accept_all(case, film_id, tooth):
    """One edit that confirms every suggestion whose landmark is not placed yet, or None.

    A landmark a person placed is never overruled by it.
    """
    chart = case.chart(film_id, tooth)
    if chart is None or chart.suggested is None:
        return None
    answers = [
        AcceptSuggestion(film_id, tooth, name, root)
        for root, name, _ in chart.suggested.placed()
        if chart.landmarks.get(name, root) is None
    ]
    if chart.suggested.scale and not chart.landmarks.scale:
        answers.append(AcceptSuggestion(film_id, tooth, SCALE))
    if not answers:
        return None
    return Several(f"Tooth {tooth}: {len(answers)} suggestion(s) confirmed", tuple(answers))
