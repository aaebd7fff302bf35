"""Tables of the printed record: readings with their rules, limits of the post, ways to gain."""

from xml.sax.saxutils import escape

from radmeasure.quantity import TOO_CLOSE
from radmeasure.reports import vocabulary
from radmeasure.reports.figures import (
    depth_text,
    limit_text,
    probability_text,
    quantity_text,
    unbroken,
)
from radmeasure.reports.palette import THEMES
from radmeasure.reports.pdf_style import mark_text
from radmeasure.reports.phrases import say, translated
from radmeasure.reports.post_words import gain_facts, gain_title
from radmeasure.reports.sentences import root_title, rule_title, source_text, telling
from radmeasure.reports.tables import reading_rows

_PAPER = THEMES["paper"]
# Room a heading wants below it, points.
_HEADED = 70.0
_DEPTHS = {"no_deeper": "≤", "no_shallower": "≥", "no_wider": "≤"}


class Sources:
    """Numbers the sources as they are named."""

    def __init__(self):
        self._found = {}

    def number(self, source, trust):
        return self._found.setdefault(source_text(source, trust), len(self._found) + 1)

    @property
    def text(self):
        """All sources in the order of their numbers, as markup."""
        return " ".join(f"<b>{n}</b> {escape(text)}." for text, n in self._found.items())


def figure_tables(evaluation, style, width):
    """Flowables: the readings, the limits of the post, and the sources of both."""
    from reportlab.platypus import Paragraph

    sources = Sources()
    rows = [_reading_row(group, sources, style) for group in _grouped(evaluation)]
    if rows:
        yield from _heading(say("pdf_readings"), style)
        names = ("reading", "value", "mesial", "distal", "finding", "source")
        yield _table(names, rows, (0.255, 0.165, 0.11, 0.11, 0.31, 0.05), style, width)
    for space in evaluation.post_space:
        yield from _space_table(space, len(evaluation.post_space) > 1, sources, style, width)
    if sources.text:
        yield from _heading(say("pdf_sources"), style)
        yield Paragraph(sources.text, style["cell_quiet"])


def _heading(title, style):
    """A heading that goes to the next page with the first rows, never with the whole table."""
    from reportlab.platypus import CondPageBreak, Paragraph

    yield CondPageBreak(_HEADED)
    yield Paragraph(title, style["over_table"])


def _grouped(evaluation):
    """Rows of one reading and root, its sides together."""
    groups = {}
    for row in reading_rows(evaluation):
        reading = row[0]
        groups.setdefault((reading.id, reading.root), []).append(row)
    return groups.values()


def _reading_row(rows, sources, style):
    from reportlab.platypus import Paragraph

    first, name = rows[0][0], rows[0][1]
    what = name
    if first.root not in (None, "single"):
        what = say("of_root", what=name, root=root_title(first.root))
    values = {reading.side: value for reading, _, _, value, _ in rows}
    cells = [values.get(None) or values.get("mean", ""), values.get("mesial"), values.get("distal")]
    verdicts, numbers = [], []
    for reading, _, _, _, findings in rows:
        if reading.side == "mean":
            continue
        for finding in telling(findings):
            verdicts.append(_verdict(finding))
            numbers.append(str(sources.number(finding.source, finding.trust)))
    return [
        Paragraph(escape(what), style["cell"]),
        *(Paragraph(unbroken(value or ""), style["cell"]) for value in cells),
        Paragraph("<br/>".join(verdicts), style["cell"]),
        Paragraph(", ".join(dict.fromkeys(numbers)), style["cell_quiet"]),
    ]


def _verdict(finding):
    """'✗ mesial: does not meet at most 15 %'."""
    words = translated(vocabulary.VERDICTS[finding.verdict])
    if finding.verdict == TOO_CLOSE:
        words = f"{words} ({probability_text(finding.p)})"
    limit = limit_text(finding.relation, finding.limit, finding.unit)
    text = f"{words}: {limit}"
    if finding.side:
        text = f"{translated(vocabulary.SIDES[finding.side])}, {text}"
    return unbroken(mark_text(finding.verdict, text))


def _space_table(space, many, sources, style, width):
    from reportlab.platypus import Paragraph

    rows = []
    for row in space.limits:
        if row.quantity is None:
            continue
        binds = row.rule in (space.deepest_because, space.widest_because)
        name = rule_title(row.rule)
        name = f"<b>{escape(name)}</b>" if binds else escape(name)
        value = f"{_DEPTHS[row.side]} {quantity_text(row.quantity, 'mm')}"
        rows.append(
            [
                Paragraph(f"{name}", style["cell"]),
                Paragraph(unbroken(value), style["cell"]),
                Paragraph(escape(translated(row.words)), style["cell_quiet"]),
                Paragraph(str(sources.number(row.source, row.trust)), style["cell_quiet"]),
            ]
        )
    if rows:
        title = say("pdf_limits")
        if many:
            title = say("p_root", title=title, root=root_title(space.root))
        yield from _heading(title, style)
        names = ("rule", "limit", "meaning", "source")
        yield _table(names, rows, (0.27, 0.20, 0.46, 0.07), style, width)


def gains_table(evaluation, style, width):
    """Ways to gain tooth, side by side; nothing when no ferrule is short."""
    from reportlab.platypus import Paragraph

    for gains in evaluation.gains:
        if gains.amount_mm <= 0:
            continue
        title = say("p_gain", amount=depth_text(gains.amount_mm))
        if len(evaluation.gains) > 1:
            title = say("p_root", title=title, root=root_title(gains.root))
        yield from _heading(title, style)
        yield _gains(gains, style, width)
        for option in gains.options:
            if option.words and option.kind != "both":
                text = f"{gain_title(option)}: {translated(option.words)}."
                yield Paragraph(escape(text), style["quiet"])
        yield Paragraph(say("gain_open"), style["quiet"])


def _gains(gains, style, width):
    from reportlab.platypus import Paragraph, Table

    facts = [dict(gain_facts(option)) for option in gains.options]
    names = list(dict.fromkeys(name for each in facts for name in each))
    head = [Paragraph("", style["cell"])]
    head += [Paragraph(escape(gain_title(option)), style["cell_head"]) for option in gains.options]
    rows = [head]
    for name in names:
        row = [Paragraph(escape(name), style["cell"])]
        row += [Paragraph(unbroken(_bold(each.get(name, ""))), style["cell"]) for each in facts]
        rows.append(row)
    verdicts = [Paragraph(_verdicts(option), style["cell"]) for option in gains.options]
    rows.append([Paragraph(say("gain_rules"), style["cell"]), *verdicts])
    first = 0.14 * width
    rest = (width - first) / len(gains.options)
    table = Table(rows, [first, *[rest] * len(gains.options)])
    table.setStyle(_lines())
    return table


def _bold(marked):
    parts = escape(marked).split("*")
    return "".join(f"<b>{p}</b>" if i % 2 else p for i, p in enumerate(parts))


def _verdicts(option):
    """One line per rule: both sides' verdicts, in words and marks."""
    lines = []
    for finding in option.findings:
        if finding.rule not in ("ferrule.height", "crown_root.least"):
            continue
        what = say("gain_ferrule" if finding.rule == "ferrule.height" else "gain_crown_root")
        side = f" {translated(vocabulary.SIDES[finding.side])}" if finding.side else ""
        words = translated(vocabulary.VERDICTS[finding.verdict])
        lines.append(mark_text(finding.verdict, f"{what}{side}: {words}"))
    return "<br/>".join(lines)


def _table(names, rows, parts, style, width):
    from reportlab.platypus import Paragraph, Table

    head = [Paragraph(say(f"pdf_{name}"), style["cell_head"]) for name in names]
    table = Table([head, *rows], [part * width for part in parts], repeatRows=1)
    table.setStyle(_lines())
    return table


def _lines():
    from reportlab.platypus import TableStyle

    from radmeasure.reports.fonts import REGULAR

    commands = [
        ("FONTNAME", (0, 0), (-1, -1), REGULAR),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 6),
        ("TOPPADDING", (0, 0), (-1, -1), 0.6),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 0.8),
        ("LINEBELOW", (0, 0), (-1, -1), 0.25, _PAPER["canal"]),
        ("LINEBELOW", (0, 0), (-1, 0), 0.7, _PAPER["quiet"]),
    ]
    return TableStyle(commands)


def rulebook_lines(evaluation):
    """Version, digest and what the practice's own copy changes."""
    rules = evaluation.rulebook
    lines = [say("rulebook_line", version=rules.version, digest=rules.digest)]
    if rules.changed:
        names = ", ".join(sorted(rules.changed))
        lines.append(say("rulebook_changed", names=names))
    lines.append(say("rulebook_marks"))
    return [escape(line) for line in lines]
