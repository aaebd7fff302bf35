"""Rows of text for the terminal and the printed tables."""

import textwrap

from radmeasure.quantity import TOO_CLOSE
from radmeasure.reports import vocabulary
from radmeasure.reports.figures import (
    NO_BREAK,
    limit_text,
    probability_text,
    unbroken,
    value_text,
)
from radmeasure.reports.phrases import say, translated
from radmeasure.reports.record import record, space_prepared
from radmeasure.reports.sentences import root_title, title, tooth_title

_WIDTH = 96
# Room for a reading's title, more where a language needs it.
_NAME = 35
_SIGNS = {"meets": "+", "fails": "-", "too_close": "?", "": " "}
# Read off the profile and the post plan, too many rows for a table.
_NOT_LISTED = ("root_width", "canal_width", "dentine_mesial", "dentine_distal")


def place_text(reading):
    """Root and side of a reading: 'mesial', 'palatal root', 'distal root, mesial'."""
    parts = []
    if reading.root and reading.root != "single":
        parts.append(root_title(reading.root))
    if reading.side:
        parts.append(translated(vocabulary.SIDES[reading.side]))
    return ", ".join(parts)


def finding_text(finding):
    """Verdict and limit for a table: 'meets: 0 to 2 mm'; a doubtful one with its probability."""
    verdict = translated(vocabulary.VERDICTS[finding.verdict])
    limit = limit_text(finding.relation, finding.limit, finding.unit)
    if finding.verdict == TOO_CLOSE:
        verdict = f"{verdict} ({probability_text(finding.p)})"
    return f"{verdict}: {limit}"


def reading_rows(evaluation):
    """(title, place, value, findings) of every reading that has a value, widths left out."""
    rows = []
    for reading in evaluation.readings:
        if reading.quantity is None or not _listed(reading, evaluation):
            continue
        found = [f for f in evaluation.findings if (f.reading, f.root, f.side) == reading.key[:3]]
        rows.append((reading, title(reading.id), place_text(reading), value_text(reading), found))
    return rows


def _listed(reading, evaluation):
    """False for profiles, and for figures of a step of treatment that has not taken place."""
    if reading.id == "stop_setting":
        return evaluation.landmarks.get("file_tip", reading.root) is not None
    if reading.id in ("residual_filling", "filling_depth"):
        posted = evaluation.landmarks.get("post_apical", reading.root) is not None
        return posted or space_prepared(evaluation, reading.root)
    if reading.id == "ferrule_shortfall":
        return reading.quantity.value > 0
    return reading.id not in _NOT_LISTED


def table_text(evaluation):
    """Readings and findings as a table for the terminal."""
    rows = reading_rows(evaluation)
    width = max([_NAME, *(len(row[1]) + 1 for row in rows)])
    lines = []
    for _, name, place, value, found in rows:
        start = f"{name:{width}}{place:22}{value:24}"
        texts = [finding_text(f) for f in found] or [""]
        lines.append(f"{start}{texts[0]}".rstrip())
        lines += [f"{'':{len(start)}}{text}" for text in texts[1:]]
    return "\n".join(lines)


def paragraphs_text(paragraphs, width=_WIDTH):
    """Paragraphs as plain text; + meets, - does not meet, ? too close to call."""
    blocks = []
    for paragraph in paragraphs:
        lines = [paragraph.title]
        for sentence in paragraph.sentences:
            start = f"  {_SIGNS[sentence.verdict]} "
            text = unbroken(sentence.text)
            lines += textwrap.wrap(text, width, initial_indent=start, subsequent_indent="    ")
        blocks.append("\n".join(lines).replace(NO_BREAK, " "))
    return "\n\n".join(blocks)


def record_text(evaluation, job=None):
    """The table of readings, then the post plan, what is still open and the scale."""
    tooth = evaluation.landmarks.tooth
    told = [p for p in record(evaluation, job) if p.key in ("p_post", "p_open", "p_scale")]
    table = table_text(evaluation)
    head = say("pdf_head", tooth=tooth.fdi, name=tooth_title(tooth))
    parts = [head, table, paragraphs_text(told)]
    return "\n\n".join(part for part in parts if part)
