"""What a later film says of the plan made before and of an earlier film; worked out beside."""

from PySide6.QtCore import QT_TRANSLATE_NOOP

from radmeasure.gui.leaf import Leaf
from radmeasure.gui.two_films import TwoFilms, figure_table
from radmeasure.gui.wording import translate
from radmeasure.reports.words import depth_text, error_text, quantity_text, root_title

FIGURES = {
    "working_length": QT_TRANSLATE_NOOP("Changes", "working length"),
    "filled_length": QT_TRANSLATE_NOOP("Changes", "filled to"),
    "depth": QT_TRANSLATE_NOOP("Changes", "depth of the post"),
    "residual_filling": QT_TRANSLATE_NOOP("Changes", "filling left"),
    "in_bone": QT_TRANSLATE_NOOP("Changes", "post in bone"),
}


class CompareLeaf(Leaf):
    """The plan's figures beside the film's, and whether they differ beyond error."""

    def __init__(self, desk, theme, parent=None):
        super().__init__(translate("Leaves", "Changes"), theme, parent)
        self.desk = desk
        self._asked, self._task = None, None
        self.two_films = TwoFilms(self)
        self.two_films.chosen.connect(self.refresh)
        desk.evaluated.connect(self.refresh)

    def refresh(self):
        desk = self.desk
        if not self.isVisible() or desk.session is None or desk.preview is not None:
            return
        if desk.film_id is None or not desk.tooth or not desk.evaluated_in_full:
            return
        pair, others = self.two_films.pair(desk.case, desk.film_id, desk.tooth)
        key = (desk.case, desk.film_id, desk.tooth, desk.job.id, pair, self.theme.title)
        if self._asked is not None and all(a is b or a == b for a, b in zip(key, self._asked)):
            return
        self._asked = key
        if self._task is not None:
            self._task.cancel()
        task = self._task = desk.background.start(_follow_up, desk.session, *key[:5])
        task.finished.connect(lambda found: self._write(task, *found, pair, others))
        task.failed.connect(lambda error: self._failed(task, error))
        if not self.column.count():
            self.words(self.tr("The films are being held against each other …"), quiet=True)

    def _failed(self, task, error):
        if task is self._task:
            self.desk.said.emit(error_text(error), True)

    def _write(self, task, found, comparison, pair, others):
        if task is not self._task:
            return
        self._task = None
        self.clear()
        told = [f for f in found if f.differences]
        if not told and pair is None:
            self.heading(translate("Leaves", "Changes"))
            self.words(
                self.tr(
                    "There is no earlier film of this tooth in the case to hold this one "
                    "against, or what it measured is still missing here."
                ),
                quiet=True,
            )
        for follow in told:
            self._root(follow, len(found) > 1)
        if pair is not None:
            self.two_films.write(self.desk.film_id, pair, others, comparison)
        self.column.addStretch(1)

    def _root(self, follow, several):
        title = self.tr("Planned and found")
        self.heading(f"{title}, {root_title(follow.root)}" if several else title)
        names = (self.tr("planned"), self.tr("found"), self.tr("difference"))
        cells = [self._cells(d) for d in follow.differences]
        exceeding = [d.exceeds for d in follow.differences]
        self.table(figure_table(self.theme, names, exceeding, cells), cells)

    def _cells(self, one):
        return (
            translate("Changes", FIGURES[one.id]),
            quantity_text(one.planned, "mm") if one.planned.u else depth_text(one.planned.value),
            quantity_text(one.found, "mm"),
            quantity_text(one.difference, "mm"),
            self.tr("more than error") if one.exceeds else self.tr("within error"),
        )


def _follow_up(report, session, case, film_id, tooth, job_id, pair):
    """What the film says of the plan, and what changed between the two films of ``pair``."""
    from radmeasure.workflow.compare import compare_in_case
    from radmeasure.workflow.followup import evaluation_of_film, follow_up_of

    found = follow_up_of(
        case, film_id, tooth, job_id, lambda film: evaluation_of_film(session, film, tooth)
    )
    return found, None if pair is None else compare_in_case(session, *pair, tooth)
