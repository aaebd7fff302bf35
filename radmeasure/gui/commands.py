"""Every command of the window: one table makes menus, shortcuts, the command list and the sheet."""

from dataclasses import dataclass

from PySide6.QtCore import QT_TRANSLATE_NOOP, Qt
from PySide6.QtGui import QAction, QKeySequence

from radmeasure.gui.wording import translate

# Where a key counts: in the whole window, or only while the film has the focus.
WINDOW, FILM = "window", "film"


@dataclass(frozen=True)
class Command:
    """A command.

    Attributes
    ----------
    id : str
        Also the name of the window's method.
    text : str
    keys : tuple of str
    where : str
        'window' or 'film'.
    check : bool
        Can be on or off.
    on : bool
        Whether such a one is on at first.
    """

    id: str
    text: str
    keys: tuple = ()
    where: str = WINDOW
    check: bool = False
    on: bool = False


def _c(id_, text, *keys, where=WINDOW, check=False, on=False):
    return Command(id_, text, keys, where, check, on)


MENUS = (
    (
        QT_TRANSLATE_NOOP("Commands", "&Case"),
        (
            _c("new_case", QT_TRANSLATE_NOOP("Commands", "New case"), "Ctrl+N"),
            _c("open", QT_TRANSLATE_NOOP("Commands", "Open film or case …"), "Ctrl+O"),
            "recent",
            "samples",
            _c("new_synthetic", QT_TRANSLATE_NOOP("Commands", "New synthetic film …"),
               "Ctrl+Shift+N"),
            None,
            _c("save_as", QT_TRANSLATE_NOOP("Commands", "Keep the case as …"), "Ctrl+S"),
            _c("save_copy", QT_TRANSLATE_NOOP("Commands", "Save a copy …"), "Ctrl+Shift+S"),
            _c("take_over", QT_TRANSLATE_NOOP("Commands", "Take the case over")),
            None,
            _c("write_pdf", QT_TRANSLATE_NOOP("Commands", "Write the record as PDF …"), "Ctrl+R"),
            _c("write_dicom", QT_TRANSLATE_NOOP("Commands", "Write DICOM objects …")),
            _c("teaching_copy", QT_TRANSLATE_NOOP("Commands", "Teaching copy …")),
            _c("mark_class", QT_TRANSLATE_NOOP("Commands", "Mark a class of students …")),
            _c("print_page", QT_TRANSLATE_NOOP("Commands", "Print …"), "Ctrl+P"),
            None,
            _c("undo", QT_TRANSLATE_NOOP("Commands", "Undo"), "Ctrl+Z"),
            _c("redo", QT_TRANSLATE_NOOP("Commands", "Redo"), "Ctrl+Y", "Ctrl+Shift+Z"),
            None,
            _c("page_cases", QT_TRANSLATE_NOOP("Commands", "Cases of the practice"),
               "Ctrl+L"),
            _c("quit", QT_TRANSLATE_NOOP("Commands", "Quit"), "Ctrl+Q"),
        ),
    ),
    (
        QT_TRANSLATE_NOOP("Commands", "&Job"),
        (
            _c("job_1", QT_TRANSLATE_NOOP("Commands", "Length check"), "Ctrl+1"),
            _c("job_2", QT_TRANSLATE_NOOP("Commands", "Filling check"), "Ctrl+2"),
            _c("job_3", QT_TRANSLATE_NOOP("Commands", "Post plan"), "Ctrl+3"),
            _c("job_4", QT_TRANSLATE_NOOP("Commands", "Space check"), "Ctrl+4"),
            _c("job_5", QT_TRANSLATE_NOOP("Commands", "Post check"), "Ctrl+5"),
            _c("job_6", QT_TRANSLATE_NOOP("Commands", "Recall"), "Ctrl+6"),
            None,
            _c("ask_tooth", QT_TRANSLATE_NOOP("Commands", "Another tooth"), "Ctrl+T"),
            _c("ask_roots", QT_TRANSLATE_NOOP("Commands", "Other roots"), "Ctrl+Shift+T"),
            _c("ask_scale", QT_TRANSLATE_NOOP("Commands", "Scale from something on the film"), "K"),
        ),
    ),
    (
        QT_TRANSLATE_NOOP("Commands", "&Mark"),
        (
            _c("keep", QT_TRANSLATE_NOOP("Commands", "Keep and go on"), "Return", "Enter",
               where=FILM),
            _c("keep_all", QT_TRANSLATE_NOOP("Commands", "Keep all suggestions"), "Ctrl+Return",
               "Ctrl+Enter"),
            _c("skip", QT_TRANSLATE_NOOP("Commands", "Skip for now"), "Backspace", where=FILM),
            _c("remove", QT_TRANSLATE_NOOP("Commands", "Take the mark away"), "Delete",
               where=FILM),
            _c("next_mark", QT_TRANSLATE_NOOP("Commands", "Next mark"), "PgDown", where=FILM),
            _c("previous_mark", QT_TRANSLATE_NOOP("Commands", "Previous mark"), "PgUp",
               where=FILM),
            None,
            _c("suggest", QT_TRANSLATE_NOOP("Commands", "Suggest landmarks"), "S", where=FILM),
            _c("no_suggestions", QT_TRANSLATE_NOOP("Commands", "Drop all suggestions")),
            _c("swap_sides", QT_TRANSLATE_NOOP("Commands", "Exchange mesial and distal")),
        ),
    ),
    (
        QT_TRANSLATE_NOOP("Commands", "&Film"),
        (
            _c("fit", QT_TRANSLATE_NOOP("Commands", "Whole film"), "F", where=FILM),
            _c("actual_size", QT_TRANSLATE_NOOP("Commands", "Actual size"), "Z", where=FILM),
            _c("zoom_in", QT_TRANSLATE_NOOP("Commands", "Larger"), "+", "=", where=FILM),
            _c("zoom_out", QT_TRANSLATE_NOOP("Commands", "Smaller"), "-", where=FILM),
            None,
            _c("brighter", QT_TRANSLATE_NOOP("Commands", "Brighter"), "]", "Alt+Up", where=FILM),
            _c("darker", QT_TRANSLATE_NOOP("Commands", "Darker"), "[", "Alt+Down", where=FILM),
            _c("harder", QT_TRANSLATE_NOOP("Commands", "More contrast"), "}", "Alt+Left",
               where=FILM),
            _c("softer", QT_TRANSLATE_NOOP("Commands", "Less contrast"), "{", "Alt+Right",
               where=FILM),
            _c("gamma_up", QT_TRANSLATE_NOOP("Commands", "Middle tones darker"), ">",
               where=FILM),
            _c("gamma_down", QT_TRANSLATE_NOOP("Commands", "Middle tones lighter"), "<",
               where=FILM),
            _c("grey_fitted", QT_TRANSLATE_NOOP("Commands", "Greys for what is in sight"), "A",
               where=FILM),
            _c("grey_as_opened", QT_TRANSLATE_NOOP("Commands", "Greys as the film says"), "O",
               where=FILM),
            _c("invert", QT_TRANSLATE_NOOP("Commands", "Invert"), "I", where=FILM),
            None,
            _c("turn_right", QT_TRANSLATE_NOOP("Commands", "Turn right"), "R", where=FILM),
            _c("turn_left", QT_TRANSLATE_NOOP("Commands", "Turn left"), "Shift+R", where=FILM),
            _c("mirror", QT_TRANSLATE_NOOP("Commands", "Mirror"), "M", where=FILM),
            None,
            _c("next_film", QT_TRANSLATE_NOOP("Commands", "Next film"), "Ctrl+PgDown"),
            _c("previous_film", QT_TRANSLATE_NOOP("Commands", "Previous film"), "Ctrl+PgUp"),
            _c("show_beside", QT_TRANSLATE_NOOP("Commands", "Another film beside"), "B",
               where=FILM, check=True),
            _c("next_beside", QT_TRANSLATE_NOOP("Commands", "Change the film beside"), "Shift+B",
               where=FILM),
            _c("link_views", QT_TRANSLATE_NOOP("Commands", "Move both together"), "J",
               where=FILM, check=True, on=True),
            None,
            _c("copy_picture", QT_TRANSLATE_NOOP("Commands", "Copy picture"), "Ctrl+C"),
            _c("remove_film", QT_TRANSLATE_NOOP("Commands", "Take the film out of the case")),
        ),
    ),
    (
        QT_TRANSLATE_NOOP("Commands", "&View"),
        (
            _c("page_film", QT_TRANSLATE_NOOP("Commands", "To the film"), "F6"),
            _c("page_chart", QT_TRANSLATE_NOOP("Commands", "To the level chart"), "F7"),
            _c("page_record", QT_TRANSLATE_NOOP("Commands", "Record"), "F8"),
            _c("page_entries", QT_TRANSLATE_NOOP("Commands", "Entries and scale"), "Ctrl+E"),
            _c("page_landmarks", QT_TRANSLATE_NOOP("Commands", "Landmarks as a table"),
               "Ctrl+M"),
            _c("page_worksheet", QT_TRANSLATE_NOOP("Commands", "Decision worksheet"), "Ctrl+W"),
            _c("page_history", QT_TRANSLATE_NOOP("Commands", "History"), "Ctrl+H"),
            _c("show_truth", QT_TRANSLATE_NOOP("Commands", "Truth of a synthetic film"),
               "Ctrl+Shift+U", check=True),
            None,
            _c("marks", QT_TRANSLATE_NOOP("Commands", "Marks"), "H", where=FILM, check=True,
               on=True),
            _c("labels", QT_TRANSLATE_NOOP("Commands", "Labels of the marks"), "L", where=FILM,
               check=True, on=True),
            _c("level_chart", QT_TRANSLATE_NOOP("Commands", "Level chart"), "Ctrl+G", check=True,
               on=True),
            _c("film_strip", QT_TRANSLATE_NOOP("Commands", "Films by visit"), check=True,
               on=True),
            "themes",
            "languages",
            _c("full_screen", QT_TRANSLATE_NOOP("Commands", "Full screen"), "F11", check=True),
        ),
    ),
    (
        QT_TRANSLATE_NOOP("Commands", "&Help"),
        (
            _c("command_list", QT_TRANSLATE_NOOP("Commands", "Find a command"), "Ctrl+K", "F2"),
            _c("shortcut_sheet", QT_TRANSLATE_NOOP("Commands", "Keys"), "F1"),
            _c("tour_start", QT_TRANSLATE_NOOP("Commands", "Three-minute tour")),
            _c("readings", QT_TRANSLATE_NOOP("Commands", "Readings and their sources")),
            _c("rules", QT_TRANSLATE_NOOP("Commands", "Rules and their sources")),
            _c("cautions", QT_TRANSLATE_NOOP("Commands", "Cautions")),
            _c("about", QT_TRANSLATE_NOOP("Commands", "About radmeasure")),
        ),
    ),
)  # fmt: skip


class Commands:
    """The actions of a window, by id."""

    def __init__(self, window, film):
        self.actions = {}
        self._window, self._film = window, film
        for title, entries in MENUS:
            menu = window.menuBar().addMenu(translate("Commands", title))
            for entry in entries:
                if entry is None:
                    menu.addSeparator()
                elif isinstance(entry, str):
                    window.fill_menu(entry, menu)
                else:
                    menu.addAction(self._action(entry))

    def _action(self, command):
        action = QAction(translate("Commands", command.text), self._window)
        action.setObjectName(command.id)
        action.setCheckable(command.check)
        action.setChecked(command.on)
        action.setShortcuts([QKeySequence(k) for k in command.keys])
        method = getattr(self._window, command.id)
        if command.check:
            action.toggled.connect(method)
        else:
            action.triggered.connect(lambda _=False: method())
        if command.where == FILM:
            action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            self._film.addAction(action)
        else:
            self._window.addAction(action)
        self.actions[command.id] = action
        return action

    def __getitem__(self, id_):
        return self.actions[id_]

    def listed(self):
        """(menu title, command, action) of every command."""
        for title, entries in MENUS:
            for entry in entries:
                if isinstance(entry, Command):
                    yield translate("Commands", title).replace("&", ""), entry, self[entry.id]
