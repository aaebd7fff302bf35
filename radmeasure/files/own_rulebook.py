"""Writes a student's own rulebook: a practice's own copy with that student's placement error."""

import json

_HEAD = """\
# Own copy of the rulebook: standard uncertainty of placement, from marks on synthetic films
# of known truth. It holds for films like those; on real films marks may scatter more.
"""


def own_rulebook_text(placements):
    """TOML that `radmeasure.files.rulebook.read_rulebook` reads as an own copy.

    Parameters
    ----------
    placements : iterable of radmeasure.model.class_marks.Placement

    Returns
    -------
    str
    """
    parts = [_HEAD]
    for p in placements:
        if not p.written:
            why = "too few marks" if p.rms_mm is None else "no error at all in the marks"
            parts.append(f"# {p.entry}: {why} ({p.marks}); left as shipped\n")
            continue
        parts.append(
            f"[{p.entry}]\n"
            f"value = {round(p.rms_mm, 3)}\n"
            f"source = {json.dumps(p.source)}\n"
            'trust = "measured"\n'
        )
    return "\n".join(parts)
