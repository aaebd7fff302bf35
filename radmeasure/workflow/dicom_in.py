"""A case rebuilt from films and their structured reports alone."""

import io
from dataclasses import replace
from pathlib import Path

from radmeasure.errors import FilmError, InputError
from radmeasure.model.case import Case, Chart, FilmEntry, PlanChoice

# Of a folder, this many files are looked at for the film of a report.
MOST_BESIDE = 400
_REPORTS = b"1.2.840.10008.5.1.4.1.1.88."


def is_report(path):
    """Whether a file is a DICOM structured report; False for anything that cannot be read.

    Its SOP class stands at the head of the file (PS3.10 7.1), so a glance will do.
    """
    head = _head(path)
    return head[128:132] == b"DICM" and _REPORTS in head


def _head(path, size=512):
    try:
        with Path(path).open("rb") as file:
            return file.read(size)
    except OSError:
        return b""


def _instance(path):
    """SOP instance of a DICOM file, '' for any other file."""
    if _head(path)[128:132] != b"DICM":
        return ""
    import pydicom

    from radmeasure.files.film_quiet import quiet_libraries

    try:
        with quiet_libraries():
            found = pydicom.dcmread(path, stop_before_pixels=True, specific_tags=["SOPInstanceUID"])
            return str(found.get("SOPInstanceUID", ""))
    except Exception:  # a damaged file is refused with a reason when it is opened
        return ""


def rebuild(paths, case_path=None, at_hand=()):
    """A case rebuilt from films and reports, in any order.

    Parameters
    ----------
    paths : iterable of path
        Reports of ours and films. The film of a report that is not among them is looked
        for in the report's own folder.
    case_path : path, optional
        Where the new case goes; an automatic place without it.
    at_hand : iterable of Film
        Films that are open already, used when a report belongs to one.

    Returns
    -------
    Session

    Raises
    ------
    InputError
        No report, a report that is none of ours, or one whose film is not there.
    FilmError, CaseError
    """
    from radmeasure.files.sr_record import read_sr_record
    from radmeasure.model.edits import StartFrom
    from radmeasure.workflow.films import open_film
    from radmeasure.workflow.session import Session

    paths = [Path(path) for path in paths]
    reports = [path for path in paths if is_report(path)]
    if not reports:
        raise InputError("no structured report among the files", "name a report and its film")
    films = [*(open_film(path) for path in paths if path not in reports), *at_hand]
    pairs = []
    for path in reports:
        record = read_sr_record(path)
        film = next((f for f in films if belongs(f, record)), None) or _film_beside(path, record)
        if film is None:
            raise InputError(
                f"{path} belongs to another film than those named, and its film is not beside it",
                "name the film the report was written for",
            )
        pairs.append((film, record))
    case, data = case_of(pairs)
    session = Session.create(case_path)
    try:
        session.apply(StartFrom(case), films=data)
    except BaseException:
        session.close()
        raise
    return session


def case_of(pairs):
    """The case that films with their records make up, and the films' bytes.

    Where two reports tell of one tooth, the one written last counts.

    Parameters
    ----------
    pairs : iterable of (Film, FilmRecord)

    Returns
    -------
    Case, list of bytes

    Raises
    ------
    InputError
        A landmark lies off its film.
    """
    from radmeasure.files.landmarks_json import check_on_film

    case, places, data = Case(), {}, {}
    for film, record in sorted(pairs, key=lambda pair: pair[1].written):
        entry = _entry(film, record)
        data[film.sha256] = film.raw
        places[entry.film_id] = (record.position, entry)
        for chart in record.charts:
            check_on_film(chart.landmarks, film.width, film.height)
            case = _with_chart(case, entry.film_id, chart)
        case = replace(case, label=record.label or case.label)
    films = [entry for _, entry in sorted(places.values(), key=lambda place: place[0])]
    return replace(case, films=tuple(films)), list(data.values())


def _entry(film, record):
    """The film as its case kept it; under its own name when it is another file by now."""
    own = FilmEntry(f"film-{film.sha256[:8]}", film.name, film.sha256, visit=film.acquired)
    if record.entry is None:
        return own
    if record.entry.sha256 == film.sha256:
        return record.entry
    return replace(record.entry, film_id=own.film_id, name=own.name, sha256=own.sha256)


def _with_chart(case, film_id, record):
    fdi = record.landmarks.tooth.fdi
    case = case.with_chart(film_id, fdi, Chart(record.landmarks, accepted=record.accepted))
    if record.worksheet:
        case = replace(case, worksheets={**case.worksheets, fdi: record.worksheet})
    if record.plan != PlanChoice():
        case = replace(case, plans={**case.plans, fdi: record.plan})
    if record.recall:
        case = replace(case, recalls={**case.recalls, fdi: record.recall})
    return case


def belongs(film, record):
    """Whether a report was written for this film: the same file, or the same SOP instance.

    An archive may re-encode a file, and a picture file becomes DICOM for it; the SOP
    instance then still names the film.
    """
    if film.sha256 == record.film_sha256:
        return True
    if film.kind != "DICOM":
        return False
    import pydicom

    header = pydicom.dcmread(io.BytesIO(film.raw), stop_before_pixels=True, force=True)
    return str(header.get("SOPInstanceUID", "")) in record.film_uids


def _film_beside(report, record):
    """The film of a report in the report's own folder, or None."""
    from radmeasure.workflow.films import open_film

    beside = sorted(p for p in report.absolute().parent.iterdir() if p.is_file())[:MOST_BESIDE]
    named = [p for p in beside if _instance(p) in record.film_uids]
    for path in named or [p for p in beside if p.suffix.lower() in _PICTURES]:
        try:
            film = open_film(path)
        except FilmError:
            continue
        if belongs(film, record):
            return film
    return None


_PICTURES = (".png", ".jpg", ".jpeg", ".tif", ".tiff")
