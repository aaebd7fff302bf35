"""The language all text is given in: English, or a gettext catalogue of ``languages/``.

A catalogue (``de.po``) is read as it stands. Entries of context "filled" are texts the core
filled in itself, such as ``in molars no deeper than {0} mm``: they are found again by their
fixed words, what was filled in is translated in its turn, and numbers get the decimal sign.
Files for other programs (JSON, CSV, DICOM) are never translated.
"""

import functools
import json
import os
import re
from pathlib import Path

from radmeasure.errors import RadmeasureError

ENGLISH = "en"
_FOLDER = Path(__file__).with_name("languages")
# Where a user states the language; the later ones as in gettext.
_STATED = ("RADMEASURE_LANGUAGE", "LANGUAGE", "LC_ALL", "LC_MESSAGES", "LANG")
_QUOTED = r'"(?:[^"\\]|\\.)*"'
_FIELD = re.compile(rf"^(msgctxt|msgid|msgstr)\s+({_QUOTED}(?:\s*{_QUOTED})*)", re.MULTILINE)
_FIGURE = r"[-−+]?\d+\.\d+"
_FIGURES = re.compile(rf"{_FIGURE}|\({_FIGURE}(, {_FIGURE})*\)")
_SLOT = re.compile(r"\{(\w+)\}")
_JOINT = 8
# What a user wrote himself is never translated.
_VERBATIM = ("label", "name", "author")


def languages():
    """Codes of the languages there are, English first."""
    return (ENGLISH, *sorted(path.stem for path in _FOLDER.glob("*.po")))


def wanted_language(*stated):
    """The first language there is: RADMEASURE_LANGUAGE, then those stated, then the system's.

    Parameters
    ----------
    *stated : str
        Codes or names of locales such as 'de' or 'de_AT.UTF-8'; '' for none.
    """
    known = languages()
    first, *system = (os.environ.get(name, "") for name in _STATED)
    for text in (first, *stated, *system):
        for name in text.split(":"):
            code = re.split(r"[-_.@]", name)[0].lower()
            if code in known:
                return code
    return ENGLISH


class Catalogue:
    """Texts of one language.

    Parameters
    ----------
    entries : iterable of (context, English text, translation)
    """

    def __init__(self, entries):
        self.texts, self._filled = {}, []
        for context, english, text in entries:
            if context == "filled":
                self._filled.append(_Filled(english, text))
            elif text:
                self.texts[english] = text
        self._filled.sort(key=lambda filled: -filled.weight)
        self.decimal_sign = self.texts.get(".", ".")
        self.translate = functools.lru_cache(4096)(self._translate)

    def _translate(self, text):
        if text in self.texts or not text.strip():
            return self.texts.get(text, text)
        if _FIGURES.fullmatch(text):
            return text.replace(", ", "; ").replace(".", self.decimal_sign)
        for filled in self._filled:
            found = filled.match(text)
            said = "" if found is None else filled.fill(found, self.translate)
            if said:
                return said
        return text


class _Filled:
    """A text with slots, found again in its filled form."""

    def __init__(self, english, text):
        self._text = text
        self._names = _SLOT.findall(english)
        self._fixed = _SLOT.split(english)[::2]
        fixed = "".join(self._fixed)
        # Texts joined by a mark are taken apart before such as "{0} is {1}" are tried.
        self.weight = len(fixed) if any(map(str.isalpha, fixed)) else _JOINT

    @functools.cached_property
    def _pattern(self):
        return re.compile("(.*?)".join(map(re.escape, self._fixed)), re.DOTALL)

    def match(self, text):
        if not all(part in text for part in self._fixed):
            return None
        return self._pattern.fullmatch(text)

    def fill(self, match, translate):
        """The translation; '' when little is fixed and a sentence would stay as it was."""
        values = {}
        for name, value in zip(self._names, match.groups(), strict=True):
            values[name] = value if name in _VERBATIM else translate(value)
            if self.weight < _JOINT and values[name] == value and value.count(" ") > 1:
                return ""
        return _SLOT.sub(lambda slot: values[slot[1]], self._text)


def read_catalogue(text):
    """(context, English text, translation) of each entry of a gettext catalogue.

    Examples
    --------
    >>> list(read_catalogue('msgid "crest"\\nmsgstr "Knochenrand"'))
    [('', 'crest', 'Knochenrand')]
    """
    context = english = ""
    for field, quoted in _FIELD.findall(text):
        value = _unquoted(quoted)
        if field == "msgctxt":
            context = value
        elif field == "msgid":
            english = value
        else:
            if english:
                yield context, english, value
            context = ""


def _unquoted(quoted):
    """What one or more quoted strings say together."""
    if "\\" not in quoted and quoted.count('"') == 2:
        return quoted[1:-1]  # nearly all are so, and a start must not wait
    return "".join(map(json.loads, re.findall(_QUOTED, quoted)))


_current = {"code": ENGLISH, "catalogue": Catalogue(()), "translate": str}


def use_language(code):
    """Give all text in this language from now on; an unknown code means English."""
    path = _FOLDER / f"{code}.po"
    known = path.is_file()
    found = Catalogue(read_catalogue(path.read_text("utf-8")) if known else ())
    _current.update(
        code=code if known else ENGLISH,
        catalogue=found,
        translate=found.translate if known else str,
    )


def language():
    """Code of the language in use."""
    return _current["code"]


def translated(text):
    """``text`` in the language in use."""
    return _current["translate"](text)


def decimal(digits):
    """Digits with the decimal sign of the language in use.

    Examples
    --------
    >>> decimal("3.5")
    '3.5'
    """
    return digits.replace(".", _current["catalogue"].decimal_sign)


def inside(text):
    """A text that goes on inside a sentence: lower case where the language wants it so."""
    return text[:1].lower() + text[1:] if language() == ENGLISH else text


def error_text(error):
    """The one line a front shows of an error; of one that was not foreseen, what Python says."""
    if not isinstance(error, RadmeasureError):
        return repr(error)
    parts = (translated(part) for part in (error.what, error.do) if part)
    return " ".join("; ".join(parts).split())
