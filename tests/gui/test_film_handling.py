"""What people expect of a film on a screen: fit, size, grey value, recent, drop, copy, print."""

import re
import shutil

import numpy as np
import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, QRect, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QApplication
from window_hands import SAMPLES, move

from radmeasure.gui.printing import print_page


@pytest.fixture
def film(hands, window):
    """Cedar, opened by hand, nothing suggested."""
    window.suggesting.automatic = False
    hands.open(SAMPLES / "cedar.dcm")
    return window.desk.film


def test_fit_shows_the_whole_film_whatever_the_size_of_the_window(film, window, qtbot):
    window.canvas.zoom_by(6.0)
    window.fit()
    for size in ((1366, 768), (1100, 700)):
        window.resize(*size)
        qtbot.wait(30)
        canvas = window.canvas
        corners = [canvas.camera.to_widget(xy) for xy in ((0, 0), (film.width, film.height))]
        assert all(-0.5 <= x <= canvas.width() + 0.5 for x, _ in corners)
        assert all(-0.5 <= y <= canvas.height() + 0.5 for _, y in corners)
        room = min(canvas.width() / film.width, canvas.height() / film.height)
        assert canvas.camera.zoom > 0.9 * room


def test_actual_size_is_one_film_pixel_a_screen_pixel(film, window):
    """Round what was in the middle before."""
    canvas = window.canvas
    middle = canvas.camera.to_shown((canvas.width() / 2, canvas.height() / 2))
    window.actual_size()
    assert canvas.camera.zoom * canvas.devicePixelRatioF() == 1.0
    after = canvas.camera.to_shown((canvas.width() / 2, canvas.height() / 2))
    assert after == pytest.approx(middle, abs=1.0)


@pytest.mark.parametrize("turns", [0, 1])
def test_the_grey_value_under_the_pointer_is_the_film_s_own(film, window, turns):
    """Value and film coordinates, also on a turned film; greys on the screen do not matter."""
    for _ in range(turns):
        window.turn_right()
    window.invert()
    x, y = 123, 234
    at = window.canvas.to_widget((x, y))
    move(window.canvas, at, Qt.MouseButton.NoButton)
    value, *place = map(int, re.findall(r"\d+", window.next_line.side.text()))
    assert place == [x, y] and value == film.pixels[y, x]


def test_off_the_film_there_is_no_grey_value(film, window):
    window.canvas.pan(window.canvas.width(), 0)
    move(window.canvas, QPointF(2, 2), Qt.MouseButton.NoButton)
    assert window.next_line.side.text() == ""


def recent(window):
    window._recent.aboutToShow.emit()
    return window._recent.actions()


def test_recent_films_are_listed_newest_first_and_open_again(film, hands, window):
    hands.open(SAMPLES / "alder.png")
    names = [action.text() for action in recent(window)]
    assert names == ["alder.png", "cedar.dcm"]
    window.new_case()
    recent(window)[1].trigger()
    hands.settle()
    assert window.desk.film.sha256 == film.sha256
    assert [action.text() for action in recent(window)] == ["cedar.dcm", "alder.png"]


def test_a_recent_film_that_is_gone_says_so(hands, window, tmp_path):
    path = tmp_path / "gone.png"
    shutil.copyfile(SAMPLES / "alder.png", path)
    hands.open(path)
    path.unlink()
    window.new_case()
    recent(window)[0].trigger()
    hands.settle()
    assert "there is no file gone.png" in window.notice.text and window.desk.film is None


def test_a_film_of_the_case_opened_again_is_shown_not_added(film, hands, window):
    """Its turns and marks are those of the case."""
    window.turn_right()
    window.desk.set_tooth("11")
    window.desk.place("apex", "single", (100.0, 120.0))
    hands.open(SAMPLES / "alder.png")
    hands.open(SAMPLES / "cedar.dcm")
    assert [f.name for f in window.desk.case.films] == ["cedar.dcm", "alder.png"]
    assert window.desk.entry.name == "cedar.dcm" and window.desk.turned.turns == 1
    assert window.desk.landmarks.get("apex", "single") == (100.0, 120.0)


def test_a_film_dropped_on_the_window_is_opened(hands, window):
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(SAMPLES / "elm.png"))])
    copy, left = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton
    none = Qt.KeyboardModifier.NoModifier
    enter = QDragEnterEvent(QPoint(300, 300), copy, data, left, none)
    QApplication.sendEvent(window, enter)
    assert enter.isAccepted()
    QApplication.sendEvent(window, QDropEvent(QPointF(300, 300), copy, data, left, none))
    hands.settle()
    assert window.desk.entry.name == "elm.png"


def test_copy_puts_the_picture_with_its_marks_on_the_clipboard(film, window):
    window.desk.set_tooth("11")
    window.desk.place("apex", "single", (film.width / 2, film.height / 3), lead=False)
    window.desk.select(None)
    window.copy_picture()
    with_mark = QApplication.clipboard().image()
    window.commands["marks"].trigger()
    window.copy_picture()
    without = QApplication.clipboard().image()
    assert with_mark.size() == without.size() == window.canvas.size()
    assert with_mark != without


def test_print_gives_the_film_and_the_record(film, hands, window, tmp_path):
    """A page with the film, at least one more with the record."""
    window.desk.set_tooth("11")
    window.desk.place("apex", "single", (film.width / 2, film.height / 3))
    hands.settle()
    path = tmp_path / "printed.pdf"
    printer = QPrinter()
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(path))
    print_page(window, printer)
    written = path.read_bytes()
    assert written.startswith(b"%PDF") and len(re.findall(rb"/Type /Page\b", written)) >= 2
    assert b"/Subtype /Image" in written


def test_the_original_is_untouched_by_everything_done_to_its_picture(film, window):
    raw, pixels = film.raw, film.pixels.copy()
    for act in ("turn_right", "mirror", "invert", "brighter", "harder", "gamma_up", "grey_fitted"):
        getattr(window, act)()
    entry = window.desk.entry
    assert window.desk.session.film_bytes(entry.film_id) == raw
    assert np.array_equal(window.desk.film.pixels, pixels)


@pytest.mark.parametrize("size", [1.0, 2.0])
def test_the_strip_s_films_leave_each_other_s_words_free(make_window, hands, qtbot, size):
    """The date stood below the next film's picture when a case was opened again."""
    from radmeasure.workflow.session import Session

    for name in ("ivy-plan.dcm", "ivy-post.dcm"):
        hands.open(SAMPLES / name)
    path = hands.window.desk.session.path
    hands.window.close()
    app = QApplication.instance()
    usual, font = app.font(), app.font()
    font.setPointSizeF(usual.pointSizeF() * size)
    app.setFont(font)
    try:
        strip = make_window(Session.open(path)).films
        qtbot.wait(100)
        first, second = (strip.visualItemRect(strip.item(i)) for i in (0, 1))
        lines = strip.fontMetrics().boundingRect(
            QRect(0, 0, first.width(), 1000),
            Qt.AlignmentFlag.AlignHCenter | Qt.TextFlag.TextWordWrap,
            strip.item(0).text(),
        )
        assert second.top() > first.top() + strip.iconSize().height() + lines.height()
        assert first.right() < strip.viewport().width()
        longest = max(strip.item(0).text().split(), key=len)
        assert strip.fontMetrics().horizontalAdvance(longest) < first.width() - 8
    finally:
        app.setFont(usual)


def test_a_second_film_is_as_large_as_the_strip_beside_it_lets_it(window, hands, qtbot):
    """The width was shared before the strip came: the film got less than when chosen later."""
    for name in ("ivy-plan.dcm", "ivy-post.dcm"):
        hands.open(SAMPLES / name)
    qtbot.wait(50)
    first = window.canvas.width()
    window.films.setCurrentRow(0)
    hands.settle()
    window.films.setCurrentRow(1)
    hands.settle()
    qtbot.wait(50)
    assert window.canvas.width() == first


def test_a_strip_put_away_stays_away(window, hands):
    """Turned off in the View menu it came back with the next film."""
    for name in ("ivy-plan.dcm", "ivy-post.dcm"):
        hands.open(SAMPLES / name)
    window.commands["film_strip"].trigger()
    window.commands["previous_film"].trigger()
    hands.settle()
    assert window.films.isHidden()
    window.commands["film_strip"].trigger()
    assert not window.films.isHidden()


def test_full_screen_gives_back_the_window_as_it_was(window, qtbot):
    """Maximised before, maximised after."""
    window.showMaximized()
    window.commands["full_screen"].trigger()
    assert window.isFullScreen()
    window.commands["full_screen"].trigger()
    assert not window.isFullScreen() and window.isMaximized()
