"""The record of a film as DICOM objects, and a case rebuilt from them."""

import io

from radmeasure.errors import InputError
from radmeasure.files.text import folder_for_output, write_whole
from radmeasure.model.case import PlanChoice


def dicom_objects(film, charts, rulebook, pdf=None, picture=None, author="", identity=None):
    """Objects of one film, linked to it by reference.

    Parameters
    ----------
    film : Film
        With its original bytes.
    charts : list of Charted
    rulebook : Rulebook
    pdf : bytes, optional
        The report, to be encapsulated.
    picture : ndarray, shape (H, W, 3), uint8, optional
        Only when a secondary capture is asked for.
    author : str
    identity : mapping, optional
        What the user entered; used only for films that are not DICOM yet.

    Returns
    -------
    dict of file name to pydicom.Dataset
    """
    from radmeasure.reports import dicom_documents, dicom_gsps, dicom_source, dicom_sr

    if not charts:
        raise InputError("nothing is charted on this film", "place landmarks first")
    source, made = dicom_source.source_of(film, identity, charts[0].landmarks.tooth.fdi)
    objects = {"film.dcm": source} if made else {}
    objects["report.dcm"] = dicom_sr.measurement_report(source, charts, rulebook, film, author)
    objects["presentation.dcm"] = dicom_gsps.presentation_state(source, charts, author)
    if pdf is not None:
        objects["document.dcm"] = dicom_documents.encapsulated_pdf(source, pdf)
    if picture is not None:
        objects["capture.dcm"] = dicom_documents.secondary_capture(source, picture)
    return objects


def write_objects(folder, objects, prefix=""):
    """Write each object whole or not at all; returns the paths.

    Raises
    ------
    OutputError
    """
    folder = folder_for_output(folder)
    paths = []
    for name, dataset in objects.items():
        stream = io.BytesIO()
        # A new dataset saved plainly lacks the preamble no archive reads without.
        dataset.save_as(stream, enforce_file_format=True)
        path = folder / f"{prefix}{name}"
        write_whole(path, stream.getvalue())
        paths.append(path)
    return paths


def rebuild(film_path, report_path, case_path=None):
    """A case rebuilt from a film and its structured report alone.

    Parameters
    ----------
    film_path, report_path : path
    case_path : path, optional
        Where the new case goes; an automatic place without it.

    Returns
    -------
    Session

    Raises
    ------
    InputError
        The report is none of ours, or belongs to another film.
    FilmError, CaseError
    """
    from radmeasure.files.sr_record import read_sr_record
    from radmeasure.model.case import Case, Chart, FilmEntry
    from radmeasure.model.edits import StartFrom
    from radmeasure.workflow.films import open_film
    from radmeasure.workflow.session import Session

    film, record = open_film(film_path), read_sr_record(report_path)
    if record.film_sha256 != film.sha256 and not _same_instance(film, record):
        raise InputError(
            f"{report_path} belongs to another film than {film_path}",
            "choose the film the report was written for",
        )
    entry = FilmEntry(f"film-{film.sha256[:8]}", film.name, film.sha256, visit=film.acquired)
    teeth = {chart.landmarks.tooth.fdi: chart for chart in record.charts}
    case = Case(
        films=(entry,),
        charts={(entry.film_id, fdi): Chart(chart.landmarks) for fdi, chart in teeth.items()},
        worksheets={fdi: chart.worksheet for fdi, chart in teeth.items() if chart.worksheet},
        plans={fdi: chart.plan for fdi, chart in teeth.items() if chart.plan != PlanChoice()},
    )
    session = Session.create(case_path)
    try:
        session.apply(StartFrom(case), films=[film.raw])
    except BaseException:
        session.close()
        raise
    return session


def _same_instance(film, record):
    """An archive may re-encode a file; the SOP instance then still names the film."""
    if film.kind != "DICOM":
        return False
    import pydicom

    header = pydicom.dcmread(io.BytesIO(film.raw), stop_before_pixels=True, force=True)
    return str(header.get("SOPInstanceUID", "")) in record.film_uids
