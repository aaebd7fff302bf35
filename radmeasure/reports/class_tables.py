"""A marked class as tables for spreadsheets (CSV, comma and point; never translated)."""

import csv
import io

from radmeasure.reports.readings_json import figure

_MARKS = ("student", "film", "occasion", "root", "landmark", "along_mm", "across_mm", "rms_mm")
_MARKS += ("u_mm", "in_u", "placed")
_INTERVALS = ("student", "film", "occasion", "reading", "root", "side", "unit", "value", "truth")
_INTERVALS += ("off", "u", "low", "high", "holds")


def marks_csv(marks):
    """Every landmark against its true place."""
    rows = []
    for m in marks.marks:
        e = m.error
        figures = (e.along_mm, e.across_mm, e.rms_mm, m.u_mm, m.in_u)
        placed = "own" if m.own else "suggested"
        rows.append((*_of(m.handed), e.root, e.name, *map(_rounded, figures), placed))
    return _text(_MARKS, rows)


def intervals_csv(marks):
    """Every reading against its truth, and whether its stated 95 % interval holds it."""
    rows = []
    for held in marks.readings:
        reading, q = held.reading, held.reading.quantity
        figures = (q.value, held.truth, q.value - held.truth, q.u, *q.interval95)
        where = (reading.id, reading.root, reading.side, reading.unit)
        holds = "yes" if held.holds else "no"
        rows.append((*_of(held.handed), *where, *map(_rounded, figures), holds))
    return _text(_INTERVALS, rows)


def _of(handed):
    return handed.student, handed.film, handed.occasion


def _rounded(value):
    return None if value is None else figure(round(float(value), 5))


def _text(head, rows):
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(head)
    writer.writerows(["" if cell is None else cell for cell in row] for row in rows)
    return out.getvalue()
