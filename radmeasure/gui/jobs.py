"""The jobs, and what each leads through. Tables only; nothing here knows of widgets."""

from dataclasses import dataclass

from PySide6.QtCore import QT_TRANSLATE_NOOP, QCoreApplication

from radmeasure.model.landmarks import GIVEN, ROOT_LINES, ROOT_POINTS

SIDES = ("mesial", "distal")


@dataclass(frozen=True)
class Want:
    """One thing a job asks for.

    Attributes
    ----------
    kind : str
        'film', 'tooth', 'roots', 'scale', 'given', 'point' or 'line'.
    name : str
        Landmark or entry; '' for film, tooth, roots and scale.
    root : str or None
    optional : bool
        Not asked for unless it is suggested or chosen.
    """

    kind: str
    name: str = ""
    root: str | None = None
    optional: bool = False

    @property
    def key(self):
        return (self.name or self.kind, self.root)

    @property
    def placeable(self):
        return self.kind in ("point", "line")


@dataclass(frozen=True)
class Job:
    """A job: its name, the role its film usually has, what it asks for.

    ``id`` is what the record calls the job. ``asks`` holds names; a trailing
    '?' marks an optional one, names of root landmarks are repeated for every root.
    """

    id: str
    title: str
    short: str
    role: str
    asks: tuple

    @property
    def name(self):
        return QCoreApplication.translate("Jobs", self.title)


_START = ("film", "tooth", "roots")
_LEVELS = ("cej_mesial", "cej_distal", "crest_mesial", "crest_distal")
_WALLS = ("root_wall_mesial", "root_wall_distal")

JOBS = (
    Job(
        "length check",
        QT_TRANSLATE_NOOP("Jobs", "Length check"),
        QT_TRANSLATE_NOOP("Jobs", "How far the file reaches, and the working length"),
        "length check",
        (
            *_START,
            "file_length_mm",
            "coronal_reference",
            "apex",
            "file_stop",
            "file_tip",
            "orifice?",
            "canal?",
            "foramen?",
        ),
    ),
    Job(
        "filling check",
        QT_TRANSLATE_NOOP("Jobs", "Filling check"),
        QT_TRANSLATE_NOOP("Jobs", "Where the root filling ends, and what lies at the apex"),
        "filling check",
        (
            *_START,
            "scale",
            "coronal_reference",
            "apex",
            "filling_apical",
            "filling_coronal",
            "orifice",
            "canal",
            "lesion?",
            *(f"{n}?" for n in _LEVELS),
        ),
    ),
    Job(
        "post plan",
        QT_TRANSLATE_NOOP("Jobs", "Post plan"),
        QT_TRANSLATE_NOOP("Jobs", "How deep and how wide a post may go, and what carries it"),
        "filling check",
        (
            *_START,
            "scale",
            "coronal_reference",
            "apex",
            "planned_crown_mm",
            *_LEVELS,
            "orifice",
            "canal",
            "filling_apical",
            "filling_coronal",
            *_WALLS,
            "margin_mesial?",
            "margin_distal?",
            "canal_wall_mesial?",
            "canal_wall_distal?",
            "lesion?",
        ),
    ),
    Job(
        "post check",
        QT_TRANSLATE_NOOP("Jobs", "Post check"),
        QT_TRANSLATE_NOOP("Jobs", "Whether the post went where it was planned"),
        "post check",
        (
            *_START,
            "scale",
            "coronal_reference",
            "apex",
            "orifice",
            "canal",
            "post_coronal",
            "post_apical",
            "filling_coronal",
            "filling_apical",
            "crest_mesial",
            "crest_distal",
            "cej_mesial?",
            "cej_distal?",
        ),
    ),
    Job(
        "recall",
        QT_TRANSLATE_NOOP("Jobs", "Recall"),
        QT_TRANSLATE_NOOP("Jobs", "What has changed since an earlier film"),
        "recall",
        (
            *_START,
            "scale",
            "coronal_reference",
            "apex",
            *_LEVELS,
            "lesion?",
            "orifice?",
            "canal?",
            "filling_apical?",
            "filling_coronal?",
        ),
    ),
)
BY_ID = {job.id: job for job in JOBS}


def kind_of(name):
    """Kind of the want behind a name."""
    if name in ("film", "tooth", "roots", "scale"):
        return name
    if name in GIVEN:
        return "given"
    return "line" if name in ROOT_LINES else "point"


def of_root(name):
    """True for landmarks each root has its own of."""
    return name in ROOT_POINTS or name in ROOT_LINES


def wants(job, roots):
    """Everything a job asks for, for these roots, in order (tuple of Want)."""
    found = []
    for name in job.asks:
        optional, name = name.endswith("?"), name.rstrip("?")
        kind = kind_of(name)
        label = "" if name == kind else name
        if of_root(name):
            found += [Want(kind, name, root, optional) for root in roots]
        else:
            found.append(Want(kind, label, None, optional))
    return tuple(found)
