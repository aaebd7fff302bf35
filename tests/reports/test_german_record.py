"""What is printed and shown in a terminal in German has no English left in it."""

import io

import numpy as np
import pytest
from drawn_tooth import DrawnRoot, DrawnTooth
from english_words import english_in
from planning.plan_made import evaluated
from pypdf import PdfReader

from radmeasure.model.film import Film
from radmeasure.reports import words

FILM = Film(
    np.zeros((900, 800), np.uint8), 8, np.arange(256, dtype=np.uint8), "a.png", "ab" * 32, "PNG"
)


@pytest.fixture
def german():
    words.use_language("de")
    yield
    words.use_language("en")


def _pages(data):
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)


@pytest.mark.parametrize("roots", [("single",), ("mesial", "distal")])
def test_a_german_record_has_no_english(german, roots):
    """Terminal, record and patient's sheet, read back with a library that is not ours (pypdf)."""
    from radmeasure.reports.pdf_patient import patient_pdf
    from radmeasure.reports.pdf_record import Printed, record_pdf

    tooth = DrawnTooth(margin=(-4.3, -2.4))
    if len(roots) > 1:
        tooth = DrawnTooth("36", roots={name: DrawnRoot() for name in roots})
    evaluation = evaluated(tooth)
    printed = Printed(FILM, evaluation, role="filling check")
    assert english_in(words.record_text(evaluation)) == []
    assert english_in(_pages(record_pdf([printed], "2026-03-14"))) == []
    assert english_in(_pages(patient_pdf(printed, "2026-03-14"))) == []


@pytest.mark.parametrize("tooth", ["11", "46"])
def test_all_an_evaluation_says_is_german(german, tooth):
    """Reasons, methods, remarks, sources and what an uncertainty comes from."""
    roots = {"single": DrawnRoot()}
    if tooth == "46":
        roots = {"mesial": DrawnRoot(at=2.5), "distal": DrawnRoot(at=-2.5)}
    evaluation = evaluated(DrawnTooth(tooth, margin=(-4.3, -2.4), roots=roots))
    said = {word for text in _texts(evaluation) for word in english_in(words.translated(text))}
    assert said == set()


def _texts(evaluation):
    yield from evaluation.scale.notes
    for reading in evaluation.readings:
        yield from (reading.why, reading.remark, reading.method)
        names = reading.quantity.budget if reading.quantity is not None else ()
        # Marks are named by the window from their ids.
        yield from (name for name in names if not name.startswith("placement of"))
    for finding in evaluation.findings:
        yield from (finding.words, finding.source)
    for space in evaluation.post_space:
        yield from (text for row in space.limits for text in (row.words, row.source))
        yield from (reason.words for reason in space.reasons)
    for option in (option for gains in evaluation.gains for option in gains.options):
        yield from (option.words, option.source)
