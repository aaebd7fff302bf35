"""Tells English from German: words of our English texts that no German text of ours has."""

import functools
import re

import wording

_WORD = re.compile(r"[A-Za-zÄÖÜäöüß]{3,}")
# Words of every English sentence, so that a text nobody listed is found too.
_COMMON = "the and are with not from yes for than this that below above too which what"
# On keys of the keyboard (Qt's own names), in file names and in titles of books.
_ALLOWED = "enter return tab earlier later plan the end"


@functools.cache
def _english_only():
    english, german = set(_COMMON.split()), set(_ALLOWED.split())
    for (_, text), said in wording.read_po(wording.CORE / "de.po").items():
        english |= _words(text)
        german |= _words(said)
    for _, text, forms, _ in wording.read_ts(wording.WINDOW / "radmeasure_de.ts"):
        english |= _words(text)
        german |= set().union(*map(_words, forms))
    return english - german


def _words(text):
    return {word.lower() for word in _WORD.findall(text)}


def english_in(text):
    """Words of a German text that are English, sorted; markup left out."""
    shown = re.sub(r"<[^>]*>", " ", text)
    return sorted(_words(shown) & _english_only())
