"""Ways to gain tooth for a ferrule, side by side; none is recommended."""

from functools import partial
from html import escape

from PySide6.QtCore import QT_TRANSLATE_NOOP, Qt
from PySide6.QtWidgets import QLabel

from radmeasure.gui.amount import Amount
from radmeasure.gui.leaf import Leaf
from radmeasure.gui.wording import translate
from radmeasure.reports.words import (
    landmark_title,
    measure,
    quantity_text,
    root_title,
    size_text,
    source_text,
    translated,
    verdict_text,
)

KINDS = {
    "as_is": QT_TRANSLATE_NOOP("Ways", "as it is"),
    "lengthening": QT_TRANSLATE_NOOP("Ways", "lengthening"),
    "extrusion": QT_TRANSLATE_NOOP("Ways", "extrusion"),
    "both": QT_TRANSLATE_NOOP("Ways", "both"),
}
# More than this no root gives up (common practice, no source).
_MOST_MM = 8.0


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
        self.column.addWidget(table)
        for option in gains.options:
            if option.words:
                kind = translate("Ways", KINDS[option.kind])
                source = f" {source_text(option.source, option.trust)}" if option.source else ""
                self.words(
                    f"{kind[:1].upper()}{kind[1:]}: {translated(option.words)}.{source}", quiet=True
                )
        self.words(self.tr("Which way, if any, is the clinician's choice."), quiet=True)
        return whole, drawn, table

    def _amount(self, root, name, words):
        desk, amount = self.desk, Amount(words, _MOST_MM)
        amount.dragged.connect(lambda mm: desk.drag_plan(name, mm, root))
        amount.chosen.connect(lambda mm: desk.choose_plan(name, mm, root))
        amount.wrong.connect(lambda text: desk.said.emit(text, True))
        self.column.addWidget(amount)
        return amount

    def _fill(self, gains, whole, drawn, table):
        whole.show_value(gains.amount_mm)
        both = gains.option("both")
        drawn.setVisible(both is not None and gains.amount_mm > 0)
        if both is not None:
            drawn.show_value(both.extrusion_mm)
        table.setText(self._table(gains))

    def _table(self, gains):
        options = gains.options
        width = 84 // max(len(options), 1)
        head = "".join(
            f'<th width="{width}%" align="left"><span style="font-size:small; font-weight:normal">'
            f"{escape(translate('Ways', KINDS[o.kind]))}</span></th>"
            for o in options
        )
        body = "".join(
            f'<tr><td><span style="color:{self.theme.ink_quiet}">{escape(title)}</span></td>'
            + "".join(f"<td>{cell(option)}</td>" for option in options)
            + "</tr>"
            for title, cell in self._rows(gains)
        )
        return (
            '<table cellspacing="0" cellpadding="3" width="100%">'
            f'<tr><th width="16%"></th>{head}</tr>{body}</table>'
        )

    def _rows(self, gains):
        for side in sorted({s for o in gains.options for s in o.ferrule}, reverse=True):
            words = self.tr("ferrule, {0}").format(translated(side))
            get = partial(_of_side, side)
            yield words, self._judged("ferrule.height", get, "mm", side)
        yield self.tr("crown to root"), self._judged("crown_root.least", _crown_root, "1")
        yield self.tr("root to crown"), _figure(lambda o: o.root_crown, "1")
        yield self.tr("bone support"), _figure(lambda o: o.bone_support.get("mean"), "%")
        yield self.tr("post safe to"), _figure(lambda o: o.deepest, "mm")
        yield self.tr("short of the rules by"), _figure(_short, "mm", size_text)
        yield self.tr("bone taken"), lambda o: measure(round(o.lengthening_mm, 1), "mm")
        yield self.tr("tooth drawn"), lambda o: measure(round(o.extrusion_mm, 1), "mm")

    def _judged(self, rule, get, unit, side=None):
        """Cell of a figure with its verdict below."""
        value = _figure(get, unit)

        def cell(option):
            finding = option.finding(rule, side)
            if finding is None:
                return value(option)
            colour = {"fails": self.theme.fails, "too_close": self.theme.close}.get(
                finding.verdict, self.theme.ink
            )
            return (
                f'{value(option)}<br><span style="color:{colour}; font-size:small">'
                f"{escape(verdict_text(finding))}</span>"
            )

        return cell


def _figure(get, unit, text=quantity_text):
    """Cell of a figure with its uncertainty."""

    def cell(option):
        quantity = get(option)
        return "–" if quantity is None else escape(text(quantity, unit))

    return cell


def _of_side(side, option):
    return option.ferrule.get(side)


def _crown_root(option):
    return option.crown_root


def _short(option):
    """By how much no post can keep every rule on depth; None when one can."""
    return option.room if option.room is not None and option.room.value < 0 else None
