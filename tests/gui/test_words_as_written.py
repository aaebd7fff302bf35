"""Names somebody gave are shown as they were typed, whatever signs are in them."""

from window_hands import SAMPLES

from radmeasure.model import edits

NAME = "A <b>bold</b> & <1"


def shown(label):
    """What a rich-text label reads as."""
    from PySide6.QtGui import QTextDocument

    document = QTextDocument()
    document.setHtml(label.text())
    return document.toPlainText()


def test_label_and_file_are_shown_as_they_are(window, hands, tmp_path):
    film = tmp_path / f"{NAME.replace('/', '')}.png"
    film.write_bytes((SAMPLES / "alder.png").read_bytes())
    hands.open(film)
    window.desk.apply(edits.SetLabel(NAME))
    title = shown(window.strip._title)
    assert NAME in title and film.name in title


def test_what_is_said_is_shown_as_it_is(window):
    window.desk.said.emit(NAME, True)
    assert window.notice.text == NAME
    from PySide6.QtCore import Qt

    assert window.notice._words.textFormat() == Qt.TextFormat.PlainText
