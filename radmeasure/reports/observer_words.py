"""Observer statistics as tables for the terminal."""

import math

from radmeasure.model.observers import Limits
from radmeasure.reports import vocabulary
from radmeasure.reports.figures import UNITS, number
from radmeasure.reports.phrases import say, translated
from radmeasure.reports.sentences import title

_GAP = "  "


def study_text(study, kappa_words):
    """All of a study for the terminal.

    Parameters
    ----------
    study : radmeasure.model.observers.Study
    kappa_words : callable
        Word of a kappa (`radmeasure.teaching.kappa`); translated here.
    """
    counts = {"observers": len(study.observers), "films": len(study.films)}
    parts = [say("o_head", **counts, factor=number(study.factor, 2))]
    if len(study.observers) == 1:
        parts.append(say("o_one"))
    parts += [_reading_text(reading, kappa_words) for reading in study.readings]
    parts.append(f"{say('o_chance')} {say('o_error_is')}")
    return "\n\n".join(parts)


def reading_name(reading):
    """Name, side and unit of a reading; what a table calls it where that is no id of ours."""
    name = title(reading.reading) if reading.reading in vocabulary.TITLES else reading.reading
    side = vocabulary.SIDES.get(reading.side)
    parts = [
        name,
        translated(side) if side else reading.side,
        UNITS.get(reading.unit, reading.unit),
    ]
    return ", ".join(part for part in parts if part)


def _reading_text(reading, kappa_words):
    key = f"o_against_{reading.against}" if reading.against else "o_alone"
    lines = [say(key, reading=reading_name(reading), count=reading.subjects)]
    make = _class_rows if reading.classes else _number_rows
    lines += table(make(reading, kappa_words))
    if reading.without_truth:
        lines.append(say("o_no_truth", count=reading.without_truth))
    sure = reading.reliability
    several = len(reading.observers) > 1
    if sure is not None:
        two, three = (_figure(sure.forms[form], 2) for form in ("2,1", "3,1"))
        whole = {"subjects": sure.subjects, "observers": sure.observers}
        lines.append(say("o_icc", two=two, three=three, **whole, left_out=sure.left_out))
    elif several and not reading.classes:
        lines.append(say("o_no_icc"))
    if reading.classes and len(reading.classes) > 2 and not _weighted(reading):
        lines.append(say("o_unordered"))
    return "\n".join(lines)


def table(rows, left=1):
    """Lines of a table whose first columns (``left``) are text and the rest figures."""
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    return [
        _GAP
        + _GAP.join(
            f"{cell:<{width}}" if i < left else f"{cell:>{width}}"
            for i, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    ]


def _number_rows(reading, _):
    named = [(o.name, o.against, o.error) for o in reading.observers]
    named += [(f"{a} − {b}", said, None) for a, b, said in reading.pairs]
    sds = [said.sd for _, said, _ in named if said is not None and said.sd > 0]
    sds += [error for _, _, error in named if error]
    # two significant digits of the smallest scatter
    places = min(max(1 - math.floor(math.log10(min(sds))), 0), 4) if sds else 2
    with_error = any(error is not None for _, _, error in named)
    heads = ("o_observer", "o_bias", "o_interval", "o_direction", "o_limits")
    rows = [["", "n"]]
    rows[0][0] = say(heads[0])
    rows[0] += [say(head) for head in heads[1:]] + ([say("o_error")] if with_error else [])
    for name, said, error in named:
        row = [name, *_limit_cells(said, places)]
        rows.append(row + ([_figure(error, places)] if with_error else []))
    return rows


def _limit_cells(said, places):
    if said is None:
        return ["", "", "", "", ""]
    return [
        str(said.n),
        _signed(said.bias, places),
        _span(said.interval95, places),
        say(f"o_{said.direction}"),
        _span(said.limits, places),
    ]


def _class_rows(reading, kappa_words):
    named = [(o.name, o.against, o.again) for o in reading.observers]
    named += [(f"{a}, {b}", said, None) for a, b, said in reading.pairs]
    weighted, again = _weighted(reading), any(o.again for o in reading.observers)
    heads = ["o_observer", "o_agreement", "o_kappa", "o_in_words"]
    heads += ["o_linear", "o_quadratic"] if weighted else []
    heads += ["o_again"] if again else []
    rows = [[say(head) for head in heads]]
    rows[0].insert(1, "n")
    for name, said, repeated in named:
        if said is None and repeated is None:
            continue
        row = [name, *_kappa_cells(said, weighted, kappa_words)]
        rows.append(row + ([_figure(repeated and repeated.kappa, 2)] if again else []))
    return rows


def _kappa_cells(said, weighted, kappa_words):
    if said is None:
        return [""] * (6 if weighted else 4)
    cells = [str(said.n), f"{number(100 * said.agreement, 0)} %", _figure(said.kappa, 2)]
    word = kappa_words(said.kappa)
    cells.append(say(f"k_{word.replace(' ', '_')}") if word else "")
    return cells + ([_figure(said.linear, 2), _figure(said.quadratic, 2)] if weighted else [])


def _weighted(reading):
    said = [o.against for o in reading.observers] + [pair[2] for pair in reading.pairs]
    return any(s is not None and not isinstance(s, Limits) and s.linear is not None for s in said)


def _figure(value, places):
    return "" if value is None or math.isnan(value) else number(value, places)


def _signed(value, places):
    text = _figure(value, places)
    return f"+{text}" if value > 0 and float(f"{value:.{places}f}") else text


def _span(pair, places):
    low, high = (_signed(value, places) for value in pair)
    return say("between", low=low, high=high) if low else ""
