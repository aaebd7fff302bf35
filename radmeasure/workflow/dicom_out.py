"""The record of a film as DICOM objects."""

import io

from radmeasure.errors import InputError
from radmeasure.files.landmarks_json import check_on_film
from radmeasure.files.text import folder_for_output, write_whole


def dicom_objects(
    film,
    charts,
    rulebook,
    pdf=None,
    pictures=None,
    author="",
    identity=None,
    about=None,
    signed_for="",
):
    """Objects of one film, linked to it by reference.

    Parameters
    ----------
    film : Film
        With its original bytes.
    charts : list of Charted
    rulebook : Rulebook
    pdf : bytes, optional
        The report, to be encapsulated.
    pictures : mapping of tooth to ndarray (H, W, 3) uint8, optional
        Only when secondary captures are asked for.
    author : str
    identity : mapping, optional
        What the user entered; used only for films that are not DICOM yet.
    about : mapping, optional
        What the case says of the film beside its charts, for rebuilding it.
    signed_for : str
        Organisation for which the author signs the report.

    Returns
    -------
    dict of file name to pydicom.Dataset

    Raises
    ------
    InputError
        Nothing is charted, a landmark lies off the film, or nobody signs.
    """
    from radmeasure.files.film_quiet import quiet_libraries

    if not charts:
        raise InputError("nothing is charted on this film", "place landmarks first")
    if signed_for and not author.strip():
        raise InputError("a report is to be signed without a name", "name the author too")
    for chart in charts:  # the standard knows no graphics beside the picture
        check_on_film(chart.landmarks, film.width, film.height)
    with quiet_libraries():  # they remark on what the film's own header says
        source, objects = _linked(film, charts, rulebook, author, identity, about, signed_for)
        return objects | _documents(source, pdf, pictures or {})


def _linked(film, charts, rulebook, author, identity, about, signed_for):
    """The source, and film (when it had to be made), report and presentation by file name."""
    from radmeasure.files.dicom_read import display_of_film
    from radmeasure.reports import dicom_gsps, dicom_source, dicom_sr

    source, made = dicom_source.source_of(film, identity, charts[0].landmarks.tooth.fdi)
    objects = {"film.dcm": source} if made else {}
    objects["report.dcm"] = dicom_sr.measurement_report(
        source, charts, rulebook, film, author, about, signed_for
    )
    if source.PhotometricInterpretation != "PALETTE COLOR":  # no state is defined for palettes
        objects["presentation.dcm"] = dicom_gsps.presentation_state(
            source, charts, display_of_film(film), author
        )
    return source, objects


def _documents(source, pdf, pictures):
    from radmeasure.reports import dicom_documents

    objects = {}
    if pdf is not None:
        objects["document.dcm"] = dicom_documents.encapsulated_pdf(source, pdf)
    for fdi, picture in pictures.items():
        objects[f"capture-{fdi}.dcm"] = dicom_documents.secondary_capture(source, picture)
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
