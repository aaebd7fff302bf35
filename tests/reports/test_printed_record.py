"""The PDF record and the sheet for the patient, read back by another library (pypdf)."""

import io
from types import MappingProxyType

import numpy as np
import pytest
from drawn_tooth import DrawnRoot, DrawnTooth
from planning.plan_made import evaluated
from pypdf import PdfReader

from radmeasure.model.film import Film
from radmeasure.reports import vocabulary, words
from radmeasure.reports.level_chart import View
from radmeasure.reports.pdf_patient import considered, patient_pdf, plain_name, shown
from radmeasure.reports.pdf_record import Printed, record_pdf
from radmeasure.reports.worksheet_words import worksheet_paragraphs

DAY = "2026-03-14"


def _film(height=1800, width=1600):
    rows, columns = np.mgrid[:height, :width]
    pixels = ((rows // 3 + 2 * columns // 5) % 251).astype(np.uint8)
    table = np.arange(256, dtype=np.uint8)
    return Film(pixels, 8, table, "film.png", "ab" * 32, "PNG")


FILM = _film()


def _printed(tooth, live=True, film=FILM, choice=None, **more):
    return Printed(film, evaluated(tooth, live=live, **(choice or {})), **more)


def _read(data):
    return PdfReader(io.BytesIO(data))


def _text(data):
    pages = "\n".join(page.extract_text() for page in _read(data).pages)
    return " ".join(pages.replace("\u00a0", " ").split())


@pytest.fixture(scope="module")
def record():
    """A central incisor whose rules clash, short of ferrule on one side."""
    tooth = DrawnTooth(margin=(-4.3, -2.4))
    identity = {"name": "Łucja Őri-Müller <none>"}
    return record_pdf([_printed(tooth, False, label="Elm & Co", identity=identity)], DAY)


def test_single_rooted_tooth_takes_two_pages(record):
    assert len(_read(record).pages) == 2


def test_what_the_record_must_carry(record):
    """Readings with uncertainty, findings with sources and trust, scale, rulebook, cautions."""
    text = _text(record)
    for words_ in (
        "Tooth 11, maxillary right central incisor",
        "Post space safe to 8.0 ± ",
        "shorter than the crown it carries by 2.5 ± ",
        "does not meet",
        "Ng et al., Int Endod J 2008;41:6-31",
        "Read in the source:",
        "From memory, check the original:",
        "Scale from the receptor",
        "Rulebook 1.0, digest",
        "Still open",
        "page 1 of 2",
        "page 2 of 2",
        DAY,
        "Crown lengthening by 1.6 mm",
    ):
        assert words_ in text, words_
    for caution in words.CAUTIONS[:-1]:
        assert caution in text


def test_entered_text_is_printed_as_it_was_entered(record):
    """Names in any alphabet and signs that mean something to a layout language."""
    text = _text(record)
    assert "Łucja Őri-Müller <none>" in text
    assert "Elm & Co" in text


def test_every_font_is_embedded(record):
    """A record must look the same in ten years on another machine."""
    for page in _read(record).pages:
        for font in page["/Resources"]["/Font"].get_object().values():
            descriptor = font.get_object()["/FontDescriptor"].get_object()
            assert "/FontFile2" in descriptor
            assert "DejaVu" in font.get_object()["/BaseFont"]


def test_film_is_kept_grey_and_lossless(record):
    """The printed film equals the film's own grey levels, pixel by pixel."""
    (image,) = _read(record).pages[0].images
    pixels = np.asarray(image.image.convert("L"))
    assert image.image.mode == "L"
    assert np.array_equal(pixels, FILM.pixels)


def test_large_film_is_reduced_by_averaging():
    """3200 rows are printed as 1600: each printed pixel is the mean of four (derived)."""
    film = _film(3200, 1600)
    data = record_pdf([_printed(DrawnTooth(), film=film)], DAY)
    (image,) = _read(data).pages[0].images
    assert image.image.size == (800, 1600)
    first = int(np.asarray(image.image)[0, 0])
    assert first == pytest.approx(film.pixels[:2, :2].mean(), abs=0.51)


def test_turned_and_mirrored_film_is_printed_as_it_is_shown():
    view = View(turns=1, mirrored=True)
    data = record_pdf([_printed(DrawnTooth(), view=view)], DAY)
    (image,) = _read(data).pages[0].images
    expected = np.fliplr(np.rot90(FILM.pixels, -1))
    assert np.array_equal(np.asarray(image.image), expected)


def test_same_case_prints_the_same_words():
    once, again = (_text(record_pdf([_printed(DrawnTooth())], DAY)) for _ in range(2))
    assert once == again


def test_many_roots_and_no_scale_are_printed_too():
    molar = DrawnTooth("46", roots={"mesial": DrawnRoot(at=2.5), "distal": DrawnRoot(at=-2.5)})
    text = _text(record_pdf([_printed(molar), _printed(DrawnTooth(calibrated=False))], DAY))
    assert "By the rule for molars no post in the mesial root" in text
    assert "parts of the root's length, from the CEJ" in text
    assert "Millimetres are withheld" in text


def test_letter_page():
    page = _read(record_pdf([_printed(DrawnTooth())], DAY, "letter")).pages[0]
    assert [float(v) for v in page.mediabox[2:]] == [612.0, 792.0]


def test_worksheet_stands_in_the_record():
    from radmeasure.model.case import Case
    from radmeasure.workflow.worksheet import worksheet_of

    sheet = _printed(DrawnTooth())
    answers = MappingProxyType({"walls_left": 1, "crown_destroyed": True})
    case = Case(worksheets={"11": answers})
    told = worksheet_paragraphs(worksheet_of(case, "11", sheet.evaluation))
    text = _text(record_pdf([_printed(DrawnTooth(), paragraphs=tuple(told))], DAY))
    assert "Speaks for a post, core and crown" in text
    assert "One wall or none left to hold a core." in text
    assert "Indications met: crown destroyed by caries or trauma" in text
    assert "Not entered:" in text


def _sample_sheets(sample):
    from radmeasure.files.landmarks_json import read_landmarks
    from radmeasure.model.case import PlanChoice
    from radmeasure.workflow.evaluate import evaluate
    from radmeasure.workflow.films import open_film
    from radmeasure.workflow.followup import job_for
    from radmeasure.workflow.rulebook import load_post_sizes, load_rulebook

    for path, role in zip(sample.paths, sample.roles, strict=True):
        film = open_film(path)
        landmarks = read_landmarks(path.with_name(f"{path.stem}.landmarks.json"))
        choice = PlanChoice(depth_mm=6.0, size_name="parallel 0.9")
        told = evaluate(landmarks, load_rulebook(), film.spacing, choice, load_post_sizes())
        yield Printed(film, told, label=sample.name, job=job_for(role, landmarks).id)


@pytest.mark.parametrize("name", ["Alder", "Birch", "Cedar", "Elm", "Fir", "Hazel", "Ivy"])
def test_samples_are_printed_on_at_most_two_pages(name):
    """A clinician puts one or two pages in the record, many-rooted teeth and two films included."""
    from radmeasure.workflow.samples import sample

    assert len(_read(record_pdf(list(_sample_sheets(sample(name))), DAY)).pages) <= 2


def test_longer_words_are_printed_smaller_rather_than_on_more_pages():
    """German runs longer than English: the same two films still take two pages, still legible."""
    from radmeasure.workflow.samples import sample

    words.use_language("de")
    try:
        pages = _read(record_pdf(list(_sample_sheets(sample("Ivy"))), DAY)).pages
    finally:
        words.use_language("en")
    assert len(pages) == 2
    sizes = []
    pages[0].extract_text(visitor_text=lambda text, cm, tm, font, size: sizes.append(size))
    assert min(size for size in sizes if size) >= 5.0


def test_a_case_of_many_films_keeps_its_print():
    """Three teeth need more than two pages; nothing is gained by small print then."""
    sheets = [_printed(DrawnTooth(margin=(-4.3, -2.4)), False) for _ in range(3)]
    read = _read(record_pdf(sheets, DAY))
    assert len(read.pages) >= 3
    sizes = []
    read.pages[0].extract_text(visitor_text=lambda text, cm, tm, font, size: sizes.append(size))
    assert 7.7 in sizes


def test_roots_stand_side_by_side():
    """One row for a reading of both roots, and the limits of both in one table."""
    molar = DrawnTooth("46", roots={"mesial": DrawnRoot(at=2.5), "distal": DrawnRoot(at=-2.5)})
    text = _text(record_pdf([_printed(molar)], DAY))
    assert "Reading mesial root distal root Held against the rules" in text
    assert text.count("Limits of the post space") == 1
    assert text.count("apical seal ≤") == 1


# -- the sheet for the patient ---------------------------------------------------------------------


def test_patient_sheet_is_one_page_of_plain_words():
    data = patient_pdf(_printed(DrawnTooth(margin=(-2.0, -2.0))), DAY)
    assert len(_read(data).pages) == 1
    text = _text(data)
    assert "Your tooth: upper right central incisor" in text
    assert "What the picture cannot show" in text
    assert "It does not replace the talk with your dentist" in text


def test_patient_sheet_uses_no_word_of_the_trade():
    """Words a patient cannot know, and promises nobody can make, stay out."""
    text = _text(patient_pdf(_printed(DrawnTooth(margin=(-2.0, -2.0))), DAY)).lower()
    for word in ("ferrule", "apex", "crest", "cej", "mesial", "p =", "guarantee", "safe", "±"):
        assert word not in text.split() and word not in text.replace(",", " ").split()


def test_patient_sheet_says_how_deep_in_whole_millimetres():
    """Cedar: 8 mm are left above the seal; a chosen depth is the one that is named."""
    tooth = DrawnTooth()
    assert any("about 8 mm" in t for t in considered(evaluated(tooth), "single"))
    chosen = evaluated(tooth, depth_mm=6.0)
    assert any("about 6 mm" in t for t in considered(chosen, "single"))


def test_what_is_doubtful_is_told_as_doubtful():
    """A filling about 2 mm short: neither good nor bad."""
    tooth = DrawnTooth(roots={"single": DrawnRoot(filling=(0.0, 11.0))})
    said = shown(evaluated(tooth), "single")
    assert vocabulary.PLAIN["filling.length"]["too_close"] in said


def test_worse_side_speaks_for_both():
    said = shown(evaluated(DrawnTooth(margin=(-6.0, -2.0))), "single")
    assert vocabulary.PLAIN["ferrule.height"]["fails"] in said
    assert vocabulary.PLAIN["ferrule.height"]["meets"] not in said


def test_plain_words_exist_for_rules_that_exist():
    from planning.plan_made import rules

    assert set(vocabulary.PLAIN) <= set(rules().rules)


@pytest.mark.parametrize(
    ("fdi", "name"),
    [("11", "upper right central incisor"), ("36", "lower left first molar")],
)
def test_tooth_by_its_plain_name(fdi, name):
    from radmeasure.model.tooth import Tooth

    assert plain_name(Tooth(fdi)) == name
