"""Two films of the tooth, figure by figure, on the page of changes: which film, and the table."""

from html import escape

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QComboBox, QPushButton

from radmeasure.gui.film_strip import FilmStrip
from radmeasure.gui.looks import role_word
from radmeasure.reports.words import alignment_text, change_rows


class TwoFilms(QObject):
    """Lets a film of the case be chosen and writes what changed between it and the one shown.

    Signals
    -------
    chosen
        Another film was chosen to hold the shown one against.
    beside_wanted(str)
        Somebody wants to see the chosen film beside.
    """

    chosen = Signal()
    beside_wanted = Signal(str)

    def __init__(self, leaf):
        super().__init__(leaf)
        self.leaf = leaf
        self.against = None  # a film id, None for the film before the one shown

    def pair(self, case, film_id, tooth):
        """((earlier id, later id), other films that can be chosen), or (None, ())."""
        from radmeasure.workflow.compare import comparable_films

        others = FilmStrip.in_order(comparable_films(case, film_id, tooth))
        if not others:
            return None, ()
        order = [film.film_id for film in FilmStrip.in_order(case.films)]
        at = order.index(film_id)
        before = [film.film_id for film in others if order.index(film.film_id) < at]
        known = [film.film_id for film in others]
        other = self.against if self.against in known else (before or known)[-1 if before else 0]
        earlier, later = sorted((other, film_id), key=order.index)
        return (earlier, later), tuple(others)

    def write(self, film_id, pair, others, comparison):
        """Heading, choice of film, how they fit, and the table, at the end of the page."""
        leaf = self.leaf
        leaf.heading(self.tr("Earlier and later film"))
        other = pair[0] if pair[1] == film_id else pair[1]
        leaf.add(self._choice(others, other))
        button = QPushButton(self.tr("Show it beside"))
        button.clicked.connect(lambda: self.beside_wanted.emit(other))
        leaf.add(button, Qt.AlignmentFlag.AlignLeft)
        if comparison is None:
            return
        leaf.words(alignment_text(comparison.alignment), quiet=True)
        rows = change_rows(comparison, short=True)
        cells = [row[1:] for row in rows]
        names = (self.tr("earlier"), self.tr("later"), self.tr("change"))
        exceeding = [row[0].exceeds for row in rows]
        leaf.table(figure_table(leaf.theme, names, exceeding, cells), cells)
        leaf.words(
            self.tr(
                "Each film is measured on its own scale and both are taken as independent; a "
                "change counts when it is larger than its own 95 % uncertainty."
            ),
            quiet=True,
        )

    def _choice(self, others, current):
        box = QComboBox()
        # A long name is cut rather than the page made wider.
        box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        box.setMinimumContentsLength(12)
        box.setAccessibleName(self.tr("Film to hold this one against"))
        for film in others:
            visit = f", {film.visit}" if film.visit else ""
            box.addItem(f"{role_word(film.role)}{visit} ({film.name})", film.film_id)
        box.setCurrentIndex([film.film_id for film in others].index(current))
        box.activated.connect(lambda i: self._choose(box.itemData(i)))
        return box

    def _choose(self, film_id):
        self.against = film_id
        self.chosen.emit()


def figure_table(theme, names, exceeding, rows):
    """Two lines a reading: its name and the verdict, then the figures below ``names`` (HTML)."""
    lines = ["".join(f"<th align='left' width='33%'>{escape(name)}</th>" for name in names)]
    for exceeds, row in zip(exceeding, rows, strict=True):
        name, *figures, verdict = (escape(cell) for cell in row)
        name = name[:1].upper() + name[1:]
        verdict = f"<b>{verdict}</b>" if exceeds else verdict
        colour = theme.fails if exceeds else theme.ink_quiet
        verdict = f'<span style="color:{colour}">{verdict}</span>'
        lines.append(f"<td colspan='3'><b>{name}</b>: {verdict}</td>")
        lines.append("".join(f"<td>{figure}</td>" for figure in figures))
    body = "".join(f"<tr>{line}</tr>" for line in lines)
    return f'<table cellpadding="2" width="100%">{body}</table>'
