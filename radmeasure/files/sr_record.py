"""Back in: landmarks, worksheet and plan from a structured report."""

import json
from dataclasses import dataclass, field

from radmeasure.errors import InputError
from radmeasure.model import case_json, landmarks_json
from radmeasure.model.case import PlanChoice
from radmeasure.model.landmarks import Landmarks

SCHEME = "99RADMEASURE"
RECORD_CODE = "C05"
RECORD_FORMAT = "radmeasure.sr-record"


@dataclass(frozen=True)
class ChartRecord:
    """One tooth as it stood when the report was written."""

    landmarks: Landmarks
    worksheet: dict = field(default_factory=dict)
    plan: PlanChoice = field(default_factory=PlanChoice)


@dataclass(frozen=True)
class FilmRecord:
    """Charts of one film, and which film (digest, SOP instance) they belong to."""

    film_sha256: str
    film_uids: tuple
    charts: tuple


def read_sr_record(path):
    """The exact record of one of our structured reports.

    Raises
    ------
    InputError
        Not DICOM, not a structured report, or one without our record.
    """
    import pydicom

    from radmeasure.files.text import read_bytes

    data = read_bytes(path, "structured report")
    import io

    try:
        dataset = pydicom.dcmread(io.BytesIO(data))
    except Exception as cause:  # pydicom raises many kinds on damaged files
        raise InputError(
            f"{path} is not a readable DICOM file ({type(cause).__name__})",
            "choose a report written by radmeasure",
        ) from None
    return film_record(dataset, path)


def film_record(dataset, name="the report"):
    """As :func:`read_sr_record`, of a dataset."""
    if dataset.get("Modality") != "SR":
        raise InputError(f"{name} is not a structured report", "choose the SR of the film")
    text = _record_text(dataset)
    if text is None:
        raise InputError(
            f"{name} holds no landmark record", "choose a report written by radmeasure"
        )
    try:
        data = json.loads(text)
    except json.JSONDecodeError:
        raise InputError(f"the landmark record of {name} is damaged", "use another copy") from None
    if data.get("format") != RECORD_FORMAT or data.get("version") != 1:
        raise InputError(
            f"the landmark record of {name} is of another version", "update radmeasure"
        )
    charts = tuple(
        ChartRecord(
            landmarks_json.landmarks_from_json(chart["landmarks"]),
            chart.get("worksheet", {}),
            case_json.plan_from_json(chart.get("plan", {})),
        )
        for chart in data.get("charts", [])
    )
    return FilmRecord(data.get("film_sha256", ""), _film_uids(dataset), charts)


def _record_text(dataset):
    for item in dataset.get("ContentSequence", []):
        concept = (item.get("ConceptNameCodeSequence") or [None])[0]
        if concept is None or item.get("ValueType") != "TEXT":
            continue
        mine = concept.get("CodingSchemeDesignator") == SCHEME
        if mine and concept.get("CodeValue") == RECORD_CODE:
            return str(item.TextValue)
    return None


def _film_uids(dataset):
    found = []
    for study in dataset.get("CurrentRequestedProcedureEvidenceSequence", []):
        for series in study.get("ReferencedSeriesSequence", []):
            for image in series.get("ReferencedSOPSequence", []):
                found.append(str(image.ReferencedSOPInstanceUID))
    return tuple(found)
