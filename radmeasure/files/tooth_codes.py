"""Coded names of teeth in DICOM, and the ISO 3950 designations they stand for.

``tooth_codes.csv`` holds them: the SNOMED CT codes of PS3.16 CID 4018 and 4019
as the 2024c dictionary gives them (``current``), the SNOMED RT codes older
files carry for the same teeth (``older``), and the codes in use before 2021,
which do not tell a permanent tooth from a primary one (``either dentition``).
A test compares the table with pydicom's dictionaries.
"""

import csv
from functools import cache
from importlib.resources import files
from typing import NamedTuple

# SNOMED RT went under three designators over the years (PS3.16 section 8, from memory).
_RT = {"SRT", "SNM3", "99SDM"}


class ToothCode(NamedTuple):
    """One code: tooth (ISO 3950), scheme, value, use ('current', 'older', ...), meaning."""

    fdi: str
    scheme: str
    value: str
    use: str
    meaning: str


@cache
def _table():
    text = files("radmeasure.files").joinpath("tooth_codes.csv").read_text(encoding="utf-8")
    rows = csv.reader(text.splitlines())
    next(rows)
    return tuple(ToothCode(*row) for row in rows)


@cache
def _by_code():
    return {(row.scheme, row.value): row for row in _table()}


def tooth_code(scheme, value):
    """The tooth a code names.

    Parameters
    ----------
    scheme : str
        Coding scheme designator, e.g. ``'SCT'``.
    value : str

    Returns
    -------
    ToothCode or None
    """
    scheme = "SRT" if scheme in _RT else scheme
    return _by_code().get((scheme, value))


def code_of_tooth(fdi):
    """The code to write for a tooth.

    Parameters
    ----------
    fdi : str
        ISO 3950 designation, e.g. ``'36'``.

    Returns
    -------
    ToothCode
    """
    return next(row for row in _table() if row.fdi == fdi and row.use == "current")
