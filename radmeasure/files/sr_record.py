"""Back in: landmarks, worksheet and plan from a structured report."""

import hashlib
import io
import json
from dataclasses import dataclass, field

from radmeasure.errors import InputError
from radmeasure.model import case_json, landmarks_json
from radmeasure.model.case import FilmEntry, PlanChoice
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
    accepted: dict = field(default_factory=dict)
    recall: str = ""


@dataclass(frozen=True)
class FilmRecord:
    """Charts of one film, and which film (digest, SOP instance) they belong to.

    ``entry`` is the film as its case kept it, ``position`` its place among the films,
    ``label`` the case's; ``written`` the report's content date and time.
    """

    film_sha256: str
    film_uids: tuple
    charts: tuple
    entry: FilmEntry | None = None
    position: int = 0
    label: str = ""
    written: str = ""


def record_text(data):
    """A record as the text that stands in the report."""
    return json.dumps(data, allow_nan=False, separators=(",", ":"))


def record_digest(data):
    """SHA-256 of a record without its digest: a changed digit must not pass for the right one."""
    return hashlib.sha256(record_text(data).encode()).hexdigest()


def read_sr_record(path):
    """The exact record of one of our structured reports.

    Raises
    ------
    InputError
        Not DICOM, not a structured report, or one without our record.
    """
    import pydicom

    from radmeasure.files.film_quiet import quiet_libraries
    from radmeasure.files.text import read_bytes

    data = read_bytes(path, "structured report")
    try:
        with quiet_libraries():
            return film_record(pydicom.dcmread(io.BytesIO(data)), path)
    except InputError:
        raise
    except Exception as cause:  # pydicom raises many kinds on damaged files
        raise InputError(
            f"{path} is not a readable DICOM file ({type(cause).__name__})",
            "choose a report written by radmeasure",
        ) from None


def film_record(dataset, name="the report"):
    """As :func:`read_sr_record`, of a dataset."""
    if dataset.get("Modality") != "SR":
        raise InputError(f"{name} is not a structured report", "choose the SR of the film")
    text = _record_text(dataset)
    if text is None:
        raise InputError(
            f"{name} holds no landmark record", "choose a report written by radmeasure"
        )
    damaged = InputError(f"the landmark record of {name} is damaged", "use another copy")
    try:
        data = json.loads(text)
        if data["format"] != RECORD_FORMAT or not isinstance(data["version"], int):
            raise damaged
    except (KeyError, TypeError, ValueError, RecursionError):
        raise damaged from None
    if data["version"] != 1:
        raise InputError(
            f"the landmark record of {name} is of another version", "update radmeasure"
        )
    try:
        if data.pop("sha256") != record_digest(data):
            raise damaged
        return _record(data, dataset)
    except (KeyError, TypeError, AttributeError, ValueError):
        raise damaged from None


def _record(data, dataset):
    about = dict(data.get("film", {}))
    position = int(about.pop("position", 0))
    return FilmRecord(
        str(data.get("film_sha256", "")),
        _film_uids(dataset),
        tuple(_chart(chart) for chart in data["charts"]),
        case_json.film_from_json(about) if about else None,
        position,
        str(data.get("label", "")),
        f"{dataset.get('ContentDate', '')}{dataset.get('ContentTime', '')}",
    )


def _chart(data):
    return ChartRecord(
        landmarks_json.landmarks_from_json(data["landmarks"]),
        dict(data.get("worksheet", {})),
        case_json.plan_from_json(data.get("plan", {})),
        dict(data.get("accepted", {})),
        str(data.get("recall", "")),
    )


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
