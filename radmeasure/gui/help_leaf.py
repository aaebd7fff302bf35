"""Keys, cautions, the rulebook and what the program is, on paper."""

from html import escape

from PySide6.QtCore import QT_TRANSLATE_NOOP
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QHBoxLayout, QPushButton

from radmeasure import __version__
from radmeasure.gui.flow import FlowLayout
from radmeasure.gui.leaf import Leaf, breakable
from radmeasure.gui.rules_page import write_readings, write_rules
from radmeasure.gui.wording import translate
from radmeasure.reports.words import CAUTIONS, translated

MOUSE = (
    (QT_TRANSLATE_NOOP("Help", "Click"), QT_TRANSLATE_NOOP("Help", "places what is asked for")),
    (
        QT_TRANSLATE_NOOP("Help", "Drag a mark"),
        QT_TRANSLATE_NOOP("Help", "moves it; with Shift at a fifth of the speed"),
    ),
    (
        QT_TRANSLATE_NOOP("Help", "Drag a selected line"),
        QT_TRANSLATE_NOOP("Help", "pulls it there; with Alt one point alone"),
    ),
    (QT_TRANSLATE_NOOP("Help", "Wheel"), QT_TRANSLATE_NOOP("Help", "zooms about the pointer")),
    (
        QT_TRANSLATE_NOOP("Help", "Right drag"),
        QT_TRANSLATE_NOOP("Help", "sideways contrast, up and down brightness"),
    ),
    (
        QT_TRANSLATE_NOOP("Help", "Middle drag, Space and drag"),
        QT_TRANSLATE_NOOP("Help", "moves the film"),
    ),
)
NUDGES = (
    (
        QT_TRANSLATE_NOOP("Help", "Arrows"),
        QT_TRANSLATE_NOOP("Help", "move the mark, or the cross, by 1 px"),
    ),
    (QT_TRANSLATE_NOOP("Help", "Ctrl and arrows"), QT_TRANSLATE_NOOP("Help", "by 0.1 px")),
    (QT_TRANSLATE_NOOP("Help", "Shift and arrows"), QT_TRANSLATE_NOOP("Help", "by 10 px")),
    (QT_TRANSLATE_NOOP("Help", "Ctrl, Shift and arrows"), QT_TRANSLATE_NOOP("Help", "by 50 px")),
    (QT_TRANSLATE_NOOP("Help", "Digits"), QT_TRANSLATE_NOOP("Help", "begin what is asked for")),
    (
        QT_TRANSLATE_NOOP("Help", "Tab, Shift+Tab"),
        QT_TRANSLATE_NOOP("Help", "go on to the next part of the window"),
    ),
    (
        QT_TRANSLATE_NOOP("Help", "On the level chart"),
        QT_TRANSLATE_NOOP("Help", "Space picks depth, seal, size or gain; arrows change it"),
    ),
)


class HelpLeaf(Leaf):
    """One of several pages: 'keys', 'cautions', 'readings', 'rules', 'about'."""

    def __init__(self, window, theme, parent=None):
        super().__init__(translate("Leaves", "Help"), theme, parent)
        self.window_ = window
        self.shown = "keys"
        self._written = None

    def show_page(self, name):
        self.shown = name
        self.refresh()
        self.verticalScrollBar().setValue(0)

    def refresh(self):
        key = (self.shown, self.theme.title)
        if key == self._written or not self.isVisible():
            return
        self._written = key
        self.clear()
        self._tabs()
        {
            "keys": self._keys,
            "cautions": self._cautions,
            "readings": lambda: write_readings(self),
            "rules": self._rules,
            "about": self._about,
        }[self.shown]()
        self.column.addStretch(1)

    def _tabs(self):
        row = FlowLayout(6)
        for name, words in (
            ("keys", self.tr("Keys")),
            ("cautions", self.tr("Cautions")),
            ("readings", self.tr("Readings")),
            ("rules", self.tr("Rules")),
            ("about", self.tr("About")),
        ):
            button = QPushButton(words)
            button.setCheckable(True)
            button.setChecked(name == self.shown)
            button.clicked.connect(lambda _=False, name=name: self.show_page(name))
            row.addWidget(button)
        self.column.addLayout(row)

    # -- keys ----------------------------------------------------------------------------
    def _keys(self):
        menus = {}
        for menu, command, action in self.window_.commands.listed():
            if command.keys:
                keys = ", ".join(
                    QKeySequence(k).toString(QKeySequence.SequenceFormat.NativeText)
                    for k in command.keys[:2]
                )
                menus.setdefault(menu, []).append((keys, action.text().replace("&", "")))
        self._table(self.tr("On the film"), _said(NUDGES))
        self._table(self.tr("Mouse"), _said(MOUSE))
        for menu, rows in menus.items():
            self._table(menu, rows)

    def _table(self, heading, rows):
        self.heading(heading)
        body = "".join(
            f'<tr><td width="40%"><b>{escape(keys)}</b></td><td>{escape(words)}</td></tr>'
            for keys, words in ((breakable(keys), words) for keys, words in rows)
        )
        self.table(f'<table cellpadding="2" width="100%">{body}</table>', rows)

    # -- cautions --------------------------------------------------------------------------
    def _cautions(self):
        self.heading(self.tr("Before you rely on a number"))
        for caution in CAUTIONS:
            self.words(translated(caution))
        button = QPushButton(self.tr("Understood"))
        button.clicked.connect(self.window_.cautions_read)
        row = QHBoxLayout()
        row.addWidget(button)
        row.addStretch(1)
        self.column.addLayout(row)

    # -- rules ------------------------------------------------------------------------------
    def _rules(self):
        rulebook = self.window_.desk.rulebook
        if rulebook is None:
            self._written = None
            self.words(self.tr("The rulebook is being read."), quiet=True)
            return
        from radmeasure.workflow.rulebook import own_rulebook_path

        write_rules(self, rulebook, own_rulebook_path())

    def both(self, head, text):
        """A heading and a text below it as HTML, in the colours of the paper."""
        quiet, ink = self.theme.ink_quiet, self.theme.ink
        return (
            f'<p style="color:{ink}; margin-bottom:2px">{escape(head)}</p>'
            f'<p style="color:{quiet}; margin-top:2px">{escape(text)}</p>'
        )

    def _about(self):
        self.heading("radmeasure")
        self.words(self.tr("Version {0}").format(__version__))
        self.words(
            self.tr(
                "Measures periapical films and helps plan post, core and crown for root-filled "
                "teeth. It supports, and never replaces, the judgement of a licensed clinician."
            )
        )
        self.words(self.tr("MIT licence. No data leaves this computer unless you send it."), True)


def _said(rows):
    return [(translate("Help", keys), translate("Help", words)) for keys, words in rows]
