"""The readings file: everything derived from one film, for other programs.

Keys and meaning stand in docs/command-line.md; figures carry six significant digits,
a figure that is not finite is null.
"""

import csv
import io
import json
import math

FORMAT, VERSION = "radmeasure.readings", 1
_COLUMNS = (
    "id",
    "root",
    "side",
    "depth_mm",
    "value",
    "unit",
    "u",
    "low95",
    "high95",
    "method",
    "missing",
    "why",
    "remark",
)


def readings_object(film, evaluation):
    """The readings file as a dict ready for JSON.

    Parameters
    ----------
    film : Film
        Names the film: file, digest and size.
    evaluation : Evaluation

    Returns
    -------
    dict
    """
    rulebook = evaluation.rulebook
    return {
        "format": FORMAT,
        "version": VERSION,
        "film": {
            "file": film.name,
            "sha256": film.sha256,
            "width": int(film.width),
            "height": int(film.height),
        },
        "tooth": evaluation.landmarks.tooth.fdi,
        "rulebook": {
            "version": rulebook.version,
            "digest": rulebook.digest,
            "changed": sorted(rulebook.changed),
        },
        "scale": _scale(evaluation.scale),
        "readings": [_reading(reading) for reading in evaluation.readings],
        "findings": [_finding(finding) for finding in evaluation.findings],
        "post_space": [_space(space) for space in evaluation.post_space],
    }


def readings_text(film, evaluation, rulebook=None):
    """The readings file as text; ``rulebook`` is the evaluation's own when given."""
    return json.dumps(readings_object(film, evaluation), indent=1, allow_nan=False) + "\n"


def readings_csv(evaluation, film=None, tooth=None, head=True, more=()):
    """All readings as comma-separated text (RFC 4180), one a row, missing ones included.

    With ``film`` and ``tooth`` two columns in front name them; ``head`` writes the
    row of names; ``more`` holds further rows, such as those of a plan.
    """
    stream = io.StringIO(newline="")
    named = {"film": film, "tooth": tooth} if film is not None else {}
    writer = csv.DictWriter(stream, (*named, *_COLUMNS), extrasaction="ignore")
    if head:
        writer.writeheader()
    for told in (*map(_reading, evaluation.readings), *more):
        row = {**named, **told}
        low, high = row.get("interval95") or (None, None)
        row.update(low95=low, high95=high, missing=" ".join(row.get("missing", ())))
        writer.writerow(row)
    return stream.getvalue()


def figure(value):
    """Six significant digits; None for what is absent or not finite."""
    if value is None or not math.isfinite(value):
        return None
    return float(f"{value:.6g}")


def _interval(quantity):
    return [figure(v) for v in quantity.interval95]


def quantity_object(quantity):
    """Value, standard uncertainty and 95 % interval; None for what is not known."""
    if quantity is None:
        return None
    return {"value": _value(quantity), "u": _u(quantity), "interval95": _interval(quantity)}


def _value(quantity):
    return None if quantity is None else figure(quantity.value)


def _u(quantity):
    return None if quantity is None else figure(quantity.u)


def _scale(scale):
    return {
        "along_mm_per_px": _value(scale.along),
        "u_along": _u(scale.along),
        "across_mm_per_px": _value(scale.across),
        "u_across": _u(scale.across),
        "foreshortening": _value(scale.foreshortening),
        "u_foreshortening": _u(scale.foreshortening),
        "notes": list(scale.notes),
    }


def _reading(reading):
    row = {
        "id": reading.id,
        "root": reading.root,
        "side": reading.side,
        "depth_mm": reading.depth_mm,
        "unit": reading.unit,
    }
    quantity = reading.quantity
    if quantity is None:
        row["missing"] = list(reading.missing)
        if reading.why:
            row["why"] = reading.why
        return row
    row.update(
        value=figure(quantity.value),
        u=figure(quantity.u),
        interval95=_interval(quantity),
        method=reading.method,
        budget={name: figure(part) for name, part in quantity.budget.items()},
    )
    if reading.remark:
        row["remark"] = reading.remark
    return row


def _finding(finding):
    limit = finding.limit
    return {
        "rule": finding.rule,
        "reading": finding.reading,
        "root": finding.root,
        "side": finding.side,
        "relation": finding.relation,
        "limit": list(limit) if isinstance(limit, tuple) else limit,
        "unit": finding.unit,
        "verdict": finding.verdict,
        "p": figure(finding.p),
        "value": figure(finding.value),
        "u": figure(finding.u),
        "words": finding.words,
        "source": finding.source,
        "trust": finding.trust,
    }


def _space(space):
    return {
        "root": space.root,
        "deepest_mm": _value(space.deepest),
        "u_deepest": _u(space.deepest),
        "deepest_because": space.deepest_because or None,
        "shallowest_mm": _value(space.shallowest),
        "u_shallowest": _u(space.shallowest),
        "shallowest_because": space.shallowest_because or None,
        "feasible": space.feasible,
        "p_feasible": figure(space.p_feasible),
        "limits": [_limit(row) for row in space.limits],
        "clashes": [
            {"rule": rule, "short_by_mm": _value(short), "u": _u(short)}
            for rule, short in space.clashes
        ],
        "widest_at_deepest_mm": _value(space.widest_at_deepest),
        "widest_because": space.widest_because or None,
        "drill_depth_mm": _value(space.drill_depth),
        "u_drill_depth": _u(space.drill_depth),
        "sizes": [
            {"name": f.size.name, "fits": f.fits, "p": figure(f.p), "because": f.because}
            for f in space.sizes
        ],
        "contraindications": list(space.contraindications),
        "missing": list(space.missing),
    }


def _limit(row):
    found = {
        "rule": row.rule,
        "side": row.side,
        "value_mm": _value(row.quantity),
        "u": _u(row.quantity),
        "words": row.words,
        "source": row.source,
        "trust": row.trust,
    }
    if row.missing:
        found["missing"] = list(row.missing)
    return found
