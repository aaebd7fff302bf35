"""What several observers measured, and how far they agree."""

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Measurement:
    """One row of a table of readings.

    ``value`` and ``truth`` are numbers, or both words (a class). ``line`` is where the row
    stands in its file, 0 when it was never in one. What does not apply is ''.
    """

    observer: str
    film: str
    reading: str
    value: float | str
    root: str = ""
    side: str = ""
    occasion: str = ""
    unit: str = ""
    truth: float | str | None = None
    line: int = 0

    @property
    def key(self):
        """Which readings are looked at together: one kind, one side."""
        return self.reading, self.side

    @property
    def subject(self):
        """What was measured: a film, or one root on it."""
        return self.film, self.root


@dataclass(frozen=True)
class Limits:
    """Limits of agreement; figures that cannot be worked out are NaN.

    Attributes
    ----------
    n : int
        Pairs of values.
    bias, sd : float
        Mean difference and its standard deviation, corrected for repeated readings.
    se, interval95 : float, (low, high)
        Standard error of the bias and its 95 % interval.
    factor : float
        How many standard deviations the limits lie from the bias.
    limits : (low, high)
    se_limit : float
        Standard error of either limit.
    limits_interval95 : ((low, high), (low, high))
        95 % interval of the lower and of the upper limit.
    """

    n: int
    bias: float
    sd: float
    se: float
    interval95: tuple
    factor: float
    limits: tuple
    se_limit: float
    limits_interval95: tuple

    @property
    def direction(self):
        """'high' or 'low' when zero lies outside the interval, 'none', or 'unknown' (n < 2)."""
        low, high = self.interval95
        if low > 0:
            return "high"
        if high < 0:
            return "low"
        return "none" if low <= 0 <= high else "unknown"


@dataclass(frozen=True)
class Classes:
    """Agreement on classes: share of equal answers, Cohen's kappa, weighted ones if ordered."""

    n: int
    agreement: float
    kappa: float
    linear: float | None = None
    quadratic: float | None = None


@dataclass(frozen=True)
class Observer:
    """One observer on one reading.

    Attributes
    ----------
    name : str
    against : Limits, Classes or None
        Held against the truth, or against the mean of all observers.
    error : float or None
        Within-observer error (Dahlberg) of repeated readings.
    repeats : int
        Subjects that were read more than once.
    again : Classes or None
        First against second occasion, of classes.
    """

    name: str
    against: Limits | Classes | None
    error: float | None = None
    repeats: int = 0
    again: Classes | None = None


@dataclass(frozen=True)
class Reliability:
    """Intraclass correlations by form, such as {'2,1': 0.29}.

    ``left_out`` counts subjects that not every observer read.
    """

    forms: dict
    subjects: int
    observers: int
    left_out: int


@dataclass(frozen=True)
class ReadingStudy:
    """All that is said of one reading.

    ``against`` is 'truth', 'mean', 'pairs' (of classes) or '' (none can be had); ``pairs`` holds
    (first name, second name, Limits or Classes); ``classes`` the classes in order, empty
    for numbers; ``without_truth`` counts subjects that have no truth while others do.
    """

    reading: str
    side: str
    unit: str
    subjects: int
    against: str
    observers: tuple
    pairs: tuple = ()
    reliability: Reliability | None = None
    classes: tuple = ()
    without_truth: int = 0


@dataclass(frozen=True)
class Study:
    """Observers, films and the study of every reading, in the order of the table."""

    observers: tuple
    films: tuple
    factor: float
    readings: tuple = field(default_factory=tuple)
