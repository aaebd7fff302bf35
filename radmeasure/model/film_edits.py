"""Edits of the films of a case."""

from dataclasses import dataclass, replace
from typing import ClassVar

from radmeasure.errors import InputError
from radmeasure.model.case import FilmEntry
from radmeasure.model.edit import Edit


def film_of(case, film_id):
    """The entry of a film; InputError when the case has none of that id."""
    try:
        return case.film(film_id)
    except KeyError:
        raise InputError(f"the case has no film {film_id!r}", "add the film first") from None


def _with_film(case, film_id, **changes):
    new = replace(film_of(case, film_id), **changes)
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
        film_of(case, self.film_id)
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
