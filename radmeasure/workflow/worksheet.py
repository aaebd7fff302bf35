"""The decision worksheet as the fronts use it: lay out, answer by key, go on to the next."""

from functools import lru_cache

from radmeasure.files.worksheet_table import read_worksheet_table
from radmeasure.model.edits import SetWorksheet
from radmeasure.model.tooth import Tooth
from radmeasure.planning.worksheet import evidence_of, lay_out


@lru_cache(maxsize=2)
def load_worksheet_table(own=None):
    """The worksheet's table; ``own`` names a practice's table to use in its place.

    Raises
    ------
    RulebookError
        Names file, entry and reason.
    """
    return read_worksheet_table(own)


def worksheet_of(case, tooth_fdi, evaluation=None, rulebook=None, table=None):
    """The worksheet of one tooth of a case.

    Parameters
    ----------
    case : Case
    tooth_fdi : str
    evaluation : Evaluation, optional
        Of the film the plan is made on; it fills the measured entries.
    rulebook : Rulebook, optional
        The evaluation's, when left out.
    table : WorksheetTable, optional

    Returns
    -------
    Worksheet
    """
    if rulebook is None:
        from radmeasure.workflow.rulebook import load_rulebook

        rulebook = load_rulebook() if evaluation is None else evaluation.rulebook
    values = case.worksheets.get(tooth_fdi, {})
    given = {} if evaluation is None else evaluation.landmarks.given
    evidence = evidence_of(evaluation, rulebook)
    table = table or load_worksheet_table()
    return lay_out(table, Tooth(tooth_fdi), values, given, evidence, rulebook)


def answer(tooth_fdi, name, value, table=None):
    """The edit that answers one entry; ``value`` None takes the answer back.

    Raises
    ------
    InputError
        No such entry, or a value it does not take.
    """
    entry = (table or load_worksheet_table()).entry(name)
    return SetWorksheet(tooth_fdi, name, None if value is None else entry.checked(value))


def answer_by_key(tooth_fdi, name, key, table=None):
    """The edit a pressed key stands for on an entry, or None when the key answers nothing."""
    entry = (table or load_worksheet_table()).entry(name)
    value = entry.answer(key)
    return None if value is None else SetWorksheet(tooth_fdi, name, value)


def next_open(worksheet, after=None):
    """Name of the next entry that waits for an answer by hand, after ``after``; None at the end.

    Starts again at the top when nothing is open further down.
    """
    names = [f.entry.name for f in worksheet.entries if f.entry.kind != "film"]
    start = names.index(after) + 1 if after in names else 0
    waiting = {
        f.entry.name
        for f in worksheet.entries
        if f.value is None and not f.entry.optional and f.entry.kind != "film"
    }
    ordered = names[start:] + names[:start]
    return next((name for name in ordered if name in waiting), None)
