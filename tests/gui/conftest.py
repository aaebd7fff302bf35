"""Windows for the tests: own data folder and settings, no network of other tests, no Qt warning."""

import pytest
from PySide6.QtCore import QSettings
from window_hands import Hands

QUIET = (
    # The offscreen screen says this of every window; it means nothing.
    "This plugin does not support propagateSizeHints",
    "This plugin does not support raise",
    "This plugin does not support grabbing the keyboard",
)


def pytest_collection_modifyitems(items):
    """Any Qt warning fails a test of the window."""
    for item in items:
        if "tests/gui" in str(item.path):
            item.add_marker(pytest.mark.qt_log_level_fail("WARNING"))
            item.add_marker(pytest.mark.qt_log_ignore(*QUIET))


@pytest.fixture
def settings(tmp_path):
    """Settings of somebody who has started the program before."""
    found = QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat)
    found.setValue("cautions_read", "yes")
    return found


@pytest.fixture
def make_window(qtbot, quick_folder, settings, monkeypatch):
    """``make_window(session=None)`` gives a shown window with the rulebook read."""
    from radmeasure.gui.app import FirstPaint, application
    from radmeasure.gui.window import Window
    from radmeasure.workflow.session import Session

    monkeypatch.setenv("RADMEASURE_DATA", str(quick_folder))
    application()
    windows = []

    def make(session=None):
        window = Window(session or Session.create(), settings)
        windows.append(window)
        FirstPaint(window, window.after_first_paint)
        window.resize(1366, 768)
        with qtbot.waitExposed(window):
            window.show()
        with qtbot.waitActive(window, timeout=5000):
            window.activateWindow()
        qtbot.waitUntil(lambda: window.desk.rulebook is not None, timeout=10000)
        return window

    yield make
    for window in windows:
        if window.desk.session is not None:
            window.close()
        window.deleteLater()


@pytest.fixture
def window(make_window):
    return make_window()


@pytest.fixture
def hands(qtbot, window):
    """Mouse and keyboard on the window."""
    return Hands(qtbot, window)
