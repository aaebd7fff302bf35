"""The record of a case: PDF, readings as JSON and CSV, DICOM objects."""

from dataclasses import dataclass
from datetime import date as today_date

from radmeasure.errors import InputError
from radmeasure.files.text import write_whole
from radmeasure.model.case import Case, FilmEntry, PlanChoice
from radmeasure.model.case_json import film_to_json
from radmeasure.model.film import Film
from radmeasure.workflow.evaluate import Evaluation, evaluate
from radmeasure.workflow.rulebook import load_post_sizes, load_rulebook

# Roles of films that show what was done; a plan is not made on them.
_DONE = ("post space check", "post check", "recall")


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


def case_pdf(charts, date=None, page="a4"):
    """The record as PDF bytes, a sheet for each tooth and film."""
    from radmeasure.reports.pdf_record import record_pdf

    return record_pdf([_sheet(chart, charts) for chart in charts], _day(date), page)


def _day(date):
    return str(date or today_date.today())


def _sheet(chart, charts):
    """What is printed of one chart: its record, what differs from the plan, its worksheet."""
    from radmeasure.reports.level_chart import View
    from radmeasure.reports.pdf_record import Printed
    from radmeasure.reports.words import follow_up_paragraphs, worksheet_paragraphs
    from radmeasure.workflow.followup import follow_up_of, job_for

    case, fdi = chart.case, chart.fdi
    same = {c.entry.film_id: c.evaluation for c in charts if c.fdi == fdi and c.case is case}
    job = job_for(chart.entry.role, chart.landmarks).id
    planned = chart is plan_chart(charts, fdi)
    if planned and job == "filling check" and chart.plan != PlanChoice():
        job = "post plan"
    told = follow_up_paragraphs(follow_up_of(case, chart.entry.film_id, fdi, job, same.get))
    worksheet = _worksheet(chart, charts)
    if worksheet is not None:
        told += worksheet_paragraphs(worksheet)
    return Printed(
        chart.film,
        chart.evaluation,
        label=case.label,
        role=chart.entry.role,
        visit=chart.entry.visit,
        view=View(chart.entry.turns, chart.entry.mirrored),
        identity=dict(case.identity),
        job=job,
        paragraphs=tuple(told),
        root=chart.plan.root,
    )


def plan_chart(charts, fdi):
    """The chart a tooth's plan stands on: the last one before a post was made, else the last."""
    mine = [chart for chart in charts if chart.fdi == fdi]
    before = [chart for chart in mine if chart.entry.role not in _DONE]
    return (before or mine or [None])[-1]


def write_pdf(path, charts, date=None, page="a4"):
    """Write the record whole or not at all.

    Raises
    ------
    OutputError
    """
    write_whole(path, case_pdf(charts, date, page))


def write_patient(path, charts, fdi=None, date=None, page="a4"):
    """Write the sheet in plain words of one tooth, the first charted one unless named.

    Raises
    ------
    InputError
        The tooth is not charted.
    OutputError
    """
    from radmeasure.reports.pdf_patient import patient_pdf

    chart = plan_chart(charts, fdi or charts[0].fdi)
    if chart is None:
        teeth = ", ".join(dict.fromkeys(c.fdi for c in charts))
        raise InputError(f"tooth {fdi} is not charted in this case", f"charted: {teeth}")
    write_whole(path, patient_pdf(_sheet(chart, charts), _day(date), page))


def write_level_chart(path, charts, fdi=None, root=None):
    """Write the level chart of a root as SVG or PNG, by the name's ending.

    Raises
    ------
    InputError
        The tooth or root is not charted, there is no scale, or the ending is another.
    OutputError
    """
    from radmeasure.planning.post_roots import root_for_post
    from radmeasure.reports.level_chart import View
    from radmeasure.workflow.level_chart import level_chart, write_chart

    if not str(path).lower().endswith((".svg", ".png")):
        raise InputError(f"{path} is neither .svg nor .png", "end the name in one of them")
    chart = plan_chart(charts, fdi or charts[0].fdi)
    if chart is None:
        raise InputError(f"tooth {fdi} is not charted in this case", "name a charted tooth")
    evaluation = chart.evaluation
    root = root or root_for_post(evaluation.post_space, chart.plan)
    root = root or next(iter(evaluation.landmarks.roots), "")
    view = View(chart.entry.turns, chart.entry.mirrored)
    drawing = level_chart(evaluation, root, view=view)
    if not drawing:
        raise InputError(drawing.why.rstrip("."), "add what is missing")
    write_chart(path, drawing)


def write_csv(path, charts):
    """Readings, plan and worksheet of all charts, one a row, with film and tooth."""
    from radmeasure.reports.plan_json import plan_rows, worksheet_rows
    from radmeasure.reports.readings_json import readings_csv

    parts = []
    for i, chart in enumerate(charts):
        sheet = _worksheet(chart, charts)
        more = [*plan_rows(chart.evaluation), *(worksheet_rows(sheet) if sheet else ())]
        named = {"film": chart.entry.name, "tooth": chart.fdi}
        parts.append(readings_csv(chart.evaluation, **named, head=not i, more=more))
    write_whole(path, "".join(parts))


def _worksheet(chart, charts):
    """The tooth's worksheet as it stands in the record: with the film of its plan."""
    from radmeasure.workflow.worksheet import worksheet_of

    if not chart.worksheet or chart is not plan_chart(charts, chart.fdi):
        return None
    return worksheet_of(chart.case, chart.fdi, chart.evaluation)


def write_json(path, charts):
    """Readings, plan and worksheet: one readings file, or a list of them for several charts."""
    import json

    from radmeasure.reports.plan_json import plan_object, worksheet_object
    from radmeasure.reports.readings_json import readings_object

    objects = []
    for chart in charts:
        sheet = _worksheet(chart, charts)
        more = {} if sheet is None else {"worksheet": worksheet_object(sheet)}
        found = readings_object(chart.film, chart.evaluation)
        objects.append({**found, "plan": plan_object(chart.evaluation), **more})
    data = objects[0] if len(objects) == 1 else objects
    write_whole(path, json.dumps(data, indent=1, allow_nan=False))


def write_dicom(folder, charts, author="", picture=False, signed_for=""):
    """DICOM objects of every film, linked to it by reference; returns the paths.

    With ``signed_for``, an organisation, the author signs the reports.
    """
    from radmeasure.workflow.dicom_out import dicom_objects, write_objects

    rulebook, paths = load_rulebook(), []
    for entry in dict.fromkeys(chart.entry for chart in charts):
        mine = [chart for chart in charts if chart.entry == entry]
        charted = [_charted(c) for c in mine]
        objects = dicom_objects(
            mine[0].film,
            charted,
            rulebook,
            case_pdf(mine),
            {c.fdi: film_with_marks(c) for c in mine} if picture else None,
            author,
            dict(mine[0].case.identity),
            _about(mine[0].case, entry),
            signed_for,
        )
        paths += write_objects(folder, objects, f"{entry.film_id}-")
    return paths


def _charted(chart):
    from radmeasure.reports.dicom_sr import Charted

    kept = chart.case.charts[chart.entry.film_id, chart.fdi]
    recall = chart.case.recalls.get(chart.fdi, "")
    return Charted(
        kept.landmarks, chart.evaluation, chart.worksheet, chart.plan, kept.accepted, recall
    )


def _about(case, entry):
    """What a report keeps of the case so that it can be rebuilt."""
    film = {**film_to_json(entry), "position": case.films.index(entry)}
    return {"label": case.label, "film": film}


# Canvas of a picture with marks: as large as a printed page, drawn at this many px a unit.
_CAPTURE, _CAPTURE_PX, _CAPTURE_FONT = 640.0, 2.5, 8.5


def film_with_marks(chart):
    """The film as it is shown, with its marks as the printed record has them.

    Returns
    -------
    ndarray, shape (H, W, 3), uint8
    """
    from radmeasure.reports.draw_pdf import film_picture
    from radmeasure.reports.draw_png import over_film
    from radmeasure.reports.film_marks import film_marks
    from radmeasure.reports.level_chart import View

    view = View(chart.entry.turns, chart.entry.mirrored)
    size = (chart.film.width, chart.film.height)
    canvas = (_CAPTURE, _CAPTURE)
    marks, sheet = film_marks(chart.landmarks, size, canvas, _CAPTURE_FONT, view)
    return over_film(marks, sheet, film_picture(chart.film, view), scale=_CAPTURE_PX)
