"""Open a film."""

from radmeasure.files.film import read_film, read_film_bytes


def open_film(path):
    """Open the film at ``path`` (DICOM, PNG, TIFF or JPEG).

    Parameters
    ----------
    path : str or path-like

    Returns
    -------
    radmeasure.model.film.Film

    Raises
    ------
    FilmError
        What is wrong, and what to do; nothing was changed.
    """
    return read_film(path)


def reopen_film(data, name):
    """Open a film from the bytes a case keeps; raises FilmError as `open_film`."""
    return read_film_bytes(data, name)


def load_decoders():
    """Import what films are decoded with, so that the first one opens as fast as the next."""
    import numpy  # noqa: F401
    import PIL.Image  # noqa: F401
    import pydicom.pixels  # noqa: F401

    import radmeasure.files.dicom_read
    import radmeasure.files.raster  # noqa: F401


def load_tracers():
    """Import what objects and landmarks are looked for with: one piece of 70 ms, best when idle."""
    import scipy.ndimage
    import scipy.optimize  # noqa: F401
