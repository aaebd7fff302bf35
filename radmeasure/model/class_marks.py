"""A class on films of known truth: what was handed in, and how far it lies from the truth."""

from dataclasses import dataclass, field

from radmeasure.model.landmarks import Landmarks


@dataclass(frozen=True)
class TruthFilm:
    """A film whose truth is known.

    Attributes
    ----------
    name : str
    landmarks : Landmarks
        Exact places, px.
    values : mapping of 'reading|root|side' to float
    px_per_mm : (float, float)
        Along and across the tooth at mid-root.
    pictures : mapping of SHA-256 to path
        The film's files, the one to measure on first.
    """

    name: str
    landmarks: Landmarks
    values: dict
    px_per_mm: tuple
    pictures: dict = field(default_factory=dict)


@dataclass(frozen=True)
class Handed:
    """What a student marked on one film.

    ``occasion`` counts from 1; ``suggested`` holds the landmarks ('name' or 'root.name') that
    stand as the program suggested them: no marks of the student's own.
    """

    student: str
    film: str
    occasion: int
    file: str
    landmarks: Landmarks
    suggested: frozenset = frozenset()


@dataclass(frozen=True)
class MarkError:
    """One landmark against the truth.

    Attributes
    ----------
    root : str or None
    name : str
    along_mm : float or None
        Positive where it lies too far apical; None for a line.
    across_mm : float
        Positive where it lies too far mesial; of an outline, too far outside; of a line,
        the mean of its sideways errors.
    rms_mm : float
        Root mean square error of one axis: what a standard uncertainty of placement states.
    """

    root: str | None
    name: str
    along_mm: float | None
    across_mm: float
    rms_mm: float


@dataclass(frozen=True)
class Marked:
    """A landmark handed in: its error, the standard uncertainty stated for it, mm, and whose."""

    handed: Handed
    error: MarkError
    u_mm: float
    own: bool

    @property
    def in_u(self):
        """The error of one axis in units of the stated uncertainty; about 1 where it is right."""
        return self.error.rms_mm / self.u_mm if self.u_mm > 0 else None


@dataclass(frozen=True)
class Held:
    """A reading against the truth: does its stated 95 % interval hold it?"""

    handed: Handed
    reading: object
    truth: float

    @property
    def holds(self):
        low, high = self.reading.quantity.interval95
        return bool(low <= self.truth <= high)


@dataclass(frozen=True)
class Placement:
    """A student's own placement error for one entry of the rulebook.

    ``rms_mm`` is None and ``written`` False where there are too few marks.
    """

    entry: str
    marks: int
    rms_mm: float | None
    shipped_mm: float
    written: bool

    @property
    def source(self):
        """What the student's own rulebook gives as the figure's source."""
        return f"own marks: root mean square of {self.marks} about the truth of synthetic films"


@dataclass(frozen=True)
class ClassMarks:
    """All that is said of a class.

    Attributes
    ----------
    students, films : tuple of str
    handed : tuple of Handed
    marks : tuple of Marked
    readings : tuple of Held
    placements : mapping of student to tuple of Placement
    landmarks, observers : Study or None
        Of landmarks against their places, and of readings against their truth.
    troubles : tuple of str
        What could not be marked, and why.
    """

    students: tuple
    films: tuple
    handed: tuple
    marks: tuple
    readings: tuple
    placements: dict
    landmarks: object
    observers: object
    troubles: tuple = ()
