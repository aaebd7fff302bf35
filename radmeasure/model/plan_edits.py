"""Edits of worksheet, plan, recall, label and identity."""

import datetime
import math
from dataclasses import dataclass, fields, replace
from types import MappingProxyType
from typing import ClassVar

from radmeasure.errors import InputError
from radmeasure.model.case import IDENTITY_FIELDS, PlanChoice
from radmeasure.model.edit import Edit, entry_words, put
from radmeasure.model.tooth import Tooth


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
        put(sheet, self.name, self.value)
        sheets = dict(case.worksheets)
        put(sheets, self.tooth, MappingProxyType(sheet) if sheet else None)
        return replace(case, worksheets=sheets)

    def words(self):
        return {**super().words(), "entry_words": entry_words(self.name)}

    @property
    def merge_key(self):
        return (self.KIND, self.tooth, self.name)


def _scalar(value):
    return isinstance(value, str | bool | int) or (
        isinstance(value, float) and math.isfinite(value)
    )


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
        put(plans, self.tooth, None if choice == PlanChoice() else choice)
        return replace(case, plans=plans)

    def _check(self):
        number = isinstance(self.value, int | float) and not isinstance(self.value, bool)
        if self.name.endswith("_mm"):
            if not number or not math.isfinite(self.value) or self.value < 0:
                raise InputError(f"plan {self.name} is {self.value!r}", "give mm, 0 or more")
        elif not isinstance(self.value, str):
            raise InputError(f"plan {self.name} is {self.value!r}", "give a name")

    def words(self):
        return {**super().words(), "entry_words": entry_words(self.name)}

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
        put(recalls, self.tooth, self.date)
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
        put(identity, self.name, self.value or None)
        return replace(case, identity=identity)

    def words(self):
        done = "entered" if self.value else "taken away"
        return {"entry_words": entry_words(self.name), "done": done}
