"""The comparison file: what changed between two films, for other programs."""

import json

from radmeasure.reports.readings_json import figure

FORMAT, VERSION = "radmeasure.comparison", 1


def comparison_json(comparison):
    """The comparison file as text; keys and meaning stand in docs/command-line.md.

    Parameters
    ----------
    comparison : radmeasure.model.comparison.Comparison
    """
    data = {
        "format": FORMAT,
        "version": VERSION,
        "alignment": _alignment(comparison.alignment),
        "changes": [_change(change) for change in comparison.changes],
    }
    return json.dumps(data, indent=1, allow_nan=False) + "\n"


def _alignment(alignment):
    if not alignment:
        return {"model": None, "residual_mm": None, "overlap": None, "why": alignment.why}
    return {
        "model": "similarity",
        "matrix": [
            [figure(alignment.factor.real), figure(-alignment.factor.imag)],
            [figure(alignment.factor.imag), figure(alignment.factor.real)],
        ],
        "shift_px": [figure(alignment.shift.real), figure(alignment.shift.imag)],
        "landmarks": [f"{root}.{name}" if root else name for name, root in alignment.landmarks],
        "residual_px": figure(alignment.residual_px),
        "residual_mm": figure(alignment.residual_mm),
        "overlap": figure(alignment.overlap),
    }


def _change(change):
    apart = change.change
    return {
        "id": change.id,
        "root": change.root,
        "side": change.side,
        "unit": change.unit,
        "earlier": figure(change.earlier.value),
        "u_earlier": figure(change.earlier.u),
        "later": figure(change.later.value),
        "u_later": figure(change.later.u),
        "change": figure(apart.value),
        "u": figure(apart.u),
        "interval95": [figure(v) for v in apart.interval95],
        "exceeds_error": change.exceeds,
    }
