"""The window: film, level chart and record, jobs along the top, the next thing at the bottom."""

import gc

from PySide6.QtCore import QSettings, QSize, Qt, QTimer
from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import (
    QApplication,
    QMainWindow,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from radmeasure.gui import theme as themes
from radmeasure.gui.background import Background
from radmeasure.gui.canvas import Canvas
from radmeasure.gui.case_commands import CaseCommands
from radmeasure.gui.class_commands import ClassCommands
from radmeasure.gui.commands import Commands
from radmeasure.gui.desk import Desk
from radmeasure.gui.entering import choose, enter
from radmeasure.gui.exhibit import Exhibit, Link
from radmeasure.gui.film_strip import FilmStrip
from radmeasure.gui.help_commands import HelpCommands
from radmeasure.gui.job_strip import JobStrip
from radmeasure.gui.language import SETTING, choices
from radmeasure.gui.leaves import Leaves
from radmeasure.gui.level_panel import LevelPanel
from radmeasure.gui.mark_commands import MarkCommands
from radmeasure.gui.next_line import NextLine, Notice
from radmeasure.gui.opening import Opening
from radmeasure.gui.referencing import Referencing
from radmeasure.gui.second_window import SecondWindow
from radmeasure.gui.share_commands import ShareCommands
from radmeasure.gui.suggesting import Suggesting
from radmeasure.gui.synth_commands import SynthCommands
from radmeasure.gui.tour import Tour
from radmeasure.gui.view_commands import ViewCommands
from radmeasure.gui.welcome import Welcome
from radmeasure.gui.where_it_was import WhereItWas
from radmeasure.gui.wording import translate
from radmeasure.reports.words import error_text, translated

# Raised when the parts of the window change, so that an older layout is not put back.
LAYOUT = 2
ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class Window(
    CaseCommands,
    ShareCommands,
    MarkCommands,
    ViewCommands,
    SynthCommands,
    ClassCommands,
    HelpCommands,
    QMainWindow,
):
    """The main window; owns the desk.

    Parameters
    ----------
    session : Session
        The case it begins with; the window closes it.
    settings : QSettings, optional
    """

    def __init__(self, session, settings=None):
        super().__init__()
        self.settings = settings or QSettings("radmeasure", "radmeasure")
        self.background = Background(self, threads=2)
        self.desk = Desk(self.background, self)
        self.opening = Opening(self.desk, self)
        self.suggesting = Suggesting(self.desk, self)
        self.referencing = Referencing(self.desk, self)
        self.second_window = SecondWindow(self.desk, self)
        self.practice = self._listing = None
        self.beside = self.exhibit = self.link = self.teaching = None
        self._commands_found = self._truth_for = None
        self._moved_by_hand = False
        self._as_left = False  # where and as large as it was at the end of the last session
        name = str(self.settings.value("theme", ""))
        self.theme = themes.THEMES.get(name, themes.THEMES[themes.DEFAULT])
        self._build()
        self.commands = Commands(self, self.canvas)
        self._connect()
        self.where_it_was = WhereItWas(self.desk, self.canvas, self.leaves, self)
        self._apply_theme()
        self.setAcceptDrops(True)
        self._restore()
        self.desk.begin(session)
        self.welcome.follow()
        self.cautions_once()
        self.canvas.setFocus()

    # -- building -----------------------------------------------------------------------------
    def _build(self):
        self.canvas = Canvas(self.desk)
        self.desk.film_changed.connect(self._film_first)  # before all that is built below
        self.levels = LevelPanel(self.desk)
        self.films = FilmStrip(self.desk)
        self.leaves = Leaves(self, self.theme)
        self.strip = JobStrip(self.desk)
        self.tour = Tour(self)
        self.next_line = NextLine(self.desk)
        self.welcome = Welcome(self, self.canvas)
        self.split = QSplitter(Qt.Orientation.Horizontal, objectName="split")
        self.split.setHandleWidth(6)
        self.split.setChildrenCollapsible(False)
        for i, (part, stretch) in enumerate(
            ((self.films, 0), (self.canvas, 3), (self.levels, 1), (self.leaves, 1))
        ):
            self.split.addWidget(part)
            self.split.setStretchFactor(i, stretch)
        middle = QWidget()
        column = QVBoxLayout(middle)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for widget, stretch in (
            (self.strip, 0),
            (self.tour, 0),
            (self.split, 1),
            (self.next_line, 0),
        ):
            column.addWidget(widget, stretch)
        self.notice = Notice(middle, self._beside_film, self.canvas)
        self.setCentralWidget(middle)

    def _beside_film(self):
        """What is not the film: where notices lie."""
        room = self.split.geometry()
        parts = [p for p in (self.levels, self.leaves) if p.isVisible()]
        left = min((p.x() for p in parts), default=room.width() // 2)
        return room.adjusted(left, 0, 0, 0)

    def sizeHint(self):
        return QSize(1280, 760)

    def _film_first(self):
        """Give a film its room and paint it; what is said of it follows."""
        said = (self.levels, self.leaves)
        for part in said:
            part.setUpdatesEnabled(False)
        self.welcome.follow()
        self.share_width()
        self.where_it_was.put_back()
        if self.desk.evaluation is None:  # a film only turned has its numbers already
            self.canvas.show_now()
        for part in said:
            part.setUpdatesEnabled(True)

    def _connect(self):
        desk = self.desk
        desk.said.connect(self.notice.say)
        desk.session_changed.connect(self._case_changed)
        desk.ending.connect(self._unlist_case)
        desk.film_changed.connect(lambda: self._pointed(None))
        self.split.splitterMoved.connect(self._splitter_moved)
        desk.want_changed.connect(self._follow_desk)
        desk.want_changed.connect(self._follow_truth)
        desk.want_changed.connect(self.tour.look)
        desk.chart_changed.connect(self.tour.look)
        desk.chart_changed.connect(self._hold_collector)
        desk.evaluated.connect(self.tour.look)
        desk.placed.connect(self.notice.settle)
        self.films.film_chosen.connect(desk.show_film)
        self.films.appeared.connect(self.share_width)
        self.films.beside_chosen.connect(self.show_film_beside)
        self.strip.job_chosen.connect(desk.set_job)
        self.leaves.record.why_changed.connect(self.tour.look)
        self.next_line.typed.connect(self._typed)
        self.next_line.chosen.connect(self._choose)
        self.canvas.pointed.connect(self._pointed)
        self.canvas.resized.connect(self.welcome.follow)
        # The strip of films came or went; where chart and record lie is known a moment later.
        self.canvas.resized.connect(lambda: QTimer.singleShot(0, self.notice.lie_down))
        self.opening.opened.connect(self._opened)
        self.opening.changed.connect(self.welcome.follow)

    def _restore(self):
        if self.settings.value("layout") != str(LAYOUT):
            return
        geometry = self.settings.value("geometry")
        self._as_left = geometry is not None and self.restoreGeometry(geometry)
        split = self.settings.value("split")
        if split is not None:
            self._moved_by_hand = self.split.restoreState(split)

    def come_up(self):
        """Show it as it was left; the first time on the whole screen, for the film's sake."""
        if self._as_left:
            self.show()
        else:
            self.showMaximized()

    def showEvent(self, event):
        super().showEvent(event)
        self.share_width()

    def resizeEvent(self, event):
        super().resizeEvent(event)
        self.share_width()
        self.notice.lie_down()

    def _splitter_moved(self):
        self._moved_by_hand = True
        self.notice.lie_down()

    def share_width(self):
        """The film gets the width its shape needs; chart and record share the rest."""
        if self._moved_by_hand or not self.isVisible():
            return
        em = self.fontMetrics().averageCharWidth()
        strip = self.films.width() if self.films.isVisible() else 0
        total = self.split.width() - strip
        seen = [c for c in (self.canvas, self.beside) if c is not None and c.isVisible()]
        # With large letters the film still gets more than a third.
        record = min(max(58 * em, round(0.24 * total)), round(0.35 * total))
        chart = min(max(54 * em, round(0.22 * total)), round(0.28 * total))
        chart *= self.levels.isVisible()
        most = max((total - record - chart) // len(seen), 240)
        # Without a film there is room for a usual one, so that nothing moves when it comes.
        wide, high = self.desk.turned.size if self.desk.turned is not None else (3, 4)
        film = min(max(round(self.split.height() * wide / high) + 24, 320), most)
        rest = total - film * len(seen) - record - chart
        if chart:
            chart += rest // 2
        record = total - film * len(seen) - chart
        widths = {self.films: strip, self.levels: chart, self.leaves: record}
        parts = [self.split.widget(i) for i in range(self.split.count())]
        self.split.setSizes([widths.get(part, film) for part in parts])

    def fill_menu(self, name, menu):
        """Sub-menus the command table cannot list."""
        if name == "recent":
            self._recent = menu.addMenu(self.tr("Recent"))
            self._recent.aboutToShow.connect(self._fill_recent)
        elif name == "samples":
            self._samples = menu.addMenu(self.tr("Samples"))
            self._samples.aboutToShow.connect(self._fill_samples)
        elif name == "themes":
            self._fill_themes(menu.addMenu(self.tr("Colours")))
        elif name == "languages":
            self._fill_languages(menu.addMenu(self.tr("Language")))

    def _fill_themes(self, menu):
        group = QActionGroup(self)
        for key, theme in themes.THEMES.items():
            action = QAction(translate("Theme", theme.title), self, checkable=True)
            action.setChecked(theme is self.theme)
            action.triggered.connect(lambda _=False, key=key: self.set_theme(key))
            group.addAction(action)
            menu.addAction(action)

    def _fill_languages(self, menu):
        group = QActionGroup(self)
        now = str(self.settings.value(SETTING, ""))
        for code, name in (("", self.tr("As the system")), *choices()):
            action = QAction(name, self, checkable=True)
            action.setChecked(code == now)
            action.triggered.connect(lambda _=False, code=code: self.set_language(code))
            group.addAction(action)
            menu.addAction(action)

    def set_language(self, code):
        """Speak another language from the next start on; '' follows the system."""
        self.settings.setValue(SETTING, code)
        said = self.tr("The language changes when the program is started again.")
        self.desk.said.emit(said, False)

    def set_theme(self, key):
        self.theme = themes.THEMES[key]
        self.settings.setValue("theme", key)
        self._apply_theme()

    def _apply_theme(self):
        app = QApplication.instance()
        app.setPalette(themes.palette(self.theme))
        app.setStyleSheet(themes.style_sheet(self.theme))
        self.levels.chart.set_theme(self.theme.chart)
        self.leaves.set_theme(self.theme)

    def _make_beside(self):
        self.exhibit = Exhibit(self.desk, self)
        self.beside = Canvas(self.exhibit)
        self.beside.setAccessibleName(self.tr("Film beside"))
        self.beside.overlay.show_labels = self.canvas.overlay.show_labels
        self.beside.hide()
        self.split.insertWidget(1, self.beside)
        self.link = Link(self.canvas, self.beside)
        self.link.on = self.commands["link_views"].isChecked()
        for action in self.canvas.actions():
            self.beside.addAction(action)

    # -- what is entered ------------------------------------------------------------------------
    def _typed(self, text):
        self.notice.settle()
        enter(self.desk, text)
        if not self.next_line.asks_text:
            self.canvas.setFocus()

    def _choose(self, index):
        choose(self.desk, index)
        self.canvas.setFocus()

    def keyPressEvent(self, event):
        """A digit over the film begins what is to be typed, or makes the choice asked for."""
        text = event.text()
        want = self.desk.want
        focused = QApplication.focusWidget()
        if event.key() in ENTER and isinstance(focused, QPushButton):
            focused.click()  # as Space does
            return
        # What the line at the bottom says of these keys holds beside the film, too.
        if event.key() in ENTER and focused in (self.leaves.record, self.levels.chart):
            self.keep()
            return
        if event.key() == Qt.Key.Key_Backspace and focused is self.leaves.record:
            self.skip()
            return
        if text and text.isdecimal() and want is not None:
            if self.next_line.asks_text:
                self.next_line.begin(text)
                return
            if self.next_line.offers_choice:
                self._choose(int(text) - 1)
                return
        super().keyPressEvent(event)

    def _pointed(self, found):
        text = "" if found is None else self.tr("{2} at {0}, {1}").format(*found)
        self.next_line.side.setText(text)

    # -- following the desk -----------------------------------------------------------------------
    def _case_changed(self):
        self.setWindowTitle(f"{translated(self.desk.session.title)} – radmeasure")
        if self.practice is not None:
            self._list_case()
        self._put_beside_away()
        self._follow_desk()

    def _follow_desk(self):
        session = self.desk.session
        if session is None:
            return
        film = self.desk.film_id is not None
        for id_, on in (
            ("undo", session.can_undo),
            ("redo", session.can_redo),
            ("take_over", session.read_only),
            ("remove_film", film),
            ("write_pdf", bool(self.desk.case.charts)),
            ("write_dicom", bool(self.desk.case.charts)),
            ("teaching_copy", bool(self.desk.case.films)),
            ("print_page", film),
            ("copy_picture", film),
            ("keep_all", self.desk.suggested is not None),
            ("no_suggestions", self.desk.suggested is not None),
        ):
            self.commands[id_].setEnabled(bool(on))

    def _list_case(self):
        from radmeasure.workflow.practice import Listing

        if self._listing is None:
            self._listing = Listing(self.desk.session, self.practice)

    def _unlist_case(self):
        if self._listing is not None:
            self._listing.stop()
            self._listing = None

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
        gc.disable()  # looking through all that is being loaded takes 40 ms a time
        task = self.background.start(_rules)
        task.finished.connect(lambda found: self.desk.use_rules(*found))
        task.failed.connect(self._rules_failed)
        self.background.start(_decoders)
        QTimer.singleShot(400, self._take_practice_list)
        QTimer.singleShot(400, self._load_tracers)

    def _hold_collector(self):
        """Python's collector finds nothing while a hand moves, and takes 1 ms every tenth move."""
        if self.desk.preview is not None:
            gc.disable()
        elif gc.get_freeze_count():  # what was loaded at the start is set aside
            gc.enable()

    def _rules_failed(self, error):
        """Without rules there are no numbers; the record says why until it is mended."""
        self.desk.rules_trouble = error_text(error)
        self._say_failed(error)
        self.desk.evaluated.emit()

    def _take_practice_list(self):
        from radmeasure.workflow.practice import open_practice_list

        task = self.background.start(lambda report: open_practice_list())
        task.finished.connect(self._have_practice_list)
        task.failed.connect(self._say_failed)

    def _load_tracers(self):
        if self.opening.busy:
            QTimer.singleShot(100, self._load_tracers)
            return
        self.background.start(_tracers).done.connect(_keep_for_good)

    def _have_practice_list(self, practice):
        self.practice = practice
        if self.desk.session is not None:
            self._list_case()
        self.welcome.follow()

    def closeEvent(self, event):
        self.settings.setValue("layout", str(LAYOUT))
        self.settings.setValue("geometry", self.saveGeometry())
        if self._moved_by_hand:
            self.settings.setValue("split", self.split.saveState())
        self.suggesting.cancel()
        self.background.shutdown()
        gc.enable()
        self.desk.end()
        if self.practice is not None:
            self.practice.close()
            self.practice = None
        super().closeEvent(event)


def _rules(report):
    from radmeasure.workflow.evaluate import evaluate  # noqa: F401  loaded beside
    from radmeasure.workflow.rulebook import load_post_sizes, load_rulebook

    return load_rulebook(), load_post_sizes()


def _decoders(report):
    from radmeasure.workflow.films import load_decoders

    load_decoders()


def _tracers(report):
    from radmeasure.workflow.films import load_tracers

    load_tracers()


def _keep_for_good():
    """What is loaded stays: the collector, at work again, need not look through it."""
    if not gc.get_freeze_count():
        gc.freeze()
        gc.set_threshold(2000, 10, 10)
    gc.enable()
