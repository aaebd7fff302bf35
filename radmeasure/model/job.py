"""The jobs of a treatment, and what each asks for, in the order one is led through it."""

from dataclasses import dataclass

from radmeasure.model.landmarks import GIVEN, ROOT_LINES, ROOT_POINTS

# What comes before any landmark.
START = ("film", "tooth", "roots")


@dataclass(frozen=True)
class Job:
    """A job.

    Attributes
    ----------
    id : str
    role : str
        The role its film usually has (``model.case.FILM_ROLES``).
    asks : tuple of str
        Landmarks and entries in the order they are asked for; 'scale' for a
        reference of known size; a trailing '?' marks what helps and is not needed.
        Root landmarks are asked for every root.
    before : str
        The job whose film it is held against; '' for none.
    """

    id: str
    role: str
    asks: tuple
    before: str = ""

    @property
    def needs(self):
        """Names that are asked for and not optional, without the start."""
        return tuple(n for n in self.asks if not n.endswith("?") and n not in START)

    def actions(self, roots=1, suggested=True):
        """Clicks, drags and keys to the job's readings (typing a number counts once).

        Opening the film and choosing the job are counted. With suggestions the
        coronal reference and one apex a root are clicked and the rest is accepted
        at once; without, every point is one click and a line four.

        Examples
        --------
        >>> BY_ID["length check"].actions(suggested=False)
        7
        """
        count = 2 + 2 * ("scale" in self.needs)
        placed = [n for n in self.needs if n != "scale" and n not in GIVEN]
        count += sum(name in GIVEN for name in self.needs)
        if suggested:
            return count + 1 + roots + 1
        for name in placed:
            each = 4 if name in ROOT_LINES else 1
            count += each * (roots if of_root(name) else 1)
        return count


def of_root(name):
    """True for landmarks each root has its own of."""
    return name in ROOT_POINTS or name in ROOT_LINES


_LEVELS = ("cej_mesial", "cej_distal", "crest_mesial", "crest_distal")
_WALLS = ("root_wall_mesial", "root_wall_distal", "canal_wall_mesial", "canal_wall_distal")


def _maybe(names):
    return tuple(f"{name}?" for name in names)


# Where the crown is lost they tell where the tooth begins.
_MARGINS = _maybe(("margin_mesial", "margin_distal"))

JOBS = (
    Job(
        "length check",
        "length check",
        (
            *START,
            "file_length_mm",
            "coronal_reference",
            "apex",
            "file_stop",
            "file_tip",
            *_maybe(("orifice", "canal", "foramen")),
        ),
    ),
    Job(
        "filling check",
        "filling check",
        (
            *START,
            "scale",
            "technique",
            "coronal_reference",
            *_MARGINS,
            "apex",
            "filling_apical",
            "filling_coronal",
            "orifice",
            "canal",
            "lesion",
            *_maybe(_LEVELS),
        ),
        "length check",
    ),
    Job(
        "post plan",
        "filling check",
        (
            *START,
            "scale",
            "technique",
            "coronal_reference",
            *_MARGINS,
            "apex",
            "planned_crown_mm",
            *_LEVELS,
            "orifice",
            "canal",
            "filling_apical",
            "filling_coronal",
            *_WALLS,
            *_maybe(("lesion",)),
        ),
    ),
    Job(
        "post space check",
        "post space check",
        (
            *START,
            "scale",
            "technique",
            "coronal_reference",
            *_MARGINS,
            "apex",
            "orifice",
            "canal",
            "filling_coronal",
            "filling_apical",
            *_maybe((*_LEVELS, *_WALLS)),
        ),
        "post plan",
    ),
    Job(
        "post check",
        "post check",
        (
            *START,
            "scale",
            "technique",
            "coronal_reference",
            *_MARGINS,
            "apex",
            "orifice",
            "canal",
            "post_coronal",
            "post_apical",
            "filling_coronal",
            "filling_apical",
            "crest_mesial",
            "crest_distal",
            *_maybe(("cej_mesial", "cej_distal")),
        ),
        "post plan",
    ),
    Job(
        "recall",
        "recall",
        (
            *START,
            "scale",
            "technique",
            "coronal_reference",
            "apex",
            *_LEVELS,
            "lesion",  # whether it heals is what a recall looks for
            *_maybe(("orifice", "canal", "filling_apical", "filling_coronal")),
        ),
    ),
)
BY_ID = {job.id: job for job in JOBS}
