"""Where the keys go: found by working the real window by hand, with and without a mouse."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QPushButton
from small_film import SMALL
from window_hands import SAMPLES, Hands


def focus():
    return QApplication.focusWidget()


def button(part, words):
    return next(b for b in part.findChildren(QPushButton) if words in b.text())


def alder(hands, window):
    window.suggesting.automatic = False
    hands.open(SAMPLES / "alder.dcm")
    hands.type("21")


def test_the_first_start_takes_the_whole_screen(make_window, settings):
    """Later ones come up as they were left (a film wants all the room there is)."""
    window = make_window()
    window.come_up()
    assert window.isMaximized()
    window.showNormal()
    window.resize(1100, 700)
    window.close()
    again = make_window()
    again.hide()
    again.come_up()
    assert not again.isMaximized()


def test_tab_goes_through_the_start_as_it_is_read(make_window, qtbot):
    """The cases to go on with stand above the samples; Tab came to them after all samples."""
    first = make_window()
    qtbot.waitUntil(lambda: first.practice is not None, timeout=10000)
    alder(Hands(qtbot, first), first)
    first.close()
    window = make_window()
    qtbot.waitUntil(lambda: window.practice is not None, timeout=10000)
    qtbot.waitUntil(
        lambda: any(
            b.isVisible() and "tooth 11" in b.text()
            for b in window.welcome.findChildren(QPushButton)
        ),
        timeout=5000,
    )
    button(window.welcome, "Open").setFocus()
    seen = [focus().text()]
    for _ in range(3):
        qtbot.keyClick(focus(), Qt.Key.Key_Tab)
        seen.append(focus().text())
    assert [words.split()[0] for words in seen] == ["Open", "Three-minute", "tooth", "Alder:"]


@pytest.mark.parametrize("key", [Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space])
def test_enter_presses_the_button_that_has_the_focus(window, qtbot, key):
    """Over the film Enter keeps a mark; on a button it means the button."""
    alder = button(window.welcome, "Alder")
    alder.setFocus()
    qtbot.keyClick(alder, key)
    Hands(qtbot, window).settle()
    assert window.desk.film is not None and window.desk.job.id == "length check"


def test_enter_presses_a_button_on_a_page(make_window, settings, qtbot):
    settings.remove("cautions_read")
    window = make_window()
    understood = button(window.leaves.page("help"), "Understood")
    understood.setFocus()
    qtbot.keyClick(understood, Qt.Key.Key_Return)
    assert settings.value("cautions_read") == "yes" and focus() is window.canvas


def test_a_film_opened_from_the_start_has_the_keys(window, hands, qtbot):
    """They went to the tabs of the jobs, where an arrow takes up another job."""
    alder = button(window.welcome, "Alder")
    alder.setFocus()
    alder.click()
    hands.settle()
    assert focus() is window.canvas


def test_what_is_closed_hands_the_keys_to_the_film(window, hands, qtbot):
    alder(hands, window)
    window.desk.said.emit("trouble", True)
    close = button(window.notice, "Close")
    qtbot.mouseClick(close, Qt.MouseButton.LeftButton)
    assert focus() is window.canvas
    window.desk.said.emit("trouble", True)
    close.setFocus()
    window.notice.settle()
    assert focus() is window.canvas
    window.tour.begin()
    end = button(window.tour, "End")
    end.setFocus()
    qtbot.keyClick(end, Qt.Key.Key_Return)
    assert not window.tour.running and focus() is window.canvas


def test_the_strip_shows_the_film_and_leaves_the_keys_alone(window, hands, qtbot):
    """Two films opened: the second is marked; a film chosen there is answered by keys at once."""
    for name in ("ivy-plan.dcm", "ivy-post.dcm"):
        hands.open(SAMPLES / name)
    strip, desk = window.films, window.desk
    marked = strip.currentItem()
    assert marked is not None and marked.data(Qt.ItemDataRole.UserRole) == desk.film_id
    window.canvas.setFocus()
    first = strip.visualItemRect(strip.item(0)).center()
    qtbot.mouseClick(strip.viewport(), Qt.MouseButton.LeftButton, pos=first)
    hands.settle()
    assert desk.entry.name == "ivy-plan.dcm"
    desk.choose("technique")
    hands.key(Qt.Key.Key_1)
    assert desk.landmarks.given["technique"] == "paralleling"
    desk.choose("technique")
    strip.setFocus()
    hands.key(Qt.Key.Key_2)
    assert desk.landmarks.given["technique"] == "bisecting"


def test_the_line_s_keys_hold_while_the_record_is_read(window, hands):
    """Enter keeps and Backspace skips, as the line says, after a click on the record or chart."""
    alder(hands, window)
    desk = window.desk
    assert desk.want.name == "coronal_reference"
    window.suggesting.automatic = True
    hands.click((340, 704))
    hands.click((341, 180))
    hands.settle()
    for part in (window.leaves.record, window.levels.chart):
        want = desk.want
        assert desk.value(*want.key)[1] == "suggested"
        part.setFocus()
        hands.key(Qt.Key.Key_Return)
        assert desk.value(*want.key)[1] == "there"
    want = desk.want
    window.leaves.record.setFocus()
    hands.key(Qt.Key.Key_Backspace)
    assert want.key in desk.skipped and desk.want != want


def test_a_lost_crown_s_edge_is_not_asked_for_again(window, hands):
    """Skipped for the margins in one job, it was asked for in the next, and after reopening."""
    window.suggesting.automatic = False
    hands.open(SAMPLES / "birch.png")
    desk = window.desk
    desk.set_tooth("22")
    marks = hands.take_marks("birch", "22")
    assert marks.get("coronal_reference") is None
    for job in ("filling check", "post plan"):
        desk.set_job(job)
        assert desk.want is None or desk.want.name != "coronal_reference", job
    desk.remove("margin_distal")
    desk.lead()
    assert desk.want.name == "coronal_reference"  # one margin says nothing of the crown


def test_undo_asks_for_what_it_took_away(window, hands, qtbot):
    """A reference put in the wrong place, taken back, and put right: not an apex at the crown."""
    alder(hands, window)
    assert window.desk.want.name == "coronal_reference"
    hands.click((300, 400))
    assert window.desk.want.name == "apex"
    window.commands["undo"].trigger()
    assert window.desk.want.name == "coronal_reference"
    hands.click((340, 704))
    hands.settle()
    placed = {name for _, name, _ in window.desk.landmarks.placed()}
    assert placed == {"coronal_reference"} and window.desk.want.name == "apex"


def test_undo_of_a_typed_number_asks_for_it_again(window, hands):
    alder(hands, window)
    window.commands["undo"].trigger()
    assert window.desk.want.name == "file_length_mm"


def test_undo_of_a_balls_size_asks_for_it_again(window, hands):
    """A slip of the key (15 for 5) is typed anew; the ball need not be clicked again."""
    hands.open(SAMPLES / "fir.dcm")
    hands.key(Qt.Key.Key_3)
    hands.settle()
    desk = window.desk
    assert desk.pending is not None
    ball = desk.pending
    hands.type("15")
    assert desk.pending is None
    window.commands["undo"].trigger()
    assert desk.pending == ball and desk.want.kind == "scale"
    hands.type("5")
    (entry,) = desk.landmarks.scale
    assert entry.diameter_mm == 5.0


def test_page_up_goes_back_from_the_end_of_a_job(window, hands):
    """With all in place it asked for a film to be opened, though one was."""
    alder(hands, window)
    desk = window.desk
    hands.take_marks("alder", "11")
    desk.lead()
    hands.settle()
    assert desk.want is None
    window.canvas.setFocus()
    hands.key(Qt.Key.Key_PageUp)
    assert desk.want.placeable
    last = desk.want
    for _ in range(60):
        hands.key(Qt.Key.Key_PageUp)
        assert desk.want.kind not in ("film", "tooth", "roots")
        if desk.want == last:
            break
    else:
        raise AssertionError("it does not go round")


def test_a_synthetic_film_that_is_made_has_the_keys(window, hands):
    """They stayed with the form: Enter would have drawn another case over the recipe."""
    window.commands["new_synthetic"].trigger()
    form = window.leaves.page("synthetic")
    form.make.setFocus()
    hands.draw(form, SMALL)
    assert focus() is window.canvas
