"""The record of a case: PDF, readings as JSON and CSV, DICOM objects."""

from dataclasses import dataclass
from datetime import date as today_date

from radmeasure.errors import InputError
from radmeasure.files.text import write_whole
from radmeasure.model.case import Case, FilmEntry, PlanChoice
from radmeasure.model.film import Film
from radmeasure.workflow.evaluate import Evaluation, evaluate
from radmeasure.workflow.rulebook import load_post_sizes, load_rulebook


@dataclass(frozen=True, eq=False)
class EvaluatedChart:
    """One tooth on one film of a case, with everything derived from it."""

    entry: FilmEntry
    film: Film
    fdi: str
    evaluation: Evaluation
    case: Case

    @property
    def landmarks(self):
        return self.case.charts[self.entry.film_id, self.fdi].landmarks

    @property
    def plan(self):
        return self.case.plans.get(self.fdi, PlanChoice())

    @property
    def worksheet(self):
        return dict(self.case.worksheets.get(self.fdi, {}))


def evaluated_charts(session, film_id=None):
    """Every tooth charted on every film of a case (or on one), in the order of the films.

    Raises
    ------
    InputError
        Nothing is charted.
    CaseError, FilmError
    """
    rulebook, sizes, case = load_rulebook(), load_post_sizes(), session.case
    found = []
    for entry in case.films:
        if film_id not in (None, entry.film_id):
            continue
        for (of_film, fdi), chart in case.charts.items():
            if of_film == entry.film_id:
                film = session.film(entry.film_id)
                choice = case.plans.get(fdi)
                evaluation = evaluate(chart.landmarks, rulebook, film.spacing, choice, sizes)
                found.append(EvaluatedChart(entry, film, fdi, evaluation, case))
    if not found:
        raise InputError("nothing is charted in this case", "place landmarks on a film first")
    return found


def case_pdf(charts, date=None):
    """The record as PDF bytes, a sheet for each tooth and film."""
    from radmeasure.reports.level_chart import View
    from radmeasure.reports.pdf_record import Printed, record_pdf

    sheets = [
        Printed(
            chart.film,
            chart.evaluation,
            label=chart.case.label,
            role=chart.entry.role,
            visit=chart.entry.visit,
            view=View(chart.entry.turns, chart.entry.mirrored),
            identity=dict(chart.case.identity),
            root=chart.plan.root,
        )
        for chart in charts
    ]
    return record_pdf(sheets, str(date or today_date.today()))


def write_pdf(path, charts, date=None):
    """Write the record whole or not at all."""
    write_whole(path, case_pdf(charts, date))


def write_csv(path, charts):
    """Readings of all charts, one a row, with the film and tooth they belong to."""
    from radmeasure.reports.readings_json import readings_csv

    lines = []
    for chart in charts:
        head, *rows = readings_csv(chart.evaluation).splitlines()
        if not lines:
            lines.append(f"film,{head}")
        name = chart.entry.name.replace('"', '""')
        lines += [f'"{name}",{row}' for row in rows]
    write_whole(path, "\n".join(lines) + "\n")


def write_json(path, charts):
    """Readings of all charts: one readings file, or a list of them for several charts."""
    import json

    from radmeasure.reports.readings_json import readings_object

    objects = [readings_object(chart.film, chart.evaluation) for chart in charts]
    data = objects[0] if len(objects) == 1 else objects
    write_whole(path, json.dumps(data, indent=1, allow_nan=False))


def write_dicom(folder, charts, author="", picture=False):
    """DICOM objects of every film, linked to it by reference; returns the paths."""
    from radmeasure.reports.dicom_sr import Charted
    from radmeasure.workflow.dicom_out import dicom_objects, write_objects

    rulebook, paths = load_rulebook(), []
    for entry in dict.fromkeys(chart.entry for chart in charts):
        mine = [chart for chart in charts if chart.entry == entry]
        charted = [Charted(c.landmarks, c.evaluation, c.worksheet, c.plan) for c in mine]
        objects = dicom_objects(
            mine[0].film,
            charted,
            rulebook,
            case_pdf(mine),
            film_with_marks(mine[0]) if picture else None,
            author,
            dict(mine[0].case.identity),
        )
        paths += write_objects(folder, objects, f"{entry.film_id}-")
    return paths


def film_with_marks(chart):
    """The film as drawn on first opening, landmarks on it; (H, W, 3) uint8."""
    import numpy as np

    grey = chart.film.default_table[chart.film.pixels]
    rgb = np.repeat(grey[..., None], 3, axis=2)
    for _, _, value in chart.landmarks.placed():
        points = value if isinstance(value[0], tuple) else (value,)
        for x, y in points:
            row, column = round(y), round(x)
            rgb[max(row - 1, 0) : row + 2, max(column - 1, 0) : column + 2] = (240, 228, 66)
    return rgb
