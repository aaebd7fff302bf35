"""Edits of what was placed and entered for one tooth on one film."""

from abc import abstractmethod
from dataclasses import dataclass, replace
from typing import ClassVar

from radmeasure.errors import InputError
from radmeasure.model import landmarks_json
from radmeasure.model.case import Chart, landmark_key
from radmeasure.model.edit import Edit, entry_words, landmark_words
from radmeasure.model.film_edits import film_of
from radmeasure.model.landmarks import ROOT_LINES, Landmarks, point, points
from radmeasure.model.tooth import Tooth

# The name under which all suggested scale entries are accepted or rejected together.
SCALE = "scale"


@dataclass(frozen=True)
class ChartEdit(Edit):
    """Base of edits of one tooth on one film; a missing chart is begun."""

    film_id: str
    tooth: str

    def apply(self, case):
        film_of(case, self.film_id)
        old = case.chart(self.film_id, self.tooth) or Chart(Landmarks(Tooth(self.tooth)))
        return case.with_chart(self.film_id, self.tooth, self.change(old))

    @abstractmethod
    def change(self, chart):
        """The chart after this edit."""


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


def checked_value(name, value):
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


def by_hand(chart, edit, value):
    """The landmark as a person set it: no suggestion, and no suggestion's uncertainty, is left."""
    placed = chart.landmarks.with_placed(edit.name, value, edit.root)
    if edit.key in chart.accepted:
        placed = placed.with_u_px(edit.key, None)
    suggested = without(chart.suggested, edit.name, edit.root)
    return Chart(placed, suggested, _less(chart.accepted, edit.key))


def _less(mapping, key):
    return {k: v for k, v in mapping.items() if k != key}


def without(suggested, name, root):
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
        object.__setattr__(self, "value", checked_value(self.name, self.value))

    def change(self, chart):
        return by_hand(chart, self, self.value)

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

    def __post_init__(self):
        object.__setattr__(self, "entries", tuple(self.entries))

    def change(self, chart):
        return replace(chart, landmarks=chart.landmarks.with_scale(*self.entries))

    def words(self):
        kinds = [landmarks_json.SCALE_KINDS[type(e)].replace("_", " ") for e in self.entries]
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
        return {**super().words(), "entry_words": entry_words(self.name)}
