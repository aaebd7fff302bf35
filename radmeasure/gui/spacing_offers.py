"""What a film's own spacing can serve as, offered and never taken over by itself."""

import math

from PySide6.QtCore import QCoreApplication

from radmeasure.model.landmarks import Detector
from radmeasure.reports.words import decimal

translate = QCoreApplication.translate


def spacing_offers(film, entries=()):
    """(words, Detector) to choose from; none when nothing is to be decided.

    A stated magnification is offered beside an uncorrected spacing. A spacing whose basis
    the file does not state serves only once a person says what it is.

    Parameters
    ----------
    film : Film or None
    entries : iterable of scale entries
        Nothing is offered beside a receptor entry that is there.
    """
    spacing = film.spacing if film is not None else None
    if spacing is None or any(isinstance(e, Detector) for e in entries):
        return ()
    pitch = math.sqrt(spacing.row_mm * spacing.column_mm)
    if not spacing.usable:
        return (
            (translate("Next", "It is the receptor's pitch"), Detector(pitch)),
            (translate("Next", "It is corrected to the tooth"), Detector(pitch, 1.0)),
        )
    if spacing.magnification:
        words = translate("Next", "Correct by the stated magnification, {0}")
        factor = decimal(f"{spacing.magnification:.3g}")
        return ((words.format(factor), Detector(pitch, spacing.magnification)),)
    return ()
