"""The plan and the worksheet for other programs: what was chosen, what it gives, what speaks.

Stands beside the readings in the record's JSON and CSV; keys stand in docs/plan.md.
"""

from dataclasses import asdict

from radmeasure.reports.readings_json import figure, quantity_object


def plan_object(evaluation):
    """The chosen or deepest safe post of every root, and the ways to gain tooth.

    Parameters
    ----------
    evaluation : Evaluation

    Returns
    -------
    dict
        'choice' as entered, 'posts' and 'gains' one for each root.
    """
    spaces = [space for space in evaluation.post_space if space.planned is not None]
    return {
        "choice": asdict(evaluation.choice),
        "posts": [_post(space) for space in spaces],
        "gains": [_gains(gains) for gains in evaluation.gains],
    }


def _post(space):
    planned = space.planned
    return {
        "root": space.root,
        "chosen": planned.chosen,
        "depth_mm": figure(planned.depth_mm),
        "size": None if planned.size is None else planned.size.name,
        "filling_left_mm": quantity_object(planned.residual),
        "drill_depth_mm": quantity_object(planned.drill),
        "depth_in_bone_mm": quantity_object(planned.in_bone),
        "checks": [
            {
                "rule": check.rule,
                "margin_mm": quantity_object(check.margin),
                "verdict": check.verdict,
                "p": figure(check.p),
                "source": check.source,
                "trust": check.trust,
            }
            for check in planned.checks
        ],
    }


def _gains(gains):
    return {
        "root": gains.root,
        "amount_mm": figure(gains.amount_mm),
        "chosen": gains.dragged,
        "options": [_option(option) for option in gains.options],
        "missing": list(gains.missing),
    }


def _option(option):
    return {
        "kind": option.kind,
        "lengthening_mm": figure(option.lengthening_mm),
        "extrusion_mm": figure(option.extrusion_mm),
        "ferrule_mm": {side: quantity_object(q) for side, q in option.ferrule.items()},
        "crown_root": quantity_object(option.crown_root),
        "bone_support_percent": quantity_object(option.bone_support.get("mean")),
        "post_safe_to_mm": quantity_object(option.deepest),
        "post_asked_mm": quantity_object(option.shallowest),
        "verdicts": [
            {"rule": f.rule, "side": f.side, "verdict": f.verdict, "p": figure(f.p)}
            for f in option.findings
        ],
    }


def worksheet_object(sheet):
    """What was answered and what speaks for, against or is open; no score.

    Parameters
    ----------
    sheet : Worksheet
    """
    return {
        "answers": {f.entry.name: f.value for f in sheet.entries if f.value is not None},
        "filled_by": {f.entry.name: f.filled_by for f in sheet.entries if f.filled_by},
        "missing": [f.entry.name for f in sheet.missing],
        "reasons": [
            {
                "stance": reason.stance,
                "topic": reason.topic,
                "entry": reason.entry or None,
                "words": reason.words,
                "value": quantity_object(reason.quantity),
                "unit": reason.unit or None,
                "source": reason.source,
                "trust": reason.trust,
            }
            for reason in sheet.reasons
        ],
        "indications": _lines(sheet.indications),
        "contraindications": _lines(sheet.contraindications),
    }


def _lines(lines):
    return [{"words": line.words, "met": line.met, "entry": line.entry} for line in lines]


# -- rows of the table -----------------------------------------------------------------------------


def plan_rows(evaluation):
    """The plan as rows like those of readings: id, root, side, value, unit, u, interval95."""
    for space in evaluation.post_space:
        planned = space.planned
        if planned is None:
            continue
        yield _row("plan.depth", space.root, value=figure(planned.depth_mm), unit="mm")
        if planned.size is not None:
            yield _row("plan.size", space.root, value=planned.size.name)
        for id_, quantity in (
            ("plan.filling_left", planned.residual),
            ("plan.drill_depth", planned.drill),
            ("plan.depth_in_bone", planned.in_bone),
        ):
            if quantity is not None:
                yield _row(id_, space.root, unit="mm", **quantity_object(quantity))
    for gains in evaluation.gains:
        for option in gains.options:
            yield from _option_rows(gains.root, option)


def _option_rows(root, option):
    name = f"gain.{option.kind}"
    for part in ("lengthening", "extrusion"):
        value = figure(getattr(option, f"{part}_mm"))
        yield _row(f"{name}.{part}", root, value=value, unit="mm")
    for side, quantity in option.ferrule.items():
        yield _row(f"{name}.ferrule", root, side, unit="mm", **quantity_object(quantity))
    for part, quantity, unit in (
        ("crown_root", option.crown_root, "1"),
        ("bone_support", option.bone_support.get("mean"), "%"),
        ("post_safe_to", option.deepest, "mm"),
    ):
        if quantity is not None:
            yield _row(f"{name}.{part}", root, unit=unit, **quantity_object(quantity))


def worksheet_rows(sheet):
    """Every entry of the worksheet as a row: its answer, and who gave it."""
    for filled in sheet.entries:
        value = filled.value
        if isinstance(value, bool):
            value = "yes" if value else "no"
        if value is not None:
            yield _row(f"worksheet.{filled.entry.name}", value=value, by=filled.filled_by)


def _row(id_, root=None, side=None, by="", **more):
    return {"id": id_, "root": root, "side": side, "method": by, **more}
