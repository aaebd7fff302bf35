"""Propose landmarks from a few rough clicks."""

from pathlib import Path

from radmeasure.errors import InputError
from radmeasure.files.film import read_film
from radmeasure.files.landmarks_json import check_on_film, landmarks_text, read_hints
from radmeasure.files.text import write_whole

# Magnification of a paralleled film when nobody states one (common practice, no source).
USUAL_MAGNIFICATION = 1.05


def pixel_size_mm(film):
    """Pixel size on the tooth's plane as far as the file may be believed, or None."""
    spacing = film.spacing
    if spacing is None or spacing.basis == "unknown":
        return None
    size = 0.5 * (spacing.row_mm + spacing.column_mm)
    if spacing.basis == "detector":
        size /= spacing.magnification or USUAL_MAGNIFICATION
    return size


def suggest_landmarks(film, hints, report=None):
    """Suggestions for ``hints`` on an open film; see radmeasure.tracing.suggest.suggest.

    Parameters
    ----------
    film : model.film.Film
    hints : model.landmarks.Hints
    report : callable, optional
        Called with the share done; may raise Cancelled.
    """
    from radmeasure.tracing.suggest import suggest

    return suggest(film.pixels, hints, pixel_size_mm(film), report)


def suggest_file(film_path, hints_path, out_path):
    """Read a film and hints, write a landmark file of suggestions, return them.

    Raises
    ------
    FilmError, InputError, OutputError
        Nothing is written.
    """
    if Path(out_path).resolve() in (Path(film_path).resolve(), Path(hints_path).resolve()):
        raise InputError(f"--out {out_path} is one of the inputs", "name another file")
    film = read_film(film_path)
    hints = read_hints(hints_path)
    check_on_film(hints, film.width, film.height)
    suggestions = suggest_landmarks(film, hints)
    write_whole(out_path, landmarks_text(suggestions))
    return suggestions
