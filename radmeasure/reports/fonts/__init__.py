"""DejaVu Sans, free to use and embed (LICENSE.txt): the same letters in every report."""

from pathlib import Path

_FOLDER = Path(__file__).resolve().parent
REGULAR, BOLD = "DejaVuSans", "DejaVuSans-Bold"


def font_path(strong=False):
    """Path of the font's file."""
    return _FOLDER / f"{BOLD if strong else REGULAR}.ttf"
