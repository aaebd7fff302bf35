"""Ways to gain tooth for a ferrule, side by side; none is recommended."""

from html import escape

from PySide6.QtCore import QT_TRANSLATE_NOOP, Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit

from radmeasure.errors import InputError
from radmeasure.gui.entering import number
from radmeasure.gui.leaf import Leaf
from radmeasure.gui.wording import translate
from radmeasure.reports.words import (
    decimal,
    error_text,
    landmark_title,
    measure,
    quantity_text,
    root_title,
    source_text,
    translated,
    verdict_text,
)

KINDS = {
    "as_is": QT_TRANSLATE_NOOP("Ways", "as it is"),
    "lengthening": QT_TRANSLATE_NOOP("Ways", "lengthening"),
    "extrusion": QT_TRANSLATE_NOOP("Ways", "extrusion"),
    "both": QT_TRANSLATE_NOOP("Ways", "half and half"),
}


class WaysLeaf(Leaf):
    """A table per root: a column per way, a row per consequence."""

    def __init__(self, desk, theme, parent=None):
        super().__init__(translate("Leaves", "Gain"), theme, parent)
        self.desk = desk
        self._shown = None
        desk.evaluated.connect(self.refresh)

    def refresh(self):
        desk = self.desk
        if not self.isVisible() or desk.preview is not None:
            return
        if self._shown is desk.evaluation and desk.evaluation is not None:
            return
        self._shown = desk.evaluation
        self.clear()
        gains = desk.evaluation.gains if desk.evaluation is not None else ()
        if not gains:
            self.words(
                self.tr(
                    "Ways to gain tooth are laid out once there is a scale, an apex and the crest."
                ),
                quiet=True,
            )
        for one in gains:
            self._root(one, len(gains) > 1)
        self.column.addStretch(1)

    def _root(self, gains, several):
        title = self.tr("Ways to gain tooth")
        self.heading(f"{title}, {root_title(gains.root)}" if several else title)
        if gains.missing:
            wanted = ", ".join(landmark_title(name, None) for name in gains.missing)
            self.words(self.tr("Ferrule waits for: {0}.").format(wanted), quiet=True)
        self._amount(gains)
        self._table(gains)
        for option in gains.options:
            if option.words:
                kind = translate("Ways", KINDS[option.kind])
                source = f" {source_text(option.source, option.trust)}" if option.source else ""
                self.words(
                    f"{kind[:1].upper()}{kind[1:]}: {translated(option.words)}.{source}", quiet=True
                )
        self.words(self.tr("Which way, if any, is the clinician's choice."), quiet=True)

    def _amount(self, gains):
        row = QHBoxLayout()
        row.addWidget(QLabel(self.tr("Gain, mm")))
        shown = decimal(f"{gains.amount_mm:.1f}")
        field = QLineEdit(shown)
        field.setMaximumWidth(70)
        field.setAccessibleName(self.tr("Amount of tooth to gain, mm"))

        def done():
            text = field.text().strip()
            if text == shown:
                return
            try:
                self.desk.choose_plan("gain_mm", number(text) if text else None, gains.root)
            except InputError as error:
                self.desk.said.emit(error_text(error), True)

        field.editingFinished.connect(done)
        row.addWidget(field)
        row.addStretch(1)
        self.column.addLayout(row)

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
        label = QLabel(
            '<table cellspacing="0" cellpadding="3" width="100%">'
            f'<tr><th width="16%"></th>{head}</tr>{body}</table>'
        )
        label.setTextFormat(Qt.TextFormat.RichText)
        label.setWordWrap(True)
        self.column.addWidget(label)

    def _rows(self, gains):
        def q(get, unit):
            def cell(option):
                quantity = get(option)
                return "–" if quantity is None else escape(quantity_text(quantity, unit))

            return cell

        def judged(rule, get, unit):
            value = q(get, unit)

            def cell(option):
                finding = option.finding(rule)
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

        for side in sorted({s for o in gains.options for s in o.ferrule}, reverse=True):
            words = self.tr("ferrule, {0}").format(translated(side))
            yield words, q(lambda o, side=side: o.ferrule.get(side), "mm")
        yield self.tr("crown to root"), judged("crown_root.least", lambda o: o.crown_root, "1")
        yield self.tr("root to crown"), q(lambda o: o.root_crown, "1")
        yield self.tr("bone support"), q(lambda o: o.bone_support.get("mean"), "%")
        yield self.tr("post safe to"), q(lambda o: o.deepest, "mm")
        yield self.tr("bone taken"), lambda o: measure(round(o.lengthening_mm, 1), "mm")
        yield self.tr("tooth drawn"), lambda o: measure(round(o.extrusion_mm, 1), "mm")
