"""Every text of the program is translated, in full and with its slots, into every language.

Found anew from the code each time. After adding or changing a text, run
``python tests/wording.py`` and give the translations it lists.
"""

import ast
import re
import shutil

import pytest
import wording
from PySide6.QtCore import QTranslator

CATALOGUES = sorted(wording.CORE.glob("*.po"))
WINDOWS = sorted(wording.WINDOW.glob("*.ts"))
# English has its plurals there and nothing else.
FOREIGN = [path for path in WINDOWS if not path.stem.endswith("_en")]
SLOTS = re.compile(r"\{\w*\}|%n|\*|</?\w+>|·")
# Words German and English share, and keys of files, which are not translated.
SHARED = """
    name patient dist distal extrusion lingual material mes mesial oval version
    in mm px monte carlo et al of
    db mb kind points post scale sphere detector known_length statement when u_px diameter_mm
    length_mm mm_per_px dicom pdf csv json
"""
# A source is cited as it is.
CITED = re.compile(r"\b(19|20)\d\d\b|\bISO \d|Endodontic Therapy|Venskutonis")


def by_name(paths):
    return pytest.mark.parametrize("path", paths, ids=lambda path: path.stem)


@pytest.fixture(scope="module")
def core_texts():
    return wording.core_texts()


def test_there_is_a_whole_translation():
    """German for the core and for the window."""
    assert "de" in [path.stem for path in CATALOGUES]
    assert "radmeasure_de" in [path.stem for path in WINDOWS]


@by_name(CATALOGUES)
def test_every_text_of_the_core_is_translated(path, core_texts):
    """None is missing or empty, and none is left over."""
    translated = {key for key, text in wording.read_po(path).items() if text}
    assert sorted(set(core_texts) - translated) == [], "run python tests/wording.py"
    assert sorted(translated - set(core_texts)) == [], "run python tests/wording.py"


@by_name(WINDOWS)
def test_every_text_of_the_window_is_translated(path, tmp_path):
    """Qt's own extraction finds nothing new, nothing gone and nothing unfinished."""
    fresh = tmp_path / path.name
    shutil.copy(path, fresh)
    wording.update_ts(fresh)
    kept = {message[:2] for message in wording.read_ts(path)}
    found = list(wording.read_ts(fresh))
    assert [m[:2] for m in found if not m[3]] == [], "run python tests/wording.py"
    assert kept == {m[:2] for m in found}, "run python tests/wording.py"


def test_qt_sees_every_text_of_the_window():
    """Qt's extraction does not look into f-strings: no text may be translated inside one."""
    hidden = []
    for path in sorted((wording.PACKAGE / "gui").glob("*.py")):
        for outer in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(outer, ast.JoinedStr):
                hidden += [f"{path.name}: {ast.unparse(c)}" for c in ast.walk(outer) if _said(c)]
    assert hidden == []


def _said(node):
    """A call of tr or translate with the text itself."""
    if not isinstance(node, ast.Call) or not node.args:
        return False
    name = getattr(node.func, "attr", getattr(node.func, "id", ""))
    return name in ("tr", "translate") and isinstance(node.args[-1], ast.Constant)


@by_name(WINDOWS)
def test_the_compiled_catalogue_is_that_of_its_source(path, qapp):
    """What is installed says what translators see, plurals too."""
    compiled = QTranslator()
    assert compiled.load(str(path.with_suffix(".qm")))
    for context, english, forms, _ in wording.read_ts(path):
        for number, form in zip((1, 2), forms):
            count = number if len(forms) > 1 else -1
            assert compiled.translate(context, english, None, count) == form


def pairs(path):
    """(English, translation) of a catalogue of either kind."""
    if path.suffix == ".po":
        found = [(english, text) for (_, english), text in wording.read_po(path).items()]
    else:
        found = [
            (english, form) for _, english, forms, _ in wording.read_ts(path) for form in forms
        ]
    return [(english, text) for english, text in found if text]


@by_name(CATALOGUES + WINDOWS)
def test_slots_marks_and_edges_are_kept(path):
    """What is filled in, what is shown strongly, and blanks at the ends are the same."""
    for english, text in pairs(path):
        assert sorted(SLOTS.findall(english)) == sorted(SLOTS.findall(text)), english
        assert english[:1].isspace() == text[:1].isspace(), english
        assert english[-1:].isspace() == text[-1:].isspace(), english
        assert english.endswith("…") == text.endswith("…"), english
        assert ("&" in english) <= ("&" in text) or " & " in english, english


@by_name(CATALOGUES + FOREIGN)
def test_nothing_is_left_in_english(path):
    """A translation that equals its English has only words both languages share."""
    for english, text in pairs(path):
        if english == text and not CITED.search(english):
            words = re.findall(r"[a-z_]{2,}", SLOTS.sub(" ", english).lower())
            assert set(words) <= set(SHARED.split()), english


@by_name(FOREIGN)
def test_menus_have_keys_of_their_own(path):
    """No two menus open with one letter."""
    said = [(name, forms[0]) for name, _, forms, _ in wording.read_ts(path)]
    titles = [title for name, title in said if name == "Commands" and "&" in title]
    keys = [re.search(r"&(\w)", title)[1].lower() for title in titles]
    assert len(keys) == len(set(keys)) == 6
