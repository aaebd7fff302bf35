"""The teaching copy of a case: films, landmarks and readings without identity.

Nothing of the case is copied as it is: films are made anew from their pixels
(`radmeasure.files.dicom_teaching`), landmarks without what others wrote into them, readings
derived again by the shipped rulebook, files named by number. A person must have looked at
every film, because no program finds all text that is burned into pictures.
"""

import json
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

from radmeasure.errors import InputError
from radmeasure.files.masks_json import read_masks
from radmeasure.files.text import write_whole
from radmeasure.files.whole_folder import whole_folder

__all__ = ["looked_at", "read_masks", "without_identity", "write_teaching_copy"]

FORMAT, VERSION = "radmeasure.teaching-copy", 1
# Entered values that tell of the person, not of the tooth.
_PERSONAL = ("age_years",)


def looked_at(case, pixels_checked=False, masks=None):
    """Boxes to blank by film id, for every film a person has looked at.

    Parameters
    ----------
    case : Case
    pixels_checked : bool
        The person confirms that nothing is burned into the films ``masks`` does not name.
    masks : mapping of film name or id to boxes, optional

    Raises
    ------
    InputError
        A mask names no film of the case, or two; or nobody has looked at a film.
    """
    found = {}
    for name, boxes in (masks or {}).items():
        named = [f.film_id for f in case.films if name in (f.film_id, f.name)]
        if len(named) != 1:
            what = "no film of the case" if not named else "several films of the case"
            known = ", ".join(f"{f.film_id} ({f.name})" for f in case.films)
            raise InputError(f"the masks name {what}: {name!r}", f"films: {known}")
        found[named[0]] = tuple(boxes)
    for entry in case.films:
        if entry.film_id in found:
            continue
        if not pixels_checked:
            raise InputError(
                f"nobody has confirmed that {entry.name} shows no name or number in its picture",
                "look at every film, then give --pixels-checked, or --masks with what to blank",
            )
        found[entry.film_id] = ()
    return found


def write_teaching_copy(session, folder, boxes, shift_dates=False, report=None):
    """Write the teaching copy of a case into a new folder, whole or not at all.

    Parameters
    ----------
    session : Session
    folder : path
        Must not exist yet, or be empty.
    boxes : mapping of film id to boxes
        As `looked_at` gives; a film that is missing was not looked at.
    shift_dates : bool
        Dates of exposure shifted by a constant of the case; otherwise removed.
    report : callable, optional
        Told the share done, 0 to 1; may raise Cancelled.

    Returns
    -------
    list of Path
        The files, contents list first.

    Raises
    ------
    InputError
        The case has no film, a film was not looked at, a box lies off its film,
        or the folder holds something.
    CaseError, FilmError, OutputError
    """
    from radmeasure.files.dicom_teaching import Keyed

    case, folder = session.case, Path(folder)
    if not case.films:
        raise InputError("the case has no film", "add a film first")
    boxes = looked_at(case, masks=boxes)
    keyed = Keyed(session.case_id, shift_dates)
    films = []
    with whole_folder(folder) as beside:
        for number, entry in enumerate(case.films, 1):
            films.append(_write_film(session, entry, number, boxes[entry.film_id], keyed, beside))
            if report is not None:
                report(number / len(case.films))
        write_whole(beside / "contents.json", _contents(films, shift_dates))
    rest = sorted(path for path in folder.iterdir() if path.name != "contents.json")
    return [folder / "contents.json", *rest]


def _contents(films, shift_dates):
    dates = "shifted" if shift_dates else "removed"
    data = {"format": FORMAT, "version": VERSION, "dates": dates, "films": films}
    return json.dumps(data, indent=1) + "\n"


def _write_film(session, entry, number, boxes, keyed, folder):
    """Write all files of one film; returns its entry in the contents list."""
    from radmeasure.files.dicom_teaching import masked, picture_bytes, teaching_film
    from radmeasure.files.film import read_film_bytes

    film, name = session.film(entry.film_id), f"film-{number}"
    _check_boxes(film, entry, boxes)
    pixels = masked(film.pixels, boxes)
    charts = {fdi: c for (of, fdi), c in session.case.charts.items() if of == entry.film_id}
    data = teaching_film(film, pixels, keyed, charts)
    write_whole(folder / f"{name}.dcm", data)
    write_whole(folder / f"{name}.png", picture_bytes(pixels, film.bits))
    copy = read_film_bytes(data, f"{name}.dcm")
    teeth = {
        fdi: _write_chart(session.case, copy, fdi, chart, f"{name}-tooth-{fdi}", folder)
        for fdi, chart in charts.items()
    }
    visits = sorted({f.visit for f in session.case.films})
    found = {
        "dicom": f"{name}.dcm",
        "picture": f"{name}.png",
        "role": entry.role,
        "visit": 1 + visits.index(entry.visit),
        "date": keyed.date(entry.visit) or keyed.date(film.acquired),
        "turns": entry.turns,
        "mirrored": entry.mirrored,
        "blanked": [list(box) for box in boxes],
        "teeth": teeth,
    }
    return {key: value for key, value in found.items() if value != ""}


def _check_boxes(film, entry, boxes):
    for x, y, width, height in boxes:
        if x >= film.width or y >= film.height or x + width <= 0 or y + height <= 0:
            raise InputError(
                f"the box [{x}, {y}, {width}, {height}] lies off {entry.name}",
                f"the film has {film.width} × {film.height} px",
            )


def _write_chart(case, film, fdi, chart, name, folder):
    """Landmarks and readings of one tooth; returns their file names."""
    from radmeasure.files.landmarks_json import landmarks_text
    from radmeasure.files.post_sizes import read_post_sizes
    from radmeasure.files.rulebook import read_rulebook
    from radmeasure.model.case import PlanChoice
    from radmeasure.reports.readings_json import readings_text
    from radmeasure.workflow.evaluate import evaluate

    landmarks = without_identity(chart.landmarks)
    # A practice's own rulebook and post sizes are its own words: the shipped ones serve here.
    rulebook, sizes = read_rulebook(), read_post_sizes()
    choice = case.plans.get(fdi, PlanChoice())
    if choice.size_name not in {size.name for size in sizes}:
        choice = replace(choice, size_name=None)
    evaluation = evaluate(landmarks, rulebook, film.spacing, choice, sizes)
    files = {"landmarks": f"{name}.landmarks.json", "readings": f"{name}.readings.json"}
    write_whole(folder / files["landmarks"], landmarks_text(landmarks) + "\n")
    write_whole(folder / files["readings"], readings_text(film, evaluation))
    return files


def without_identity(landmarks):
    """Landmarks without the patient's age and without free words of whoever made them."""
    given = {k: v for k, v in landmarks.given.items() if k not in _PERSONAL}
    nothing = MappingProxyType({})
    return replace(landmarks, given=given, confidence=nothing, left_out=nothing)
