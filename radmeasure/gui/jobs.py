"""The jobs' names on the screen, and what a job asks for as things to do one after the other."""

from dataclasses import dataclass

from PySide6.QtCore import QT_TRANSLATE_NOOP, QCoreApplication

from radmeasure.model.job import BY_ID, JOBS, of_root
from radmeasure.model.landmarks import GIVEN, ROOT_LINES

__all__ = ["BY_ID", "JOBS", "Want", "of_root", "purpose", "title", "want_for", "wants"]

_TITLES = {
    "length check": (
        QT_TRANSLATE_NOOP("Jobs", "Length check"),
        QT_TRANSLATE_NOOP("Jobs", "How far the file reaches, and the working length"),
    ),
    "filling check": (
        QT_TRANSLATE_NOOP("Jobs", "Filling check"),
        QT_TRANSLATE_NOOP("Jobs", "Where the root filling ends, and what lies at the apex"),
    ),
    "post plan": (
        QT_TRANSLATE_NOOP("Jobs", "Post plan"),
        QT_TRANSLATE_NOOP("Jobs", "How deep and how wide a post may go, and what carries it"),
    ),
    "post space check": (
        QT_TRANSLATE_NOOP("Jobs", "Space check"),
        QT_TRANSLATE_NOOP("Jobs", "How much filling is left once the post's room is made"),
    ),
    "post check": (
        QT_TRANSLATE_NOOP("Jobs", "Post check"),
        QT_TRANSLATE_NOOP("Jobs", "Whether the post went where it was planned"),
    ),
    "recall": (
        QT_TRANSLATE_NOOP("Jobs", "Recall"),
        QT_TRANSLATE_NOOP("Jobs", "What has changed since an earlier film"),
    ),
}
_WITHOUT_NAME = ("film", "tooth", "roots", "scale")


def title(job):
    """Name of a job on its tab."""
    return QCoreApplication.translate("Jobs", _TITLES[job.id][0])


def purpose(job):
    """What a job is for."""
    return QCoreApplication.translate("Jobs", _TITLES[job.id][1])


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


def want_for(name, root=None, optional=False):
    """The want behind the name of a landmark or entry."""
    if name in _WITHOUT_NAME:
        return Want(name, "", None, optional)
    if name in GIVEN:
        return Want("given", name, None, optional)
    return Want("line" if name in ROOT_LINES else "point", name, root, optional)


def wants(job, roots):
    """Everything a job asks for, for these roots, in order (tuple of Want)."""
    found = []
    for entry in job.asks:
        name, optional = entry.rstrip("?"), entry.endswith("?")
        for root in roots if of_root(name) else (None,):
            found.append(want_for(name, root, optional))
    return tuple(found)
