"""The window: film, record, jobs along the top, the next thing at the bottom."""

import os

from PySide6.QtCore import QSettings, QSize, Qt, QTimer
from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import (
    QApplication,
    QFileDialog,
    QMainWindow,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from radmeasure.gui import theme as themes
from radmeasure.gui.background import Background
from radmeasure.gui.canvas import Canvas
from radmeasure.gui.commands import Commands
from radmeasure.gui.desk import Desk
from radmeasure.gui.entering import enter
from radmeasure.gui.job_strip import JobStrip
from radmeasure.gui.jobs import JOBS
from radmeasure.gui.level_panel import LevelPanel
from radmeasure.gui.next_line import NextLine, Notice
from radmeasure.gui.opening import CASE_SUFFIX, Opening
from radmeasure.gui.record_card import RecordCard
from radmeasure.gui.suggesting import Suggesting
from radmeasure.gui.wording import root_choices, translate

RECENT = 10


class Window(QMainWindow):
    """The main window; owns the desk."""

    def __init__(self, session, settings=None):
        super().__init__()
        self.settings = settings or QSettings("radmeasure", "radmeasure")
        self.background = Background(self, threads=2)
        self.desk = Desk(self.background, self)
        self.opening = Opening(self.desk, self)
        self.suggesting = Suggesting(self.desk, self)
        self.theme = themes.THEMES.get(
            str(self.settings.value("theme", "")), themes.THEMES[themes.DEFAULT]
        )
        self._build()
        self.commands = Commands(self, self.canvas)
        self._connect()
        self._apply_theme()
        self.setAcceptDrops(True)
        self._restore()
        self.desk.begin(session)
        self.canvas.setFocus()

    # -- building -----------------------------------------------------------------------------
    def _build(self):
        self.canvas = Canvas(self.desk)
        self.levels = LevelPanel(self.desk)
        self.card = RecordCard(self.desk, self.theme)
        self.strip = JobStrip(self.desk)
        self.next_line = NextLine(self.desk)
        self.notice = Notice()
        self.split = QSplitter(Qt.Orientation.Horizontal, objectName="split")
        self.split.setHandleWidth(6)
        self.split.addWidget(self.canvas)
        self.split.addWidget(self.levels)
        self.split.addWidget(self.card)
        self.split.setStretchFactor(0, 1)
        self.split.setStretchFactor(1, 0)
        self.split.setStretchFactor(2, 0)
        middle = QWidget()
        column = QVBoxLayout(middle)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for widget, stretch in (
            (self.strip, 0),
            (self.split, 1),
            (self.notice, 0),
            (self.next_line, 0),
        ):
            column.addWidget(widget, stretch)
        self.setCentralWidget(middle)

    def sizeHint(self):
        return QSize(1280, 760)

    def _connect(self):
        desk = self.desk
        desk.said.connect(self.notice.say)
        desk.want_changed.connect(self.notice.settle)
        desk.session_changed.connect(self._case_changed)
        desk.want_changed.connect(self._enable)
        self.strip.job_chosen.connect(desk.set_job)
        self.card.asked_for.connect(self._ask_for)
        self.next_line.typed.connect(self._typed)
        self.next_line.chosen.connect(self._choose)
        self.canvas.pointed.connect(self._pointed)
        self.opening.opened.connect(self._opened)

    def _restore(self):
        geometry = self.settings.value("geometry")
        if geometry is not None:
            self.restoreGeometry(geometry)
        split = self.settings.value("split")
        if split is not None:
            self.split.restoreState(split)
        else:
            self.split.setSizes([600, 350, 400])

    def _apply_theme(self):
        app = QApplication.instance()
        app.setPalette(themes.palette(self.theme))
        app.setStyleSheet(themes.style_sheet(self.theme))
        self.card.setPalette(themes.paper_palette(self.theme))
        self.card.set_theme(self.theme)

    def fill_menu(self, name, menu):
        """Sub-menus the command table cannot list."""
        if name == "recent":
            self._recent = menu.addMenu(self.tr("Recent"))
            self._recent.aboutToShow.connect(self._fill_recent)
        elif name == "themes":
            self._fill_themes(menu.addMenu(self.tr("Colours")))

    def _fill_themes(self, menu):
        group = QActionGroup(self)
        for key, theme in themes.THEMES.items():
            action = QAction(translate("Theme", theme.title), self, checkable=True)
            action.setChecked(theme is self.theme)
            action.triggered.connect(lambda _=False, key=key: self.set_theme(key))
            group.addAction(action)
            menu.addAction(action)

    def set_theme(self, key):
        self.theme = themes.THEMES[key]
        self.settings.setValue("theme", key)
        self._apply_theme()

    # -- what is entered ------------------------------------------------------------------------
    def _typed(self, text):
        enter(self.desk, text)
        if not self.next_line.asks_text:
            self.canvas.setFocus()

    def _choose(self, index):
        want = self.desk.want
        if want is not None and want.kind == "roots":
            found = root_choices(self.desk.tooth)
            if index < len(found):
                self.desk.set_roots(found[index][1])
        self.canvas.setFocus()

    def _ask_for(self, name, root):
        self.desk.choose(name, root)
        (self.next_line.entry if self.next_line.asks_text else self.canvas).setFocus()

    def keyPressEvent(self, event):
        """A digit over the film begins what is to be typed, or makes the choice asked for."""
        text = event.text()
        want = self.desk.want
        if text.isdigit() and want is not None:
            if self.next_line.asks_text:
                self.next_line.begin(text)
                return
            if want.kind == "roots":
                self._choose(int(text) - 1)
                return
        super().keyPressEvent(event)

    def _pointed(self, found):
        text = "" if found is None else self.tr("{2} at {0}, {1}").format(*found)
        self.next_line.side.setText(text)

    # -- case -----------------------------------------------------------------------------------
    def open(self):
        dialog = QFileDialog(self, self.tr("Open film or case"))
        dialog.setFileMode(QFileDialog.FileMode.ExistingFiles)
        dialog.setNameFilters(
            [
                self.tr("Films and cases")
                + f" (*.dcm *.png *.tif *.tiff *.jpg *.jpeg *{CASE_SUFFIX})",
                self.tr("All files") + " (*)",
            ]
        )
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.filesSelected.connect(self.opening.open)
        dialog.open()

    def new_case(self):
        from radmeasure.workflow.session import Session

        session = self.desk.do(Session.create)
        if session is not None:
            self.desk.begin(session)

    def save_as(self):
        self._name_file(self.tr("Keep the case as"), self._saved_as)

    def save_copy(self):
        self._name_file(self.tr("Save a copy of the case"), self._saved_copy)

    def _name_file(self, title, then):
        dialog = QFileDialog(self, title)
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.setDefaultSuffix(CASE_SUFFIX.lstrip("."))
        dialog.selectFile(self.desk.session.suggested_name)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.fileSelected.connect(then)
        dialog.open()

    def _saved_as(self, path):
        self.desk.do(self.desk.session.save_as, path, True)

    def _saved_copy(self, path):
        if self.desk.do(self.desk.session.save_copy, path, True) is None:
            self.desk.said.emit(self.tr("Copy saved: {0}").format(os.path.basename(path)), False)

    def write_pdf(self):
        pass

    def print_page(self):
        pass

    def undo(self):
        self.desk.undo()

    def redo(self):
        self.desk.redo()

    def quit(self):
        self.close()

    def _case_changed(self):
        self.setWindowTitle(f"{self.desk.session.title} – radmeasure")

    def _opened(self, path):
        recent = [path, *(p for p in self._recent_paths() if p != path)][:RECENT]
        self.settings.setValue("recent", recent)

    def _recent_paths(self):
        found = self.settings.value("recent") or []
        return [found] if isinstance(found, str) else list(found)

    def _fill_recent(self):
        self._recent.clear()
        for path in self._recent_paths():
            action = self._recent.addAction(os.path.basename(path))
            action.setToolTip(path)
            action.triggered.connect(lambda _=False, path=path: self.opening.open([path]))

    # -- jobs -----------------------------------------------------------------------------------
    def job_1(self):
        self.desk.set_job(JOBS[0].id)

    def job_2(self):
        self.desk.set_job(JOBS[1].id)

    def job_3(self):
        self.desk.set_job(JOBS[2].id)

    def job_4(self):
        self.desk.set_job(JOBS[3].id)

    def job_5(self):
        self.desk.set_job(JOBS[4].id)

    def job_6(self):
        self.desk.set_job(JOBS[5].id)

    def ask_tooth(self):
        self._ask_for("tooth", None)

    def ask_roots(self):
        self._ask_for("roots", None)

    def ask_scale(self):
        self._ask_for("scale", None)

    # -- marks ----------------------------------------------------------------------------------
    def keep(self):
        if not self.canvas.hand.place_at_cursor():
            self.desk.keep()

    def keep_all(self):
        self.desk.accept_all()

    def skip(self):
        self.desk.skip()

    def remove(self):
        self.desk.remove()

    def next_mark(self):
        self.desk.step(1)

    def previous_mark(self):
        self.desk.step(-1)

    def suggest(self):
        self.suggesting.start()

    def swap_sides(self):
        self.desk.swap_sides()

    # -- view -----------------------------------------------------------------------------------
    def fit(self):
        self.canvas.fit()

    def actual_size(self):
        self.canvas.actual_size()

    def zoom_in(self):
        self.canvas.zoom_by(1.25)

    def zoom_out(self):
        self.canvas.zoom_by(0.8)

    def _grey(self, change):
        if self.canvas.grey is not None:
            self.canvas.set_grey(change(self.canvas.grey))

    def _shift_grey(self, brighter, wider):
        def change(grey):
            low, high = grey.bounds
            return grey.shifted(brighter * (high - low), wider)

        self._grey(change)

    def brighter(self):
        self._shift_grey(0.04, 1.0)

    def darker(self):
        self._shift_grey(-0.04, 1.0)

    def harder(self):
        self._shift_grey(0.0, 0.9)

    def softer(self):
        self._shift_grey(0.0, 1 / 0.9)

    def gamma_up(self):
        self._grey(lambda grey: grey.with_gamma(1.1))

    def gamma_down(self):
        self._grey(lambda grey: grey.with_gamma(1 / 1.1))

    def grey_fitted(self):
        self.canvas.grey_fitted()

    def grey_as_opened(self):
        self.canvas.grey_as_opened()

    def invert(self, on):
        from dataclasses import replace

        self._grey(lambda grey: replace(grey, inverted=on))

    def turn_right(self):
        self.desk.turn(1)

    def turn_left(self):
        self.desk.turn(-1)

    def mirror(self):
        self.desk.turn(mirror=True)

    def labels(self, on):
        self.canvas.overlay.show_labels = not on
        self.canvas.update()

    def copy_picture(self):
        QApplication.clipboard().setPixmap(self.canvas.picture_of())

    def full_screen(self, on):
        self.showFullScreen() if on else self.showNormal()

    # -- help -----------------------------------------------------------------------------------
    def command_list(self):
        pass

    def shortcut_sheet(self):
        pass

    def cautions(self):
        pass

    def _enable(self):
        session = self.desk.session
        if session is None:
            return
        self.commands["undo"].setEnabled(session.can_undo)
        self.commands["redo"].setEnabled(session.can_redo)

    # -- drag and drop --------------------------------------------------------------------------
    def dragEnterEvent(self, event):
        if event.mimeData().hasUrls():
            event.acceptProposedAction()

    def dropEvent(self, event):
        paths = [u.toLocalFile() for u in event.mimeData().urls() if u.isLocalFile()]
        if paths:
            event.acceptProposedAction()
            self.opening.open(paths)

    # -- beginning and end ------------------------------------------------------------------------
    def after_first_paint(self):
        """What need not hold up the first picture."""
        QTimer.singleShot(0, self._load_rules)

    def _load_rules(self):
        task = self.background.start(_rules)
        task.finished.connect(lambda found: self.desk.use_rules(*found))
        task.failed.connect(lambda error: self.notice.say(str(error), True))

    def closeEvent(self, event):
        self.settings.setValue("geometry", self.saveGeometry())
        self.settings.setValue("split", self.split.saveState())
        self.suggesting.cancel()
        self.background.shutdown()
        self.desk.end()
        super().closeEvent(event)


def _rules(report):
    from radmeasure.workflow.evaluate import evaluate  # noqa: F401  loaded beside
    from radmeasure.workflow.rulebook import load_post_sizes, load_rulebook

    return load_rulebook(), load_post_sizes()
