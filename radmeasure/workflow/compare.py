"""Two films of one tooth held against each other: from files, or within a case."""

from radmeasure.comparison.alignment import align
from radmeasure.comparison.changes import changes_between
from radmeasure.errors import InputError
from radmeasure.model.comparison import Comparison
from radmeasure.workflow.followup import evaluation_of_film


def compare_files(earlier, later, landmarks, own_rulebook=None):
    """Compare two film files.

    Parameters
    ----------
    earlier, later : path
    landmarks : (path, path)
        Landmark files of the earlier and of the later film.
    own_rulebook : path, optional

    Returns
    -------
    Comparison

    Raises
    ------
    FilmError, InputError, RulebookError
    """
    from radmeasure.workflow.measure import measure_film

    films = [
        measure_film(film, marks, own_rulebook)
        for film, marks in zip((earlier, later), landmarks, strict=True)
    ]
    teeth = [m.evaluation.landmarks.tooth.fdi for m in films]
    if teeth[0] != teeth[1]:
        raise InputError(
            f"the landmark files are of teeth {teeth[0]} and {teeth[1]}",
            "name two films of one tooth",
        )
    sizes = [(m.film.width, m.film.height) for m in films]
    return comparison_of(*(m.evaluation for m in films), sizes)


def compare_in_case(session, earlier_id, later_id, tooth):
    """Compare two films of a case; None when the tooth is not charted on both.

    Returns
    -------
    Comparison or None
    """
    films = [session.film(film_id) for film_id in (earlier_id, later_id)]
    found = [evaluation_of_film(session, film_id, tooth) for film_id in (earlier_id, later_id)]
    if None in found:
        return None
    return comparison_of(*found, [(film.width, film.height) for film in films])


def comparison_of(earlier, later, sizes):
    """Comparison of two evaluations of one tooth; ``sizes`` of their films, px."""
    along = later.scale.along
    mm_per_px = None if along is None else along.value
    alignment = align(earlier.landmarks, later.landmarks, sizes, mm_per_px)
    return Comparison(alignment, changes_between(earlier.readings, later.readings))


def lay_over(earlier, later, sizes):
    """Alignment of two charts' landmarks, or a falsy reason (see `comparison.alignment`)."""
    return align(earlier, later, sizes)


def comparable_films(case, film_id, tooth):
    """Entries of the case's other films that show the tooth, in the order they were added."""
    return [
        entry
        for entry in case.films
        if entry.film_id != film_id and case.chart(entry.film_id, tooth) is not None
    ]


def comparison_json(comparison):
    """The comparison file as text."""
    from radmeasure.reports.comparison_json import comparison_json as text

    return text(comparison)
