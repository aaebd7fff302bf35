"""What a later film of the treatment says of what was planned before."""

from dataclasses import dataclass

from radmeasure.model.finding import Finding
from radmeasure.model.plan import PlannedPost
from radmeasure.quantity import Quantity

ACCEPTED, REPEAT, UNDECIDED = "accepted", "repeat", "undecided"


@dataclass(frozen=True)
class Difference:
    """A planned figure beside the one on the film.

    Attributes
    ----------
    id : str
        'working_length', 'filled_length', 'depth', 'residual_filling' or 'in_bone'.
    planned, found : Quantity
        A figure that was set has no uncertainty of its own.
    difference : Quantity
        found - planned, the two films taken as independent.
    exceeds : bool
        True when it is larger than its own 95 % uncertainty.
    """

    id: str
    planned: Quantity
    found: Quantity
    difference: Quantity
    exceeds: bool


@dataclass(frozen=True)
class LengthCheck:
    """What a length-check film says of one canal.

    Attributes
    ----------
    file_length_mm : float
        As set at the stop.
    gap, working_length : Quantity
    outcome : str
        'accepted', 'repeat' or 'undecided', by the rule on the gap.
    stop_setting_mm : float
        Working length rounded to the stop's step: for the treatment, or for the
        next film when this one is to be repeated.
    instrument_mm : float or None
        Shortest standard instrument that reaches; None when none does.
    finding : Finding
    remark : str
    """

    file_length_mm: float
    gap: Quantity
    working_length: Quantity
    outcome: str
    stop_setting_mm: float
    instrument_mm: float | None
    finding: Finding
    remark: str


@dataclass(frozen=True)
class FollowUp:
    """One job on one root of a later film.

    Attributes
    ----------
    job, root : str
    readings : tuple of Reading
        What the job is about, missing ones included.
    findings : tuple of Finding
        Verdicts on them.
    differences : tuple of Difference
        Against what was planned or measured before; empty without that.
    length : LengthCheck or None
    planned : PlannedPost or None
        The post that was planned.
    planned_on : str or None
        Film the plan was made on.
    """

    job: str
    root: str
    readings: tuple
    findings: tuple
    differences: tuple = ()
    length: LengthCheck | None = None
    planned: PlannedPost | None = None
    planned_on: str | None = None

    def reading(self, id_):
        """The reading with this id, or None."""
        return next((r for r in self.readings if r.id == id_), None)

    def difference(self, id_):
        """The difference with this id, or None."""
        return next((d for d in self.differences if d.id == id_), None)

    @property
    def missing(self):
        """Landmarks the job's readings still wait for."""
        return tuple(dict.fromkeys(name for r in self.readings for name in r.missing))
