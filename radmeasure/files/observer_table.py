"""Tables of readings as spreadsheets write them: one row a measurement."""

import codecs
import csv
import io
import math
import re
from collections import defaultdict

from radmeasure.errors import InputError
from radmeasure.files.text import read_bytes
from radmeasure.model.observers import Measurement

NEEDED = ("observer", "film", "reading", "value")
COLUMNS = ("observer", "film", "reading", "root", "side", "occasion", "unit", "value", "truth")
# A unit that says: the values are names of classes, even where they are figures.
CLASS = "class"
# Nothing that is measured is larger; its square could not be worked with.
_MOST = 1e12
# What was meant as a figure, however it is written.
_FIGURE_LIKE = re.compile(r"[-+\u2212]?[\d.,]*\d[\d.,]*([eE][-+]?\d+)?")


def read_observer_table(path):
    """Read a table of readings.

    A comma, semicolon or tab separates columns, as the first line shows; a decimal comma is
    read where no figure of the table has a point. UTF-8, UTF-16 with its mark, else Windows-1252.

    Parameters
    ----------
    path : str or path-like

    Returns
    -------
    list of Measurement

    Raises
    ------
    InputError
        Names row and column: a column that is missing or unknown, a figure that is none, a
        cell that is empty, a measurement that is there twice, two units or truths.
    """
    rows = _rows(path)
    if not rows:
        raise InputError(f"{path} has no rows", f"columns: {', '.join(COLUMNS)}")
    _, columns = rows.pop(0)
    columns = [name.strip().lower() for name in columns]
    _check_columns(path, columns)
    raw = []
    for line, cells in rows:
        cells = [cell.strip() for cell in cells]
        if len(cells) > len(columns) and any(cells[len(columns) :]):
            raise InputError(
                f"{path} row {line} has {len(cells)} cells for {len(columns)} columns",
                "put text that holds the separator into quotes",
            )
        cells += [""] * (len(columns) - len(cells))
        raw.append((line, dict(zip(columns, cells))))
    if not raw:
        raise InputError(f"{path} has a heading and no rows", "give one row a measurement")
    for line, row in raw:
        for name in NEEDED:
            if not row[name]:
                raise _at(path, line, name, "is empty", "fill it, or leave the row out")
    found = _measured(path, raw)
    _check_whole(path, found)
    return found


def observer_table_text(measurements):
    """A table that :func:`read_observer_table` reads, comma and decimal point."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for m in measurements:
        writer.writerow(_cell(getattr(m, name)) for name in COLUMNS)
    return out.getvalue()


def _cell(value):
    if value is None:
        return ""
    return f"{value:.6g}" if isinstance(value, float) else value


def _at(path, line, column, what, do):
    return InputError(f"{path} row {line}, column {column}: {what}", do)


def _rows(path):
    """(line number, cells) of every row that holds anything."""
    data = read_bytes(path, "table of readings")
    text = _text(data)
    if "\0" in text:
        raise InputError(f"{path} is not a table", "save it as CSV")
    head = text.lstrip("\n\r").split("\n", 1)[0]
    separator = max(";\t,", key=head.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    rows = []
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                rows.append((reader.line_num, cells))
    except csv.Error as cause:
        raise InputError(f"{path} row {reader.line_num}: {cause}", "correct the quotes") from None
    return rows


def _text(data):
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return data.decode("utf-16", "replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace")


def _check_columns(path, columns):
    known = f"known: {', '.join(COLUMNS)}"
    for name in columns:
        if name not in COLUMNS:
            raise InputError(f"{path} row 1: unknown column {name!r:.60}", known)
        if columns.count(name) > 1:
            raise InputError(f"{path} row 1: column {name!r} is there twice", "keep one")
    for name in NEEDED:
        if name not in columns:
            raise InputError(f"{path} row 1: column {name!r} is missing", known)


def _measured(path, raw):
    comma = _decimal_comma(raw)
    groups = defaultdict(list)
    for line, row in raw:
        groups[row["reading"], row.get("side", "")].append((line, row))
    # Words in every row are classes; a word among figures is a slip of the keyboard.
    classes = {
        key
        for key, rows in groups.items()
        if all(row.get("unit", "").lower() == CLASS for _, row in rows)
        or not any(_FIGURE_LIKE.fullmatch(row["value"]) for _, row in rows)
    }
    found = []
    for line, row in raw:
        value, truth = row["value"], row.get("truth", "") or None
        if (row["reading"], row.get("side", "")) not in classes:
            value = _figure(path, line, "value", value, comma)
            truth = None if truth is None else _figure(path, line, "truth", truth, comma)
        plain = ("observer", "film", "reading", "root", "side", "occasion", "unit")
        names = {name: row.get(name, "") for name in plain}
        found.append(Measurement(**names, value=value, truth=truth, line=line))
    return found


def _decimal_comma(raw):
    figures = [row.get(name, "") for _, row in raw for name in ("value", "truth")]
    return any("," in f for f in figures) and not any("." in f for f in figures)


def _number(text, comma):
    try:
        value = float(text.replace(",", ".") if comma else text)
    except ValueError:
        return None
    return value if math.isfinite(value) and "_" not in text else None


def _figure(path, line, column, text, comma):
    value = _number(text.replace("\u2212", "-"), comma)
    if value is None:
        mixed = "," in text and not comma
        do = "use one decimal sign all over the table" if mixed else "give a number"
        raise _at(path, line, column, f"{text!r:.40} is not a number", do)
    if abs(value) > _MOST:
        raise _at(path, line, column, f"{text!r:.40} is no size of anything", "correct it")
    return value


def _check_whole(path, found):
    """No measurement twice; one unit a reading; one truth a subject."""
    seen, units, truths = {}, {}, {}
    for m in found:
        key = (m.observer, m.film, m.reading, m.root, m.side, m.occasion)
        if key in seen:
            raise InputError(
                f"{path} rows {seen[key]} and {m.line} are one measurement: {m.reading} "
                f"of film {m.film} by {m.observer}",
                "take one out, or tell them apart in a column occasion",
            )
        seen[key] = m.line
        unit = units.setdefault(m.key, m.unit)
        if m.unit != unit:
            what = f"{m.unit!r} where {m.reading} had {unit!r} above"
            raise _at(path, m.line, "unit", what, "give one unit a reading")
        if m.truth is None:
            continue
        truth = truths.setdefault((m.key, m.subject), m.truth)
        if m.truth != truth:
            what = f"{m.truth} where {m.reading} of film {m.film} had {truth} above"
            raise _at(path, m.line, "truth", what, "give one truth a film")
