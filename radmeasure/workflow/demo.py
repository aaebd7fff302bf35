"""The main job on a shipped sample film, from opening it to the printed record."""

from datetime import date
from pathlib import Path

from radmeasure.errors import OutputError
from radmeasure.files.landmarks_json import read_landmarks
from radmeasure.files.shipped import shipped
from radmeasure.files.text import folder_for_output, write_whole

SAMPLE, ROLE = "cedar", "filling check"


def run_demo(folder):
    """Case, readings and PDF of the sample film, written into ``folder``.

    Parameters
    ----------
    folder : path

    Returns
    -------
    evaluation : Evaluation
    paths : dict of 'case', 'readings', 'record' to Path

    Raises
    ------
    OutputError
        The folder holds a case of an earlier run that is still open, or cannot be written.
    """
    from radmeasure.reports.pdf_record import Printed, record_pdf
    from radmeasure.reports.readings_json import readings_text
    from radmeasure.workflow.evaluate import evaluate
    from radmeasure.workflow.films import open_film
    from radmeasure.workflow.rulebook import load_post_sizes, load_rulebook

    folder = folder_for_output(folder)
    film = open_film(shipped("sample_images", f"{SAMPLE}.dcm"))
    landmarks = read_landmarks(shipped("sample_images", f"{SAMPLE}.landmarks.json"))
    rulebook, sizes = load_rulebook(), load_post_sizes()
    case = _case(_free(folder / f"{SAMPLE}.radcase"), film, landmarks)
    evaluation = evaluate(landmarks, rulebook, film.spacing, sizes=sizes)
    paths = {
        "case": case,
        "readings": folder / f"{SAMPLE}.readings.json",
        "record": folder / f"{SAMPLE}.pdf",
    }
    sheet = Printed(film, evaluation, label="Cedar", role=ROLE, job="post plan")
    write_whole(paths["readings"], readings_text(film, evaluation, rulebook))
    write_whole(paths["record"], record_pdf([sheet], date.today()))
    return evaluation, paths


def _free(path):
    """A case never overwrites another: the next free name."""
    for number in range(1, 1000):
        candidate = path if number == 1 else path.with_stem(f"{path.stem} {number}")
        if not candidate.exists():
            return candidate
    raise OutputError(f"{path.parent} is full of demo cases", "choose another folder")


def _case(path, film, landmarks):
    """The sample as a case file, made by the edits a user would make."""
    from radmeasure.model.case import Chart
    from radmeasure.model.edits import SetLabel, StartFrom
    from radmeasure.workflow.session import Session

    with Session.create(path) as session:
        session.apply(SetLabel("Cedar"))
        entry = session.add_film(film.raw, film.name, ROLE, film.acquired)
        fdi = landmarks.tooth.fdi
        session.apply(StartFrom(session.case.with_chart(entry.film_id, fdi, Chart(landmarks))))
    return Path(path)
