"""The pages beside the film, one at a time, turned by tabs of plain words."""

from PySide6.QtCore import QT_TRANSLATE_NOOP, Qt
from PySide6.QtWidgets import QStackedWidget, QTabBar, QToolButton, QVBoxLayout, QWidget

from radmeasure.gui.cases_leaf import CasesLeaf
from radmeasure.gui.compare_leaf import CompareLeaf
from radmeasure.gui.entries_leaf import EntriesLeaf
from radmeasure.gui.help_leaf import HelpLeaf
from radmeasure.gui.history_leaf import HistoryLeaf
from radmeasure.gui.landmark_table import LandmarkTable
from radmeasure.gui.record_card import RecordCard
from radmeasure.gui.theme import paper_palette
from radmeasure.gui.ways_leaf import WaysLeaf
from radmeasure.gui.wording import translate
from radmeasure.gui.worksheet_leaf import WorksheetLeaf

# Page -> its tab, and the jobs it belongs to (all when empty; never when None).
PAGES = {
    "record": (QT_TRANSLATE_NOOP("Leaves", "Record"), ()),
    "entries": (QT_TRANSLATE_NOOP("Leaves", "Entries"), ()),
    "worksheet": (QT_TRANSLATE_NOOP("Leaves", "Worksheet"), ("post plan",)),
    "ways": (QT_TRANSLATE_NOOP("Leaves", "Gain"), ("post plan",)),
    "changes": (QT_TRANSLATE_NOOP("Leaves", "Changes"), ("post space check", "post check",
                                                         "recall")),
    "landmarks": (QT_TRANSLATE_NOOP("Leaves", "Landmarks"), ()),
    "truth": (QT_TRANSLATE_NOOP("Leaves", "Truth"), None),
    "synthetic": (QT_TRANSLATE_NOOP("Leaves", "Synthetic film"), None),
    "history": (QT_TRANSLATE_NOOP("Leaves", "History"), None),
    "cases": (QT_TRANSLATE_NOOP("Leaves", "Cases"), None),
    "help": (QT_TRANSLATE_NOOP("Leaves", "Help"), None),
}  # fmt: skip


class Leaves(QWidget):
    """Pages are made when they are first turned to."""

    def __init__(self, window, theme, parent=None):
        super().__init__(parent, objectName="leaves")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.window_, self.desk, self.theme = window, window.desk, theme
        self.setMinimumWidth(44 * self.fontMetrics().averageCharWidth())
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self.tabs = QTabBar(objectName="leaves")
        self.tabs.setDrawBase(False)
        self.tabs.setExpanding(False)
        self.tabs.setUsesScrollButtons(True)
        self.tabs.setElideMode(Qt.TextElideMode.ElideNone)
        self.tabs.setAccessibleName(self.tr("Pages"))
        for button in self.tabs.findChildren(QToolButton):
            button.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # the arrow keys turn the tabs
        self.stack = QStackedWidget()
        column.addWidget(self.tabs)
        column.addWidget(self.stack, 1)
        self.pages, self._listed, self._opened = {}, (), set()
        self.tabs.currentChanged.connect(self._turned)
        self.record = self.page("record")
        self._list()
        self.desk.want_changed.connect(self._list)

    def page(self, name):
        """The page of this name, made now if need be."""
        if name not in self.pages:
            page = self.pages[name] = self._make(name)
            page.setPalette(paper_palette(self.theme))
            self.stack.addWidget(page)
        return self.pages[name]

    def _make(self, name):
        desk, theme, window = self.desk, self.theme, self.window_
        if name == "record":
            page = RecordCard(desk, theme)
            page.asked_for.connect(window.ask_for)
        elif name == "landmarks":
            page = LandmarkTable(desk)
            page.asked_for.connect(window.ask_for)
        elif name == "help":
            page = HelpLeaf(window, theme)
        elif name == "cases":
            page = CasesLeaf(window, theme)
        elif name == "synthetic":
            from radmeasure.gui.synth_leaf import SynthLeaf

            page = SynthLeaf(window, theme)
        elif name == "truth":
            from radmeasure.gui.truth_leaf import TruthLeaf

            page = TruthLeaf(window, theme)
        else:
            page = {
                "entries": EntriesLeaf,
                "worksheet": WorksheetLeaf,
                "ways": WaysLeaf,
                "changes": CompareLeaf,
                "history": HistoryLeaf,
            }[name](desk, theme)
        if name == "changes":
            page.two_films.beside_wanted.connect(window.show_film_beside)
        return page

    def _list(self):
        """Tabs for the job, and for what was opened from a menu."""
        job = self.desk.job.id
        listed = tuple(
            name
            for name, (_, jobs) in PAGES.items()
            if name in self._opened or (jobs is not None and (not jobs or job in jobs))
        )
        if listed == self._listed:
            return
        current = self.current
        blocked = self.tabs.blockSignals(True)
        while self.tabs.count():
            self.tabs.removeTab(0)
        for name in listed:
            self.tabs.addTab(translate("Leaves", PAGES[name][0]))
        self._listed = listed
        self.tabs.setCurrentIndex(listed.index(current) if current in listed else 0)
        self.tabs.blockSignals(blocked)
        self._turned(self.tabs.currentIndex())

    @property
    def listed(self):
        """Names of the pages that have a tab."""
        return self._listed

    @property
    def current(self):
        """Name of the page on show."""
        index = self.tabs.currentIndex()
        return self._listed[index] if 0 <= index < len(self._listed) else "record"

    def turn_to(self, name, focus=True):
        """Show a page; one from a menu gets its tab."""
        if name not in self._listed:
            self._opened.add(name)
            self._list()
        self.tabs.setCurrentIndex(self._listed.index(name))
        page = self.page(name)
        if focus:
            page.setFocus(Qt.FocusReason.ShortcutFocusReason)
        return page

    def list_too(self, name):
        """Give a page its tab without turning to it."""
        self._opened.add(name)
        self._list()

    def put_away(self, name):
        """Take the tab of a page from a menu away again."""
        self._opened.discard(name)
        self._list()

    def _turned(self, index):
        if 0 <= index < len(self._listed):
            self.stack.setCurrentWidget(self.page(self._listed[index]))

    def set_theme(self, theme):
        self.theme = theme
        for page in self.pages.values():
            page.setPalette(paper_palette(theme))
            page.set_theme(theme)
