"""Tables of the printed record: readings with their rules, limits of the post, ways to gain."""

from xml.sax.saxutils import escape

from radmeasure.quantity import TOO_CLOSE
from radmeasure.reports import vocabulary
from radmeasure.reports.figures import (
    chance_text,
    depth_text,
    limit_text,
    quantity_text,
    unbroken,
)
from radmeasure.reports.palette import THEMES
from radmeasure.reports.pdf_style import mark_text
from radmeasure.reports.phrases import say, translated
from radmeasure.reports.post_words import gain_facts, gain_title
from radmeasure.reports.sentences import root_title, rule_title, telling, trust_text
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
        return self._found.setdefault((source, trust), len(self._found) + 1)

    @property
    def text(self):
        """All sources by how far to trust them, in the order of their numbers, as markup."""
        groups = {}
        for (source, trust), n in self._found.items():
            named = f"<b>{n}</b> {escape(translated(source))}"
            groups.setdefault(trust_text(trust), []).append(named)
        lines = (
            say("pdf_trusted", trust=trust[:1].upper() + trust[1:], sources="; ".join(named))
            for trust, named in groups.items()
        )
        return "<br/>".join(lines)


def figure_tables(evaluation, spaces, sources, style, width):
    """Flowables: the readings and the limits of the post, roots side by side.

    Parameters
    ----------
    evaluation : Evaluation
    spaces : sequence of PostSpace
        Whose limits are listed.
    sources : Sources
        Numbers the sources of both.
    style : mapping of ParagraphStyle
    width : float
    """
    from reportlab.platypus import Paragraph

    roots = list(evaluation.landmarks.roots)
    groups = list(_grouped(evaluation))
    plain = [group for group in groups if len(roots) == 1 and _is_plain(group)]
    rows = [_reading_row(g, roots, sources, style) for g in groups if g not in plain]
    if rows or plain:
        yield from _heading(say("pdf_readings"), style)
    if rows:
        yield _table(_heads(roots), rows, _READING_PARTS[min(len(roots), 3)], style, width)
    if plain:
        yield Paragraph(_run_on(plain), style["run_on"])
    rows = [_limit_row(rows, sources, style) for rows in _limits(spaces)]
    if rows:
        yield from _heading(say("pdf_limits"), style)
        named = [root_title(space.root) for space in spaces] if len(spaces) > 1 else [None]
        columns = [name or say("pdf_limit") for name in named]
        heads = (say("pdf_rule"), *columns, say("pdf_meaning"), say("pdf_source"))
        yield _table(heads, rows, _LIMIT_PARTS[min(len(columns), 3)], style, width)


def _is_plain(group):
    """A figure of the whole tooth that no rule judges."""
    return all(reading.side is None and not found for reading, _, _, _, found in group)


def _run_on(groups):
    """Plain figures in one paragraph: 'Root, CEJ to apex 13.0 ± 0.7 mm; ...'."""
    named = (f"{escape(name)} <b>{unbroken(value)}</b>" for ((_, name, _, value, _),) in groups)
    return f"{'; '.join(named)}."


# Shares of the width, by the number of roots.
_READING_PARTS = {
    1: (0.22, 0.165, 0.12, 0.12, 0.325, 0.05),
    2: (0.235, 0.18, 0.18, 0.355, 0.05),
    3: (0.2, 0.155, 0.155, 0.155, 0.285, 0.05),
}
_LIMIT_PARTS = {
    1: (0.27, 0.20, 0.48, 0.05),
    2: (0.25, 0.17, 0.17, 0.36, 0.05),
    3: (0.22, 0.15, 0.15, 0.15, 0.28, 0.05),
}


def _heads(roots):
    columns = [say(f"pdf_{name}") for name in ("value", "mesial", "distal")]
    if len(roots) > 1:
        columns = [root_title(root) for root in roots]
    return (say("pdf_reading"), *columns, say("pdf_finding"), say("pdf_source"))


def _heading(title, style):
    """A heading that goes to the next page with the first rows, never with the whole table."""
    from reportlab.platypus import CondPageBreak, Paragraph

    yield CondPageBreak(_HEADED)
    yield Paragraph(title, style["over_table"])


def _grouped(evaluation):
    """Rows of one reading, its roots and sides together."""
    groups = {}
    for row in reading_rows(evaluation):
        groups.setdefault(row[0].id, []).append(row)
    return groups.values()


def _reading_row(rows, roots, sources, style):
    from reportlab.platypus import Paragraph

    values = {(reading.root, reading.side): value for reading, _, _, value, _ in rows}
    if len(roots) > 1:
        cells = [_of_root(values, root) for root in roots]
    else:
        by_side = {side: value for (_, side), value in values.items()}
        whole = by_side.get(None) or by_side.get("mean", "")
        cells = [whole, by_side.get("mesial", ""), by_side.get("distal", "")]
    told = [
        finding
        for reading, _, _, _, findings in rows
        if reading.side != "mean"
        for finding in telling(findings)
    ]
    numbers = dict.fromkeys(str(sources.number(f.source, f.trust)) for f in told)
    return [
        Paragraph(escape(rows[0][1]), style["cell"]),
        *(Paragraph(unbroken(cell), style["cell"]) for cell in cells),
        Paragraph("<br/>".join(_verdict_lines(told, len(roots) > 1)), style["cell"]),
        Paragraph(", ".join(numbers), style["cell_quiet"]),
    ]


def _of_root(values, root):
    """A root's value, or those of both sides."""
    sides = [(side, values[root, side]) for side in ("mesial", "distal") if (root, side) in values]
    if not sides:
        return values.get((root, None), "")
    named = ((value, translated(vocabulary.LEVEL_SIDES[side])) for side, value in sides)
    return "<br/>".join(f"{value} {side}" for value, side in named)


def _verdict_lines(findings, many):
    """One line for each rule: 'at most 15 %: ✓ mesial, ? distal (63 %)'."""
    by_rule = {}
    for finding in findings:
        by_rule.setdefault(finding.rule, []).append(finding)
    for same in by_rule.values():
        first = same[0]
        limit = limit_text(first.relation, first.limit, first.unit)
        verdicts = {finding.verdict for finding in same}
        if len(verdicts) == 1 and (len(same) == 1 or TOO_CLOSE not in verdicts):
            yield unbroken(mark_text(first.verdict, f"{finding_words(first)}: {limit}"))
        else:
            marks = (mark_text(f.verdict, _whose(f, many)) for f in same)
            yield unbroken(f"{escape(limit)}: {', '.join(marks)}")


def finding_words(finding):
    """Verdict in words; a doubtful one with its probability."""
    words = translated(vocabulary.VERDICTS[finding.verdict])
    return f"{words} ({chance_text(finding.p)})" if finding.verdict == TOO_CLOSE else words


def _whose(finding, many):
    """Root and side of a finding, with its probability when it is too close to call."""
    parts = []
    if many and finding.root:
        parts.append(root_title(finding.root))
    if finding.side:
        parts.append(translated(vocabulary.SIDES[finding.side]))
    who = " ".join(parts)
    return f"{who} ({chance_text(finding.p)})" if finding.verdict == TOO_CLOSE else who


def _limits(spaces):
    """For each rule its row in every root; (space, Limit or None)."""
    named = {row.rule for space in spaces for row in space.limits if row.quantity is not None}
    order = dict.fromkeys(row.rule for space in spaces for row in space.limits)
    for rule in order:
        if rule in named:
            yield [(space, space.limit(rule)) for space in spaces]


def _limit_row(rows, sources, style):
    from reportlab.platypus import Paragraph

    known = [row for _, row in rows if row is not None and row.quantity is not None]
    meaning = dict.fromkeys(translated(row.words) for row in known)
    numbers = dict.fromkeys(str(sources.number(row.source, row.trust)) for row in known)
    return [
        Paragraph(escape(rule_title(known[0].rule)), style["cell"]),
        *(Paragraph(_limit(space, row), style["cell"]) for space, row in rows),
        Paragraph(escape("; ".join(meaning)), style["cell_quiet"]),
        Paragraph(", ".join(numbers), style["cell_quiet"]),
    ]


def _limit(space, row):
    """'≤ 8.0 ± 0.7 mm', strong where the rule binds."""
    if row is None or row.quantity is None:
        return ""
    value = unbroken(f"{_DEPTHS[row.side]} {quantity_text(row.quantity, 'mm')}")
    binds = row.rule in (space.deepest_because, space.widest_because)
    return f"<b>{value}</b>" if binds else value


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

    facts = [dict(_marked_facts(option)) for option in gains.options]
    names = list(dict.fromkeys(name for each in facts for name in each))
    head = [Paragraph("", style["cell"])]
    head += [Paragraph(escape(gain_title(option)), style["cell_head"]) for option in gains.options]
    rows = [head]
    for name in names:
        cells = (each.get(name, "") for each in facts)
        rows.append([Paragraph(unbroken(cell), style["cell"]) for cell in (escape(name), *cells)])
    first = 0.15 * width
    rest = (width - first) / len(gains.options)
    table = Table(rows, [first, *[rest] * len(gains.options)])
    table.setStyle(_lines())
    return table


def _bold(marked):
    parts = escape(marked).split("*")
    return "".join(f"<b>{p}</b>" if i % 2 else p for i, p in enumerate(parts))


def _marked_facts(option):
    """(what, markup) of one way, each value that a rule judges with its mark."""
    for what, rule, values in gain_facts(option):
        marked = []
        for side, value in values:
            finding = option.finding(rule, side)
            mark = "" if finding is None else mark_text(finding.verdict, "")
            marked.append(mark + _bold(value))
        yield what, "<br/>".join(marked)


def _table(heads, rows, parts, style, width):
    from reportlab.platypus import Paragraph, Table

    head = [Paragraph(escape(name), style["cell_head"]) for name in heads]
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
