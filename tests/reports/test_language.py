"""The language of all text: which one is chosen, and how a text finds its translation."""

import subprocess
import sys

import numpy as np
import pytest
from drawn_tooth import DrawnTooth
from planning.plan_made import evaluated

from radmeasure.errors import FilmError, InputError
from radmeasure.model.film import Film
from radmeasure.reports import words
from radmeasure.reports.language import Catalogue, read_catalogue, wanted_language

FILM = Film(
    np.zeros((900, 800), np.uint8), 8, np.arange(256, dtype=np.uint8), "a.png", "ab" * 32, "PNG"
)
SYSTEM = ("LANGUAGE", "LC_ALL", "LC_MESSAGES", "LANG")


@pytest.fixture
def german():
    words.use_language("de")
    yield
    words.use_language("en")


@pytest.fixture
def nowhere(monkeypatch):
    """A machine that states no language."""
    for name in ("RADMEASURE_LANGUAGE", *SYSTEM):
        monkeypatch.delenv(name, raising=False)
    return monkeypatch


# -- which language ------------------------------------------------------------------------------


def test_the_language_is_the_system_s(nowhere):
    """Locale names as gettext reads them (GNU gettext manual, 2.3): territory left out."""
    assert wanted_language() == "en"
    nowhere.setenv("LANG", "de_AT.UTF-8")
    assert wanted_language() == "de"
    nowhere.setenv("LC_ALL", "en_GB.UTF-8")
    assert wanted_language() == "en"
    nowhere.setenv("LANGUAGE", "fr:de:en")
    assert wanted_language() == "de"


def test_what_is_stated_comes_before_the_system(nowhere):
    """RADMEASURE_LANGUAGE first, then the setting or option, then the system."""
    nowhere.setenv("LANG", "de_DE.UTF-8")
    assert wanted_language("en") == "en"
    assert wanted_language("", "de-CH") == "de"
    nowhere.setenv("RADMEASURE_LANGUAGE", "de")
    assert wanted_language("en") == "de"


def test_an_unknown_language_is_english(nowhere):
    assert wanted_language("xx") == "en"
    words.use_language("xx")
    assert words.language() == "en"
    assert words.translated("apex") == "apex"


def test_the_command_line_takes_a_language(nowhere):
    """Option before environment; the error keeps its form, only its words change."""
    for args, said in (
        ([], "there is no file"),
        (["--language", "de"], "es gibt keine Datei"),
        (["--language", "de", "--seed"], "unbekannte Angaben: --seed"),
    ):
        run = [sys.executable, "-m", "radmeasure", "measure", "no film.png", "--landmarks", "x"]
        done = subprocess.run([*run, *args], capture_output=True, text=True)
        assert done.returncode == 2
        assert done.stderr.startswith("radmeasure: error: ")
        assert said in done.stderr


# -- finding a translation -----------------------------------------------------------------------

MADE = Catalogue(
    (
        ("", ".", ","),
        ("", "crest", "Kamm"),
        ("", "red", "rot"),
        ("filled", "ends {0} mm below the {1}", "{1}: endet {0} mm tiefer"),
        ("filled", "Case labelled '{label}'", "Fall „{label}“"),
        ("filled", "{0}: {1}", "{0}: {1}"),
        ("filled", "{0} is {1}", "{0} ist {1}"),
    )
)


@pytest.mark.parametrize(
    ("english", "said"),
    [
        ("crest", "Kamm"),
        ("ends 3.5 mm below the crest", "Kamm: endet 3,5 mm tiefer"),
        ("a.json: ends 3.5 mm below the crest", "a.json: Kamm: endet 3,5 mm tiefer"),
        ("Case labelled 'red'", "Fall „red“"),
        ("crest is red", "Kamm ist rot"),
        ("this is not known at all", "this is not known at all"),
        ("-1.25", "-1,25"),
        ("(12.5, 3.0)", "(12,5; 3,0)"),
        ("", ""),
    ],
)
def test_filled_texts_are_found_by_their_fixed_words(english, said):
    """Numbers get the decimal sign; what a user wrote and unknown sentences stay."""
    assert MADE.translate(english) == said


def test_a_catalogue_is_read_as_gettext_writes_it():
    """Comments, wrapped strings and escapes as in the GNU gettext manual, chapter 3."""
    text = """
msgid ""
msgstr "Language: de\\n"

# a note
#: file.py
#, python-brace-format
msgctxt "filled"
msgid ""
"two {0} "
"lines"
msgstr ""
"zwei {0} "
"\\"Zeilen\\""

#~ msgid "gone"
#~ msgstr "weg"

msgid "apex"
msgstr "Apex"
"""
    assert list(read_catalogue(text)) == [
        ("filled", "two {0} lines", 'zwei {0} "Zeilen"'),
        ("", "apex", "Apex"),
    ]


# -- German --------------------------------------------------------------------------------------


def test_numbers_have_a_comma_in_german(german):
    """Decimal comma (DIN 1333); the minus sign stays."""
    assert words.number(-3.14159, 2) == "−3,14"
    assert words.measure(24.25, "mm") == "24,25 mm"
    assert words.limit_text("between", (0.5, 2.0), "mm") == "0,5 bis 2 mm"


def test_errors_are_worded_in_german(german):
    """What is wrong and what to do, names of files and keys as they are."""
    error = FilmError("a b.dcm is empty", "copy the film again from its source")
    said = words.error_text(error)
    assert said == "a b.dcm ist leer; die Aufnahme noch einmal aus ihrer Quelle kopieren"
    error = InputError("L.json: tooth '99' is not an ISO 3950 designation")
    assert words.error_text(error) == "L.json: Zahn '99' ist keine Bezeichnung nach ISO 3950"
    assert words.error_text(KeyError("x")) == "KeyError('x')"


def test_german_teeth_are_named(german):
    """Tooth 36 and its milk tooth, as every German dentist calls them (common practice)."""
    from radmeasure.model.tooth import Tooth

    assert words.tooth_title(Tooth("36")) == "unterer linker erster Molar"
    assert words.tooth_title(Tooth("51")) == "oberer rechter mittlerer Milchschneidezahn"


def test_cautions_defer_to_licensed_judgement_in_german(german):
    """The caution that matters most keeps its sense."""
    said = " ".join(map(words.translated, words.CAUTIONS))
    for part in ("unterstützen das Urteil approbierter", "Vorschriften", "ersetzen sie nie"):
        assert part in said


def test_files_do_not_follow_the_language():
    """Readings as JSON and CSV are the same to the last byte."""
    from radmeasure.reports.readings_json import readings_csv, readings_text

    evaluation = evaluated(DrawnTooth(margin=(-4.3, -2.4)))
    english = readings_text(FILM, evaluation), readings_csv(evaluation)
    words.use_language("de")
    try:
        assert (readings_text(FILM, evaluation), readings_csv(evaluation)) == english
    finally:
        words.use_language("en")
