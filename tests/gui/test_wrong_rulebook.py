"""A practice's own rulebook that is wrong: refused, said for as long as it is wrong."""

from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QLabel
from window_hands import SAMPLES

from radmeasure.workflow.session import Session


def test_the_record_says_why_there_are_no_numbers(quick_folder, qtbot, monkeypatch, tmp_path):
    from radmeasure.gui.app import FirstPaint, application
    from radmeasure.gui.window import Window

    monkeypatch.setenv("RADMEASURE_DATA", str(quick_folder))
    (quick_folder / "rulebook.toml").write_text("[post.seal]\nvalue = -4.0\n")
    application()
    settings = QSettings(str(tmp_path / "s.ini"), QSettings.Format.IniFormat)
    settings.setValue("cautions_read", "yes")
    window = Window(Session.create(), settings)
    FirstPaint(window, window.after_first_paint)
    with qtbot.waitExposed(window):
        window.show()
    qtbot.waitUntil(lambda: window.desk.rules_trouble != "", timeout=10000)
    assert "post.seal" in window.notice.text
    window.opening.open([SAMPLES / "birch.png"])
    qtbot.waitUntil(lambda: window.desk.film_id is not None, timeout=10000)
    window.notice.hide()
    record = window.leaves.record
    told = " ".join(label.accessibleName() for label in record.findChildren(QLabel))
    assert "No numbers:" in told and "post.seal" in told and "rulebook.toml" in told
    window.close()
