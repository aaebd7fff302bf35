"""Ways to gain tooth for a ferrule, side by side; none is recommended."""

from functools import partial
from html import escape

from PySide6.QtCore import QT_TRANSLATE_NOOP, Qt
from PySide6.QtWidgets import QLabel

from radmeasure.gui.amount import Amount
from radmeasure.gui.leaf import Leaf
from radmeasure.gui.wording import translate
from radmeasure.reports.words import (
    MARKS,
    chance_text,
    landmark_title,
    limit_text,
    measure,
    quantity_text,
    root_title,
    size_text,
    source_text,
    translated,
    unbroken,
)
from radmeasure.workflow.level_chart import MOST_GAIN_MM

KINDS = {
    "as_is": QT_TRANSLATE_NOOP("Ways", "as it is"),
    "lengthening": QT_TRANSLATE_NOOP("Ways", "lengthening"),
    "extrusion": QT_TRANSLATE_NOOP("Ways", "extrusion"),
    "both": QT_TRANSLATE_NOOP("Ways", "both"),
}


class WaysLeaf(Leaf):
    """A table per root: a column per way, a row per consequence; amounts are dragged above it."""

    def __init__(self, desk, theme, parent=None):
        super().__init__(translate("Leaves", "Gain"), theme, parent)
        self.desk = desk
        self._shown, self._laid, self._parts = None, None, ()
        desk.evaluated.connect(self.refresh)

    def set_theme(self, theme):
        self._shown = self._laid = None
        super().set_theme(theme)

    def refresh(self):
        desk = self.desk
        if not self.isVisible() or desk.preview is not None:
            return
        if self._shown is desk.evaluation and desk.evaluation is not None:
            return
        self._shown = desk.evaluation
        gains = desk.evaluation.gains if desk.evaluation is not None else ()
        # While an amount is dragged only figures change; what is under the hand stays.
        laid = [(g.root, g.missing, [(o.kind, o.words) for o in g.options]) for g in gains]
        if laid != self._laid:
            self._laid = laid
            self._lay_out(gains)
        for one, part in zip(gains, self._parts, strict=True):
            self._fill(one, *part)

    def _lay_out(self, gains):
        self.clear()
        if not gains:
            self.words(
                self.tr(
                    "Ways to gain tooth are laid out once there is a scale, an apex and the crest."
                ),
                quiet=True,
            )
        self._parts = [self._root(one, len(gains) > 1) for one in gains]
        self.column.addStretch(1)

    def _root(self, gains, several):
        """Lay out a root; returns its amounts and the label of its table."""
        title = self.tr("Ways to gain tooth")
        self.heading(f"{title}, {root_title(gains.root)}" if several else title)
        if gains.missing:
            wanted = ", ".join(landmark_title(name, None) for name in gains.missing)
            self.words(self.tr("Ferrule waits for: {0}.").format(wanted), quiet=True)
        whole = self._amount(gains.root, "gain_mm", self.tr("Tooth gained, mm"))
        drawn = self._amount(gains.root, "gain_drawn_mm", self.tr("of it drawn out, mm"))
        table = QLabel()
        table.setTextFormat(Qt.TextFormat.RichText)
        table.setWordWrap(True)
        self.add(table)
        for option in gains.options:
            if option.words and option.kind != "both":  # it costs what its parts cost
                kind = translate("Ways", KINDS[option.kind])
                source = source_text(option.source, option.trust)
                told = f"{kind[:1].upper()}{kind[1:]}: {translated(option.words)} ({source})."
                self.words(told, quiet=True)
        legend = self.tr("✓ meets · ✗ does not meet · ? too close to call, with its probability")
        self.words(legend, quiet=True)
        self.words(self.tr("Which way, if any, is the clinician's choice."), quiet=True)
        return whole, drawn, table

    def _amount(self, root, name, words):
        desk, amount = self.desk, Amount(words, MOST_GAIN_MM)
        amount.dragged.connect(lambda mm: desk.drag_plan(name, mm, root))
        amount.chosen.connect(lambda mm: desk.choose_plan(name, mm, root))
        amount.wrong.connect(lambda text: desk.said.emit(text, True))
        self.add(amount)
        return amount

    def _fill(self, gains, whole, drawn, table):
        whole.show_value(gains.amount_mm)
        both = gains.option("both")
        drawn.setVisible(both is not None and bool(gains.amount_mm > 0))
        if both is not None:
            drawn.show_value(both.extrusion_mm)
        table.setText(self._table(gains))

    def _table(self, gains):
        """Two lines a consequence, its name and then a figure for each way: pages are narrow."""
        options = gains.options
        count = max(len(options), 1)
        width = 100 // count
        head = "".join(
            f'<th width="{width}%" align="left">{escape(translate("Ways", KINDS[o.kind]))}</th>'
            for o in options
        )
        body = "".join(
            f'<tr><td colspan="{count}" style="color:{self.theme.ink_quiet}">{escape(title)}</td>'
            "</tr><tr>" + "".join(f"<td>{cell(option)}</td>" for option in options) + "</tr>"
            for title, cell in self._rows(gains)
        )
        return (
            '<table cellspacing="0" cellpadding="2" width="100%" style="font-size:small">'
            f"<tr>{head}</tr>{body}</table>"
        )

    def _rows(self, gains):
        judged = partial(self._judged, gains)
        for side in sorted({s for o in gains.options for s in o.ferrule}, reverse=True):
            words = self.tr("ferrule, {0}").format(translated(side))
            yield judged(words, "ferrule.height", partial(_of_side, side), "mm", side)
        yield judged(self.tr("crown to root"), "crown_root.least", _crown_root, "1")
        yield self.tr("root to crown"), _figure(lambda o: o.root_crown, "1")
        yield self.tr("bone support"), _figure(lambda o: o.bone_support.get("mean"), "%")
        yield self.tr("post safe to, mm"), _figure(lambda o: o.deepest, "mm")
        yield self.tr("short of the rules by, mm"), _figure(_short, "mm", size_text)
        yield self.tr("bone taken"), lambda o: measure(round(o.lengthening_mm, 1), "mm")
        yield self.tr("tooth drawn"), lambda o: measure(round(o.extrusion_mm, 1), "mm")

    def _judged(self, gains, words, rule, get, unit, side=None):
        """(title with the limit, cell with the figure and its verdict's mark)."""
        findings = [option.finding(rule, side) for option in gains.options]
        known = next((f for f in findings if f is not None), None)
        if known is not None:
            words = f"{words}, {limit_text(known.relation, known.limit, known.unit)}"
        value = _figure(get, unit)

        def cell(option):
            finding = option.finding(rule, side)
            return value(option) if finding is None else f"{self._mark(finding)} {value(option)}"

        return words, cell

    def _mark(self, finding):
        """Mark of a verdict, with its probability where it is too close to call."""
        colours = {"fails": self.theme.fails, "too_close": self.theme.close}
        chance = f" {chance_text(finding.p)}" if finding.verdict == "too_close" else ""
        colour = colours.get(finding.verdict, self.theme.ink)
        return f'<b style="color:{colour}">{MARKS[finding.verdict]}{chance}</b>'


def _figure(get, unit, text=quantity_text):
    """Cell of a figure with its uncertainty."""

    def cell(option):
        quantity = get(option)
        # The unit stands with the row's title: a page of four columns is narrow.
        return (
            "–" if quantity is None else escape(unbroken(text(quantity, unit).replace(" mm", "")))
        )

    return cell


def _of_side(side, option):
    return option.ferrule.get(side)


def _crown_root(option):
    return option.crown_root


def _short(option):
    """By how much no post can keep every rule on depth; None when one can."""
    return option.room if option.room is not None and option.room.value < 0 else None
