"""A class marked: what students placed on films of known truth, held against that truth."""

from functools import lru_cache

from radmeasure.errors import InputError, RadmeasureError
from radmeasure.files.class_folder import (
    film_named,
    handed_files,
    handed_landmarks,
    is_case,
    read_truth_films,
    student_folders,
)
from radmeasure.files.landmarks_json import check_on_film
from radmeasure.files.text import write_whole
from radmeasure.files.whole_folder import check_free, whole_folder
from radmeasure.model.case import landmark_key
from radmeasure.model.class_marks import ClassMarks, Handed, Held, Marked
from radmeasure.model.observers import Measurement
from radmeasure.workflow.declare import placement_entry

# Reading the files takes about this share of the time, evaluating the rest.
_READING = 0.2


def mark_class(folder, out, report=None):
    """Mark a class and write the results into a new folder, whole or not at all.

    Parameters
    ----------
    folder : path
        Films with their truth as ``radmeasure synth`` writes them, and a sub-folder a
        student with landmark files or case files for them.
    out : path
        Must not exist yet, or be empty.
    report : callable, optional
        Told the share done, 0 to 1; may raise Cancelled.

    Returns
    -------
    ClassMarks

    Raises
    ------
    InputError
        No films, no students, nothing that could be marked, or ``out`` holds something.
    OutputError
    """
    check_free(out)
    report = report or (lambda share: None)
    films = read_truth_films(folder)
    handed, troubles = _handed_in(student_folders(folder), films, report)
    marks = _held_against_truth(films, handed, troubles, report)
    with whole_folder(out) as beside:
        for name, text in _files(marks).items():
            write_whole(beside / name, text)
        report(1.0)
    return marks


def class_words(marks):
    """The summary for people."""
    from radmeasure.reports.class_words import class_text

    return class_text(marks)


# -- what was handed in --------------------------------------------------------------------------


def _handed_in(students, films, report):
    """([(Handed, spacing)], troubles) of all students."""
    if not students:
        raise InputError("there is no student", "make one sub-folder a student beside the films")
    open_picture = lru_cache(maxsize=None)(_open_picture)
    found, troubles = [], []
    for number, (student, folder) in enumerate(students.items()):
        report(_READING * number / len(students))
        own = []
        for path in handed_files(folder):
            try:
                read = _of_case if is_case(path) else _of_landmarks
                for film, landmarks, suggested, picture in read(path, films, open_picture):
                    own.append((film, f"{student}/{path.name}", landmarks, suggested, picture))
            except RadmeasureError as error:
                troubles.append(_trouble(f"{student}/{path.name}", path, error))
        found += _by_occasion(student, own, troubles)
    if not found:
        first = f" ({troubles[0]})" if troubles else ""
        raise InputError(
            f"nothing in the sub-folders could be marked{first}",
            "name landmark files as their film, such as NAME.landmarks.json",
        )
    return found, troubles


def _trouble(file, path, error):
    """What is wrong with a file, in one line that names it as the class folder does."""
    text = error.one_line
    return text.replace(str(path), file) if str(path) in text else f"{file}: {text}"


def _by_occasion(student, own, troubles):
    """What one student handed in; a film marked again is another occasion, a copy is not."""
    if not own:
        troubles.append(f"{student}: nothing was handed in that could be marked")
    found, seen = [], {}
    for film, file, landmarks, suggested, picture in own:
        before = seen.setdefault(film, [])
        if landmarks in before:
            troubles.append(f"{file}: the same marks of film {film} are there already")
            continue
        before.append(landmarks)
        handed = Handed(student, film, len(before), file, landmarks, suggested)
        found.append((handed, None if picture is None else picture.spacing))
    return found


def _of_landmarks(path, films, open_picture):
    landmarks = handed_landmarks(path)
    if landmarks is None:
        return
    name = film_named(path.name, films)
    if name is None:
        known = ", ".join(films)
        raise InputError("goes with no film by its name", f"films of the class: {known}")
    pictures = list(films[name].pictures.values())
    picture = open_picture(pictures[0]) if pictures else None
    _check(landmarks, films[name], picture)
    suggested = {
        landmark_key(mark, root)
        for root, mark, _ in landmarks.placed()
        if {mark, landmark_key(mark, root)} & set(landmarks.confidence)
    }
    yield name, landmarks, frozenset(suggested), picture


def _of_case(path, films, open_picture):
    from radmeasure.workflow.session import Session

    with Session.open(path, read_only=True) as session:
        case, charted = session.case, False
        for entry in case.films:
            name = _film_of(entry, films)
            if name is None:
                continue
            film = films[name]
            charts = {fdi: c for (of, fdi), c in case.charts.items() if of == entry.film_id}
            chart = charts.get(film.landmarks.tooth.fdi)
            if chart is None:
                if charts:
                    _check(next(iter(charts.values())).landmarks, film, None)
                continue
            path_here = film.pictures.get(entry.sha256)
            picture = open_picture(path_here) if path_here else session.film(entry.film_id)
            _check(chart.landmarks, film, picture)
            charted = True
            yield name, chart.landmarks, frozenset(chart.accepted), picture
    if not charted:
        raise InputError("holds no marks on a film of the class", "check that it is the right case")


def _film_of(entry, films):
    for name, film in films.items():
        if entry.sha256 in film.pictures:
            return name
    return film_named(entry.name, films)


def _open_picture(path):
    from radmeasure.workflow.films import open_film

    return open_film(path)


def _check(landmarks, film, picture):
    from radmeasure.teaching.placement import exchanged

    tooth, true = landmarks.tooth.fdi, film.landmarks.tooth.fdi
    if tooth != true:
        raise InputError(f"tooth {tooth} is marked, film {film.name} is of {true}", "correct it")
    level = exchanged(landmarks, film.landmarks)
    if level:
        words = level.replace("cej", "CEJ")
        raise InputError(
            f"mesial and distal {words} are exchanged on film {film.name}",
            "have it corrected (Mark, Exchange mesial and distal)",
        )
    if picture is not None:
        check_on_film(landmarks, picture.width, picture.height)


# -- held against the truth ----------------------------------------------------------------------


def _held_against_truth(films, handed, troubles, report):
    from radmeasure.files.post_sizes import read_post_sizes
    from radmeasure.files.rulebook import read_rulebook
    from radmeasure.teaching.placement import mark_errors, own_placement
    from radmeasure.workflow.evaluate import evaluate
    from radmeasure.workflow.synthetic import Known, against_truth

    # Everybody by the shipped figures; what a practice changed is its own affair.
    rulebook, sizes = read_rulebook(), read_post_sizes()
    marks, readings = [], []
    for number, (one, spacing) in enumerate(handed):
        report(_READING + (1 - _READING) * number / len(handed))
        film = films[one.film]
        for error in mark_errors(one.landmarks, film.landmarks, film.px_per_mm):
            stated = one.landmarks.stated_u_px(error.name, error.root)
            u_mm = rulebook.value(placement_entry(error.name))
            if stated is not None:
                u_mm = stated / film.px_per_mm[0]
            own = landmark_key(error.name, error.root) not in one.suggested
            marks.append(Marked(one, error, u_mm, own))
        for root in set(one.landmarks.roots) - set(film.landmarks.roots):
            known = ", ".join(film.landmarks.roots)
            troubles.append(f"{one.file}: film {one.film} has no {root} root; roots: {known}")
        try:
            evaluation = evaluate(one.landmarks, rulebook, spacing, sizes=sizes)
        except RadmeasureError as error:
            troubles.append(f"{one.file}: {error.one_line}")
            continue
        known = Known(film.landmarks, film.values)
        readings += [Held(one, c.reading, c.true) for c in against_truth(evaluation, known)]
    least = int(rulebook.value("teaching.least_marks"))
    students = tuple(dict.fromkeys(one.student for one, _ in handed))
    placements = {
        student: own_placement(
            [m.error for m in marks if m.own and m.handed.student == student],
            placement_entry,
            rulebook.value,
            least,
        )
        for student in students
    }
    return ClassMarks(
        students,
        tuple(films),
        tuple(one for one, _ in handed),
        tuple(marks),
        tuple(readings),
        placements,
        _studied(_places_measured(marks)),
        _studied(readings_measured(readings)),
        tuple(troubles),
    )


def _studied(measurements):
    from radmeasure.teaching.observers import study

    return study(measurements) if measurements else None


def readings_measured(readings):
    """Readings against their truth as rows of a table of readings."""
    return [
        Measurement(
            held.handed.student,
            held.handed.film,
            held.reading.id,
            float(held.reading.quantity.value),
            held.reading.root or "",
            held.reading.side or "",
            str(held.handed.occasion),
            held.reading.unit,
            float(held.truth),
        )
        for held in readings
    ]


def _places_measured(marks):
    """Errors of landmarks as rows of a table of readings; the truth of an error is zero.

    A mark that stands as suggested tells nothing of the student's eye.
    """
    found = []
    for m in marks:
        if not m.own:
            continue
        for side, value in (("along", m.error.along_mm), ("across", m.error.across_mm)):
            if value is not None:
                one = m.handed
                row = (one.student, one.film, m.error.name, value, m.error.root or "", side)
                found.append(Measurement(*row, str(one.occasion), "mm", 0.0))
    return found


# -- files ---------------------------------------------------------------------------------------


def _files(marks):
    """Name and text of every file of the result."""
    from radmeasure.files.observer_table import observer_table_text
    from radmeasure.files.own_rulebook import own_rulebook_text
    from radmeasure.reports.class_json import class_text
    from radmeasure.reports.class_tables import intervals_csv, marks_csv

    files = {
        "readings.csv": observer_table_text(readings_measured(marks.readings)),
        "marks.csv": marks_csv(marks),
        "intervals.csv": intervals_csv(marks),
        "class.json": class_text(marks),
    }
    for student, placements in marks.placements.items():
        files[f"{student}.rulebook.toml"] = own_rulebook_text(placements)
    return files
