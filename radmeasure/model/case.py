"""A case: films of a patient's teeth over all visits, and what was placed and decided.

Everything here is frozen; an edit makes a new case. Derived values (readings,
findings, plan limits) are never stored.
"""

from dataclasses import dataclass, field, replace
from types import MappingProxyType

from radmeasure.errors import InputError
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

# The only identity a case can hold; all of it optional and empty at first.
IDENTITY_FIELDS = ("name", "birth_date", "number", "sex")


def _frozen(mapping):
    return MappingProxyType(dict(mapping))


def _empty():
    return MappingProxyType({})


def landmark_key(name, root=None):
    """Key of a point or line in ``u_px`` and ``accepted``: ``name`` or ``root.name``."""
    return name if root is None else f"{root}.{name}"


@dataclass(frozen=True)
class FilmEntry:
    """A film of the case; its bytes stand in the case file under ``sha256``.

    ``turns`` (quarter turns clockwise, kept in 0-3) and ``mirrored`` say how
    it is shown; landmarks always refer to the original pixels.

    Raises
    ------
    InputError
        A role that is not in :data:`FILM_ROLES`, or turns that are not whole.
    """

    film_id: str
    name: str
    sha256: str
    role: str = "before"
    visit: str = ""
    turns: int = 0
    mirrored: bool = False

    def __post_init__(self):
        if self.role not in FILM_ROLES:
            raise InputError(
                f"{self.role!r} is not the role of a film", f"use one of: {', '.join(FILM_ROLES)}"
            )
        for name in ("film_id", "name", "sha256", "visit"):
            if not isinstance(getattr(self, name), str):
                raise InputError(f"{name} of a film is {getattr(self, name)!r}", "give text")
        if isinstance(self.turns, bool) or not isinstance(self.turns, int):
            raise InputError(f"turns is {self.turns!r}", "give whole quarter turns clockwise")
        object.__setattr__(self, "turns", self.turns % 4)


@dataclass(frozen=True)
class Chart:
    """Landmarks of one tooth on one film.

    Attributes
    ----------
    landmarks : Landmarks
        What a person placed or confirmed; the only thing readings look at.
    suggested : Landmarks or None
        What image processing proposes and nobody has confirmed yet.
    accepted : mapping of landmark key to confidence (0-1) or None
        Landmarks that stand exactly as suggested. Their ``u_px`` is the
        suggestion's; it goes when the landmark is moved by hand.
    """

    landmarks: Landmarks
    suggested: Landmarks | None = None
    accepted: MappingProxyType = field(default_factory=_empty)

    def __post_init__(self):
        object.__setattr__(self, "accepted", _frozen(self.accepted))


@dataclass(frozen=True)
class PlanChoice:
    """What the clinician chose for one tooth; None where nothing was chosen.

    ``gain_mm`` is the tooth to be gained, ``gain_drawn_mm`` what of it is drawn out
    where lengthening and extrusion go together; half of it when not chosen.
    """

    root: str | None = None
    depth_mm: float | None = None
    size_name: str | None = None
    seal_mm: float | None = None
    gain_mm: float | None = None
    post_kind: str | None = None
    gain_drawn_mm: float | None = None


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
    recalls : mapping of tooth designation to ISO date of the next recall
    identity : mapping
        Optional identity fields (:data:`IDENTITY_FIELDS`), empty unless entered.
    """

    label: str = ""
    films: tuple = ()
    charts: MappingProxyType = field(default_factory=_empty)
    worksheets: MappingProxyType = field(default_factory=_empty)
    plans: MappingProxyType = field(default_factory=_empty)
    identity: MappingProxyType = field(default_factory=_empty)
    recalls: MappingProxyType = field(default_factory=_empty)

    def __post_init__(self):
        for name in ("charts", "worksheets", "plans", "identity", "recalls"):
            object.__setattr__(self, name, _frozen(getattr(self, name)))

    def film(self, film_id):
        """The entry of ``film_id``; KeyError when the case has no such film."""
        for entry in self.films:
            if entry.film_id == film_id:
                return entry
        raise KeyError(film_id)

    def chart(self, film_id, tooth_fdi):
        """The chart of a tooth on a film, or None when nothing was placed there."""
        return self.charts.get((film_id, tooth_fdi))

    @property
    def teeth(self):
        """Designations of every tooth that was charted, planned or judged, sorted."""
        charted = {tooth for _, tooth in self.charts}
        return tuple(sorted(charted | set(self.plans) | set(self.worksheets) | set(self.recalls)))

    def with_chart(self, film_id, tooth_fdi, chart):
        return replace(self, charts={**self.charts, (film_id, tooth_fdi): chart})
