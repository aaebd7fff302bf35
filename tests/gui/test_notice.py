"""What happened is said beside the film: the film never moves for it."""

from window_hands import SAMPLES


def test_words_and_questions_leave_the_film_where_it_is(window, hands, qtbot):
    hands.open(SAMPLES / "birch.png")
    qtbot.wait(50)
    window.notice.hide()
    qtbot.wait(20)
    place = window.canvas.geometry(), window.canvas.camera
    long = "something that takes more than one line to say. " * 12
    for words, trouble in (("said", False), (long, True)):
        window.desk.said.emit(words, trouble)
        qtbot.wait(30)
        assert window.notice.text == words
        assert (window.canvas.geometry(), window.canvas.camera) == place
        film = window.canvas.mapTo(window, window.canvas.rect().topRight()).x()
        assert window.notice.mapTo(window, window.notice.rect().topLeft()).x() > film
    window.desk.set_tooth("22")  # from a number to type to a place to click
    qtbot.wait(30)
    assert (window.canvas.geometry(), window.canvas.camera) == place


def test_a_notice_keeps_off_the_film_when_the_strip_of_films_comes(window, hands, qtbot):
    """The strip moves the film aside while a notice lies there: it follows."""
    window.desk.said.emit("something", True)
    for name in ("ivy-plan.dcm", "ivy-post.dcm"):
        hands.open(SAMPLES / name)
    qtbot.wait(50)
    film = window.canvas.mapTo(window, window.canvas.rect().topRight()).x()
    assert window.notice.text
    assert window.notice.mapTo(window, window.notice.rect().topLeft()).x() > film


def test_trouble_stays_until_the_next_act_and_follows_the_window(window, hands, qtbot):
    hands.open(SAMPLES / "birch.png")
    window.desk.said.emit("trouble", True)
    window.desk.said.emit("merely this", False)
    assert window.notice.text == "trouble"
    window.resize(1500, 900)
    qtbot.wait(50)
    foot = window.notice.geometry().bottom()
    assert abs(foot - window.split.geometry().bottom()) <= 1
    window.notice.settle()
    assert window.notice.text == ""
