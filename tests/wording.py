"""Finds every text of the program, for the tests and for translators.

``python tests/wording.py`` brings the catalogues up to date: new texts are added without a
translation, texts that are gone are dropped, the window's catalogue is compiled.
``python tests/wording.py fr`` also begins a language.
"""

import ast
import json
import re
import subprocess
import sys
import sysconfig
import tomllib
import xml.etree.ElementTree as ET
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "radmeasure"
CORE = PACKAGE / "reports" / "languages"
WINDOW = PACKAGE / "gui" / "languages"

# English by their standard (DICOM code meanings), or no words at all (markup, SQL, spectra).
_NOT_TRANSLATED = (
    "reports/dicom_codes.py",
    "reports/dicom_documents.py",
    "reports/dicom_gsps.py",
    "reports/dicom_source.py",
    "reports/dicom_sr.py",
    "reports/draw_svg.py",
    "reports/language.py",
    "reports/pdf_style.py",
    "files/case_schema.py",
    "files/dicom_teaching.py",
    "files/own_rulebook.py",
    "files/practice_list.py",
    "files/synth_out.py",
    "files/data_folder.py",
)
_TABLES = ("reports/phrases.py", "reports/vocabulary.py")
# SQL, keys of spectra, the program's name in front of every error.
_NO_TEXT = re.compile(
    r"\s*(PRAGMA|SELECT|INSERT|DELETE|BEGIN|CREATE|UPDATE|ALTER|radmeasure)\b|\d+[ /]"
)
_SLOT = re.compile(r"\{\w*\}")
# A text is told from a key by a blank beside a word that is no unit.
_WORDS = re.compile(r"[a-z]{2,}[,.:;]? | (?!(mm|px)$)[a-z]{2,}")
# Keys of the shipped tables whose values are read by people.
_DATA_KEYS = ("why", "source", "says", "words", "label", "for", "against", "open")
_DATA_KEYS += ("indication", "contraindication", "labels", "bands", "choices")
# Single words that fill slots, and texts made of others.
_FILL = (
    *("along", "across", "paralleled", "bisected", "unknown", "foreshortened", "elongated"),
    *("file", "wire", "reference", "sphere", "known length", "detector", "nothing", "mirrored"),
    *("filling", "post", "mesiobuccal", "distobuccal", "palatal", "buccal", "lingual"),
    *("paralleling", "bisecting", "the other", "the others", "Taken back", "Brought back"),
    *("lean of the root towards cheek or tongue", "root standing aside of the crown"),
    "magnification",
    *("yes", "no", "months", "quanta"),
)
# What argparse says of a wrong call.
_ARGPARSE = (
    "the following arguments are required: {0}",
    "unrecognized arguments: {0}",
    "argument {0}: invalid choice: {1} (choose from {2})",
    "argument {0}: expected one argument",
    "argument {0}: invalid {1} value: {2}",
    "ambiguous option: {0} could match {1}",
)
_JOINED = ("{0}: {1}", "{0} and {1}", "{0} or {1}", "{0}; {1}")


def core_texts():
    """{(context, English text): file} of all the core says; context 'filled' or ''."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        name = path.relative_to(PACKAGE).as_posix()
        if name.startswith(("gui/", "_shipped/")) or name in _NOT_TRANSLATED:
            continue
        tree = ast.parse(path.read_text("utf-8"))
        texts = _table_texts(tree) if name in _TABLES else _literals(tree)
        for key in texts:
            found.setdefault(key, name)
    for name in ("rulebook", "worksheet", "posts"):
        data = tomllib.loads((ROOT / "calibration" / f"{name}.toml").read_text("utf-8"))
        for text in _data_texts(data):
            found.setdefault(("", text), f"calibration/{name}.toml")
    for text in _named():
        found.setdefault(("", text), "model")
    for text in (*_JOINED, *_ARGPARSE):
        found.setdefault(("filled", text), "model")
    return found


def _table_texts(tree):
    """Every text of a table; its slots are filled after it was translated."""
    for node in tree.body:
        if isinstance(node, ast.Assign):
            for text in _values(ast.literal_eval(node.value)):
                if re.search(r"[A-Za-z]", _SLOT.sub("", text)) or text == ".":
                    yield "", text


def _values(value):
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for part in value.values():
            yield from _values(part)
    elif isinstance(value, list | tuple):
        for part in value:
            yield from _values(part)


def _literals(tree):
    skipped = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr):  # a docstring
            skipped.add(id(node.value))
        elif isinstance(node, ast.JoinedStr):
            skipped.update(id(inner) for inner in ast.walk(node) if inner is not node)
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "translated":
            yield from (("", arg.value) for arg in node.args if isinstance(arg, ast.Constant))
        if id(node) in skipped:
            continue
        text = _template(node)
        if text and _WORDS.search(text.strip()) and not _NO_TEXT.match(text):
            yield ("filled" if _SLOT.search(text) else ""), text


def _template(node):
    """A literal as text, its fields as {0}, {1}, ...; '' for other nodes."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if not isinstance(node, ast.JoinedStr):
        return ""
    text, count = "", 0
    for part in node.values:
        if isinstance(part, ast.Constant):
            text += part.value
        else:
            text += f"{{{count}}}"
            count += 1
    return text


def _data_texts(data):
    for key, value in data.items():
        if key in _DATA_KEYS:
            yield from (text for text in _values(value) if _spoken(text, key))
        elif key == "value":
            yield from _setting_texts(value)
        elif key == "name" and "tip_mm" in data:
            yield value
        elif isinstance(value, dict):
            yield from _data_texts(value)
        elif isinstance(value, list):
            for part in value:
                if isinstance(part, dict):
                    yield from _data_texts(part)


def _setting_texts(value):
    """A setting that is a sentence, or the names its figures go by."""
    if isinstance(value, dict):
        yield from (name.replace("_", " ") for name in value)
    elif isinstance(value, str) and " " in value:
        yield value


def _spoken(text, key):
    return len(text) > 1 and (" " in text or key not in ("labels", "source"))


def _named():
    """Names made of parts, and the single words texts are filled with."""
    from dataclasses import fields

    from radmeasure.model.case import FILM_ROLES, IDENTITY_FIELDS, PlanChoice
    from radmeasure.model.edit import entry_words, landmark_words
    from radmeasure.model.landmarks import GIVEN, ROOT_LINES, ROOT_POINTS, TOOTH_POINTS
    from radmeasure.model.tooth import Tooth

    for name in (*TOOTH_POINTS, *ROOT_POINTS, *ROOT_LINES):
        yield landmark_words(name)
    planned = (field.name for field in fields(PlanChoice))
    yield from (entry_words(name) for name in (*GIVEN, *IDENTITY_FIELDS, *planned))
    yield from (entry_words(name) for name in _worksheet_entries())
    yield from (*FILM_ROLES, *_FILL)
    for quadrant in "12345678":
        for number in "12345678" if quadrant < "5" else "12345":
            tooth = Tooth(quadrant + number)
            yield from (tooth.name, tooth.type_name, tooth.jaw_type.replace("_", " "))


def _worksheet_entries():
    text = (ROOT / "calibration" / "worksheet.toml").read_text("utf-8")
    return [entry["name"] for entry in tomllib.loads(text)["entry"]]


# -- catalogues --------------------------------------------------------------------------------


def read_po(path):
    """{(context, English text): translation}."""
    from radmeasure.reports.language import read_catalogue

    return {(c, english): text for c, english, text in read_catalogue(path.read_text("utf-8"))}


def write_po(path, found, translations):
    """Write a catalogue, sorted by the file a text stands in."""
    lines = [
        'msgid ""',
        'msgstr ""',
        f'"Language: {path.stem}\\n"',
        '"MIME-Version: 1.0\\n"',
        '"Content-Type: text/plain; charset=UTF-8\\n"',
        '"Content-Transfer-Encoding: 8bit\\n"',
        '"Project-Id-Version: radmeasure\\n"',
    ]
    for (context, english), name in sorted(found.items(), key=lambda item: (item[1], item[0])):
        lines += ["", f"#: {name}"]
        if _SLOT.search(english):
            lines.append("#, python-brace-format")
        if context:
            lines.append(f"msgctxt {_quoted(context)}")
        lines += [f"msgid {_quoted(english)}"]
        lines += [f"msgstr {_quoted(translations.get((context, english), ''))}"]
    path.write_text("\n".join(lines) + "\n", "utf-8")


def _quoted(text):
    return json.dumps(text, ensure_ascii=False)


def tool(name, *args):
    """Run one of Qt's tools for translators, which come with PySide6."""
    script = Path(sysconfig.get_path("scripts")) / name
    done = subprocess.run([script, *map(str, args)], capture_output=True, text=True, check=True)
    return done.stdout + done.stderr


def update_ts(path):
    """Bring a catalogue of the window up to date with its texts; English has plurals only."""
    sources = sorted((PACKAGE / "gui").glob("*.py"))
    options = ["-no-obsolete", "-locations", "none"]
    if path.stem.endswith("_en"):
        options.append("-pluralonly")
    tool("pyside6-lupdate", *sources, *options, "-ts", path)


def read_ts(path):
    """(context, English text, [translations], finished) of every message of the window."""
    for context in ET.parse(path).getroot().iter("context"):
        for message in context.iter("message"):
            said = message.find("translation")
            forms = [form.text or "" for form in said.iter("numerusform")] or [said.text or ""]
            finished = said.get("type") is None and all(forms)
            yield context.findtext("name"), message.findtext("source"), forms, finished


def begin(code):
    """Begin the catalogues of a language that has none."""
    (CORE / f"{code}.po").touch()
    start = f'<!DOCTYPE TS><TS version="2.1" language="{code}" sourcelanguage="en"/>'
    window = WINDOW / f"radmeasure_{code}.ts"
    if not window.exists():
        window.write_text(start, "utf-8")


def update():
    """Bring every catalogue up to date and say what is left to translate."""
    found = core_texts()
    for path in sorted(CORE.glob("*.po")):
        write_po(path, found, read_po(path))
        for (context, english), text in read_po(path).items():
            if not text:
                print(f"{path.name}: {context or 'text'}: {english}")
    for path in sorted(WINDOW.glob("*.ts")):
        update_ts(path)
        tool("pyside6-lrelease", path)
        for context, english, _, finished in read_ts(path):
            if not finished:
                print(f"{path.name}: {context}: {english}")


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    for code in sys.argv[1:]:
        begin(code)
    update()
