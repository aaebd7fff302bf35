"""Edits of suggestions: what image processing proposes and what a person answers."""

from dataclasses import dataclass, replace
from typing import ClassVar

from radmeasure.errors import InputError
from radmeasure.model.case import Chart
from radmeasure.model.chart_edits import (
    SCALE,
    ChartEdit,
    LandmarkEdit,
    by_hand,
    checked_value,
    without,
)
from radmeasure.model.landmarks import Landmarks


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
        rest = without(chart.suggested, self.name, self.root)
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
        object.__setattr__(self, "value", checked_value(self.name, self.value))

    def answer(self, chart):
        return by_hand(chart, self, self.value)


@dataclass(frozen=True)
class RejectSuggestion(SuggestionEdit):
    KIND: ClassVar[str] = "reject"
    TEXT: ClassVar[str] = "Tooth {tooth}: suggested {landmark} rejected"

    def answer(self, chart):
        return replace(chart, suggested=without(chart.suggested, self.name, self.root))
