"""Copying and printing what is in sight."""

import unicodedata

import pytest
from pypdf import PdfReader
from PySide6.QtGui import QPageSize
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QApplication
from test_explanations import _cedar

from radmeasure.gui.printing import print_page
from radmeasure.reports.words import CAUTIONS


def test_the_copied_picture_is_the_film_with_its_marks_and_no_focus_frame(window, hands, qtbot):
    _cedar(hands, window)
    window.canvas.setFocus()
    qtbot.wait(30)
    accent = window.canvas.palette().highlight().color()
    assert window.canvas.grab().toImage().pixelColor(1, 100) == accent
    window.commands["copy_picture"].trigger()
    copied = QApplication.clipboard().image()
    ratio = window.canvas.devicePixelRatioF()
    assert copied.width() == round(window.canvas.width() * ratio)
    assert copied.pixelColor(1, 100) != accent
    with_marks = copied.copy()
    window.canvas.show_marks = False
    assert window.canvas.picture_of().toImage() != with_marks
    assert "clipboard" in window.notice.text


@pytest.mark.parametrize(("paper", "most"), [("A4", 2), ("Letter", 2), ("A5", 3)])
def test_the_print_is_a_film_and_a_record_with_every_caution(window, hands, tmp_path, paper, most):
    """Read back from the PDF a printer of the system makes; letters are of one size."""
    _cedar(hands, window)
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setPageSize(QPageSize(getattr(QPageSize.PageSizeId, paper)))
    printer.setOutputFileName(str(tmp_path / "page.pdf"))
    print_page(window, printer)
    pages = PdfReader(tmp_path / "page.pdf").pages
    assert 2 <= len(pages) <= most
    assert len(pages[0].images) >= 1
    text = unspaced(" ".join(page.extract_text() for page in pages[1:]))
    for sentence in [*hands.sentences()[:6], *CAUTIONS]:
        assert unspaced(sentence) in text


def unspaced(text):
    """Without blanks and ligatures: a PDF keeps shapes and places."""
    return "".join(unicodedata.normalize("NFKC", text).split())
