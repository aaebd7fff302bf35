"""A case: films of a patient's teeth over all visits, and what was placed and decided.

Everything here is frozen; an edit makes a new case. Derived values (readings,
findings, plan limits) are never stored.
"""

from dataclasses import dataclass, field, replace
from types import MappingProxyType

from radmeasure.model.landmarks import Landmarks

# The part a film plays in the treatment, in treatment order.
FILM_ROLES = (
    "before",
    "length check",
    "filling check",
    "post space check",
    "post check",
    "recall",
    "other",
)


def _frozen(mapping):
    return MappingProxyType(dict(mapping))


def _empty():
    return MappingProxyType({})


@dataclass(frozen=True)
class FilmEntry:
    """A film of the case; its bytes stand in the case file under ``sha256``.

    ``turns`` (quarter turns clockwise) and ``mirrored`` say how it is shown;
    landmarks always refer to the original pixels.
    """

    film_id: str
    name: str
    sha256: str
    role: str = "before"
    visit: str = ""
    turns: int = 0
    mirrored: bool = False


@dataclass(frozen=True)
class Chart:
    """Landmarks of one tooth on one film: confirmed ones, and suggestions not yet confirmed."""

    landmarks: Landmarks
    suggested: Landmarks | None = None


@dataclass(frozen=True)
class PlanChoice:
    """What the clinician chose for one tooth; None where nothing was chosen."""

    root: str | None = None
    depth_mm: float | None = None
    size_name: str | None = None
    seal_mm: float | None = None
    gain_mm: float | None = None
    post_kind: str | None = None


@dataclass(frozen=True)
class Case:
    """Attributes
    ----------
    label : str
        Free label chosen by the user; no identity needed.
    films : tuple of FilmEntry
    charts : mapping of (film_id, tooth designation) to Chart
    worksheets : mapping of tooth designation to mapping of entry to value
    plans : mapping of tooth designation to PlanChoice
    identity : mapping
        Optional identity fields, empty unless the user enters them.
    """

    label: str = ""
    films: tuple = ()
    charts: MappingProxyType = field(default_factory=_empty)
    worksheets: MappingProxyType = field(default_factory=_empty)
    plans: MappingProxyType = field(default_factory=_empty)
    identity: MappingProxyType = field(default_factory=_empty)

    def __post_init__(self):
        for name in ("charts", "worksheets", "plans", "identity"):
            object.__setattr__(self, name, _frozen(getattr(self, name)))

    def film(self, film_id):
        """The entry of ``film_id``; KeyError when the case has no such film."""
        for entry in self.films:
            if entry.film_id == film_id:
                return entry
        raise KeyError(film_id)

    def with_chart(self, film_id, tooth_fdi, chart):
        return replace(self, charts={**self.charts, (film_id, tooth_fdi): chart})
