"""What is true of a synthetic film, beside what was read on it."""

from html import escape

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton

from radmeasure.gui.leaf import Leaf
from radmeasure.gui.truth_marks import apart
from radmeasure.gui.wording import translate
from radmeasure.reports.words import (
    landmark_title,
    measure,
    number,
    reading_title,
    value_text,
)

# Beyond this many standard uncertainties a reading lies outside its 95 % interval.
BEYOND = 2.0
_PLACES = {"mm": 2, "mm2": 1, "deg": 1, "%": 1, "1": 2}


class TruthLeaf(Leaf):
    """Readings and landmarks against the truth, while it is shown."""

    def __init__(self, window, theme, parent=None):
        super().__init__(translate("Leaves", "Truth"), theme, parent)
        self.window_, self.desk = window, window.desk
        self._written = None
        self.desk.evaluated.connect(self.refresh)
        self.desk.want_changed.connect(self.refresh)

    def refresh(self):
        desk = self.desk
        if not self.isVisible() or desk.session is None or desk.preview is not None:
            return
        key = (desk.film_id, desk.truth, desk.landmarks, desk.evaluation, self.theme.title)
        if self._written is not None and all(
            a is b or a == b for a, b in zip(key, self._written, strict=True)
        ):
            return
        self._written = key
        self.clear()
        self.heading(self.tr("Truth of this synthetic film"))
        known = self.window_.known_truth()
        if known is None:
            self.words(self.tr("This film is not one whose truth is known."), quiet=True)
        elif desk.truth is None:
            self._hidden()
        else:
            self._shown(known)
        self.column.addStretch(1)

    def _hidden(self):
        self.words(self.tr("It is hidden until you ask for it: measure first."))
        self._switch(self.tr("Show the truth"))

    def _switch(self, words):
        button = QPushButton(words)
        button.clicked.connect(lambda _=False: self.window_.commands["show_truth"].trigger())
        self.add(button, Qt.AlignmentFlag.AlignLeft)

    def _shown(self, known):
        self._switch(self.tr("Hide the truth"))
        self.words(
            self.tr(
                "White crosses on the film are the true places. The truth is that of the tooth "
                "in space; the last column is the difference in units of the standard "
                "uncertainty you state: one in twenty may lie beyond ± 2."
            ),
            quiet=True,
        )
        if self.desk.evaluation is None:
            self.words(self.tr("Nothing was measured on this film yet."), quiet=True)
            return
        self._readings(known)
        self._landmarks(known)

    def _readings(self, known):
        from radmeasure.workflow.synthetic import against_truth

        rows = []
        for one in against_truth(self.desk.evaluation, known):
            places = _PLACES.get(one.reading.unit, 2)
            beyond = one.in_u is not None and abs(one.in_u) > BEYOND
            units = "–" if one.in_u is None else _signed(one.in_u, 1)
            rows.append(
                (
                    reading_title(one.reading),
                    value_text(one.reading),
                    measure(one.true, one.reading.unit, places),
                    _signed(one.off, places),
                    f"{units} ✱" if beyond else units,
                )
            )
        if not rows:
            self.words(self.tr("No reading is there to compare yet."), quiet=True)
            return
        heads = (
            self.tr("reading"),
            self.tr("yours"),
            self.tr("true"),
            self.tr("off by"),
            self.tr("in u"),
        )
        self._table(heads, rows)
        if any(row[-1].endswith("✱") for row in rows):
            self.words(self.tr("✱ further off than the stated uncertainty allows for"), quiet=True)

    def _landmarks(self, known):
        evaluation = self.desk.evaluation
        scale = evaluation.scale.across
        rows = []
        for name, root, px in apart(known.landmarks, evaluation.landmarks):
            mm = "" if scale is None else measure(px * scale.value, "mm", 2)
            rows.append((landmark_title(name, root), f"{number(px, 1)} px", mm))
        if rows:
            self.heading(self.tr("How far your marks lie from the true places"))
            self._table((self.tr("mark"), self.tr("apart"), ""), rows)

    def _table(self, heads, rows):
        quiet = self.theme.ink_quiet
        head = "".join(
            f'<th align="left"><span style="color:{quiet}">{escape(h)}</span></th>' for h in heads
        )
        body = "".join(
            "<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in row) + "</tr>" for row in rows
        )
        self.table(f'<table cellpadding="3"><tr>{head}</tr>{body}</table>', rows)


def _signed(value, places):
    text = number(abs(value), places)
    if float(f"{abs(value):.{places}f}") == 0:
        return text
    return ("+" if value > 0 else "−") + text
