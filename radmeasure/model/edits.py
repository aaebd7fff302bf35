"""Every way a case can change: the one place to import edits from."""

from dataclasses import dataclass
from typing import ClassVar

from radmeasure.model.case import Case
from radmeasure.model.chart_edits import (
    SCALE,
    Place,
    Remove,
    RemoveChart,
    RenameTooth,
    SetGiven,
    SetScale,
    SetUncertainty,
    StartChart,
)
from radmeasure.model.edit import KINDS, Edit, from_json, landmark_words
from radmeasure.model.film_edits import AddFilm, RemoveFilm, SetOrientation, SetRole, SetVisit
from radmeasure.model.plan_edits import (
    ChoosePlan,
    SetIdentity,
    SetLabel,
    SetRecall,
    SetWorksheet,
)
from radmeasure.model.suggestion_edits import (
    AcceptSuggestion,
    CorrectSuggestion,
    RejectSuggestion,
    SetSuggestions,
)

__all__ = [
    "KINDS",
    "SCALE",
    "AcceptSuggestion",
    "AddFilm",
    "ChoosePlan",
    "CorrectSuggestion",
    "Edit",
    "Place",
    "RejectSuggestion",
    "Remove",
    "RemoveChart",
    "RemoveFilm",
    "RenameTooth",
    "SetGiven",
    "SetIdentity",
    "SetLabel",
    "SetOrientation",
    "SetRecall",
    "SetRole",
    "SetScale",
    "SetSuggestions",
    "SetUncertainty",
    "SetVisit",
    "SetWorksheet",
    "Several",
    "StartChart",
    "StartFrom",
    "accept_all",
    "from_json",
    "landmark_words",
]


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

    def __post_init__(self):
        object.__setattr__(self, "edits", tuple(self.edits))

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
