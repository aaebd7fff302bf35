"""A table of readings in, observer statistics out."""

from radmeasure.errors import InputError
from radmeasure.files.observer_table import read_observer_table
from radmeasure.files.text import write_whole


def study_table(path, factor, order=()):
    """Observer statistics of a table of readings.

    Parameters
    ----------
    path : path
        CSV, one row a measurement (docs/command-line.md).
    factor : float
        Of the limits of agreement: 2 or 1.96.
    order : sequence of str
        Classes from least to most, for weighted kappa.

    Returns
    -------
    Study

    Raises
    ------
    InputError
        The table is wrong (row and column named), there is nothing to compare, or a class
        of the table is missing in ``order``.
    """
    from radmeasure.teaching.observers import study

    measured = read_observer_table(path)
    if order:
        _check_order(path, measured, order)
    return study(measured, factor, order)


def _check_order(path, measured, order):
    if len(set(order)) != len(order) or not all(order):
        raise InputError("--order names a class twice or none", "name each class once")
    for m in measured:
        for said in (m.value, m.truth):
            if isinstance(said, str) and said not in order:
                raise InputError(
                    f"{path} row {m.line}: class {said!r} is missing in --order",
                    "name every class, from least to most",
                )


def study_words(study):
    """The study as text for people."""
    from radmeasure.reports.observer_words import study_text
    from radmeasure.teaching.kappa import kappa_words

    return study_text(study, kappa_words)


def write_study(path, study):
    """Write the observers file, whole or not at all."""
    from radmeasure.reports.observers_json import observers_text

    write_whole(path, observers_text(study))
