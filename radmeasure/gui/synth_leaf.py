"""A new synthetic film from a form: what is drawn, on one page, with its seed."""

import os
from copy import deepcopy

from PySide6.QtCore import QT_TRANSLATE_NOOP, Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QProgressBar,
    QPushButton,
    QWidget,
)

from radmeasure.errors import InputError, RadmeasureError
from radmeasure.gui.file_dialog import file_dialog
from radmeasure.gui.flow import FlowLayout
from radmeasure.gui.leaf import Leaf
from radmeasure.gui.recipe_fields import GROUPS, Presence, field_of, get, put, specs
from radmeasure.gui.synthesising import Synthesising
from radmeasure.gui.theme import paper_palette
from radmeasure.gui.wording import translate
from radmeasure.model.recipe import flat_entries
from radmeasure.model.tooth import Tooth
from radmeasure.reports.words import error_text

# Fields stand so far to the right of what they belong to, px.
INDENT = 22
# What the form begins with: a filled tooth with a ball beside it.
FIRST = {"tooth": "11", "filling": {"short_mm": 1.0}, "sphere": {}, "seed": 1}
TEETH = (
    QT_TRANSLATE_NOOP("Synthetic", "central incisor"),
    QT_TRANSLATE_NOOP("Synthetic", "lateral incisor"),
    QT_TRANSLATE_NOOP("Synthetic", "canine"),
    QT_TRANSLATE_NOOP("Synthetic", "first premolar"),
    QT_TRANSLATE_NOOP("Synthetic", "second premolar"),
    QT_TRANSLATE_NOOP("Synthetic", "first molar"),
    QT_TRANSLATE_NOOP("Synthetic", "second molar"),
    QT_TRANSLATE_NOOP("Synthetic", "third molar"),
)


class SynthLeaf(Leaf):
    """The form; entries of a recipe it does not show are kept as they are."""

    def __init__(self, window, theme, parent=None):
        super().__init__(translate("Leaves", "Synthetic film"), theme, parent)
        self.window_, self.desk = window, window.desk
        self._table, self._films = deepcopy(FIRST), ()
        self.fields, self.presences = {}, []
        self.making = Synthesising(window, self)
        # The film is there to be measured: the keys are its own, not the form's.
        self.making.made.connect(lambda _: window.canvas.setFocus())
        self._build()
        self._show_table()
        self.making.changed.connect(self._follow)
        self._follow()

    # -- building ------------------------------------------------------------------------------
    def _build(self):
        self.heading(self.tr("New synthetic film"))
        self.words(
            self.tr(
                "An invented tooth, for teaching only. What is true of it stays hidden until you "
                "ask for it."
            ),
            quiet=True,
        )
        self._making_row()
        self._row(
            self._button(self.tr("Draw a plausible case"), self.draw),
            self._button(self.tr("Load recipe …"), self._ask_load),
            self._button(self.tr("Save recipe …"), self._ask_save),
        )
        self.film = self._combo(self.tr("Film of the recipe"))
        self.film.activated.connect(lambda i: self._take(self._films[i][1]))
        self.column.addWidget(self.film)
        self._tooth_row()
        for words, section, entries in GROUPS:
            self._group(translate("Synthetic", words), section, entries)
        self._seed_row()
        self.kept = QLabel()
        self.kept.setWordWrap(True)
        self.column.addWidget(self.kept)
        self.column.addStretch(1)

    def _row(self, *widgets):
        row = FlowLayout(6)
        for widget in widgets:
            row.addWidget(widget)
        self.column.addLayout(row)

    def _button(self, words, act):
        button = QPushButton(words)
        button.clicked.connect(lambda _=False: act())
        return button

    def _combo(self, name):
        combo = QComboBox()
        combo.setAccessibleName(name)
        return combo

    def _tooth_row(self):
        self.jaw, self.side = self._combo(self.tr("Jaw")), self._combo(self.tr("Side"))
        self.tooth = self._combo(self.tr("Tooth"))
        self.jaw.addItems([self.tr("upper"), self.tr("lower")])
        self.side.addItems([self.tr("right"), self.tr("left")])
        self.tooth.addItems([translate("Synthetic", name) for name in TEETH])
        self.fdi = QLabel()
        for combo in (self.jaw, self.side, self.tooth):
            combo.currentIndexChanged.connect(self._name_tooth)
        self._row(self.jaw, self.side, self.tooth, self.fdi)

    def _group(self, words, section, entries):
        fields = QWidget()
        if section is None:
            self._label(f"<b>{words}</b>", words)
        else:
            presence = Presence(words, section, fields)
            self.presences.append(presence)
            self.column.addWidget(presence)
        self.column.addWidget(fields)
        form = QFormLayout(fields)
        form.setContentsMargins(INDENT, 0, 0, 4)
        form.setVerticalSpacing(3)
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        for dotted, label in entries:
            label = translate("Synthetic", label)
            field = self.fields[dotted] = field_of(dotted, f"{words}: {label}")
            if isinstance(field, QLineEdit):
                field.setMaximumWidth(14 * self.fontMetrics().averageCharWidth())
            unit = specs()[dotted].unit
            words = QLabel(f"{label}, {unit}" if unit else label)
            form.addRow(self.fitted(words, INDENT), field)

    def _seed_row(self):
        self.seed = QLineEdit()
        self.seed.setAccessibleName(self.tr("Seed"))
        self.seed.setMaximumWidth(14 * self.fontMetrics().averageCharWidth())
        self._row(QLabel(self.tr("Seed of bone and noise")), self.seed)

    def _making_row(self):
        self.make = self._button(self.tr("Make the film"), self.start)
        self.own_case = QCheckBox(self.tr("In a new case"))
        self.cancel = self._button(self.tr("Cancel"), self.making.cancel)
        self.bar = QProgressBar()
        self.bar.setAccessibleName(self.tr("Share of the film that is drawn"))
        self.bar.setRange(0, 100)
        self._row(self.make, self.own_case)
        row = QHBoxLayout()
        for widget in (self.bar, self.cancel):
            keeps = widget.sizePolicy()  # what lies below is not to move while a film is made
            keeps.setRetainSizeWhenHidden(True)
            widget.setSizePolicy(keeps)
            row.addWidget(widget, int(widget is self.bar))
        self.column.addLayout(row)
        self.making.progress.connect(lambda share: self.bar.setValue(round(100 * share)))

    # -- the recipe in the form ------------------------------------------------------------------
    def _take(self, table):
        self._table = deepcopy(table)
        self._show_table()

    def _show_table(self):
        table = self._table
        tooth = Tooth(table["tooth"])
        self.jaw.setCurrentIndex(0 if tooth.upper else 1)
        self.side.setCurrentIndex(0 if tooth.right else 1)
        self.tooth.setCurrentIndex(tooth.position - 1)
        for dotted, field in self.fields.items():
            field.take(get(table, dotted))
        for presence in self.presences:
            presence.setChecked(presence.section in table)
        self.seed.setText(str(table.get("seed", 1)))
        self.film.setVisible(len(self._films) > 1)
        self._name_tooth()
        self._say_kept()

    def _name_tooth(self):
        self.fdi.setText(self._designation())

    def _designation(self):
        upper, right = self.jaw.currentIndex() == 0, self.side.currentIndex() == 0
        quadrant = {(True, True): 1, (True, False): 2, (False, False): 3, (False, True): 4}
        return f"{quadrant[upper, right]}{self.tooth.currentIndex() + 1}"

    def _say_kept(self):
        """Tell of entries of a recipe that the form has no field for."""
        shown = {*self.fields, "tooth", "seed", "name", *(p.section for p in self.presences)}
        others = sorted(name for name, _ in flat_entries(self._table) if name not in shown)
        self.kept.setVisible(bool(others))
        self.kept.setText(self.tr("Also in the recipe: {0}").format(", ".join(others)))

    def recipe_table(self):
        """The recipe as it stands in the form; raises InputError for what is no number."""
        table = deepcopy(self._table)
        tooth = self._designation()
        if tooth[1] != str(table["tooth"])[-1]:
            table.pop("roots", None)  # roots of another kind of tooth
        table["tooth"] = tooth
        absent = [p.section for p in self.presences if not p.isChecked()]
        for dotted, field in self.fields.items():
            if dotted.split(".")[0] not in absent:
                put(table, dotted, self._given(dotted, field))
        for presence in self.presences:
            if presence.section in absent:
                table.pop(presence.section, None)
            else:
                table.setdefault(presence.section, {})
        table["seed"] = _seed(self.seed.text())
        return table

    def _given(self, dotted, field):
        """Value of a field; None when it says what would be so anyway."""
        value = field.value
        usual = specs()[dotted].usual
        if get(self._table, dotted) is None and value in (usual, None):
            return None
        if usual is None and field.spec.rule["kind"] == "choice" and not field.currentIndex():
            return get(self._table, dotted) and value
        return value

    # -- acting ------------------------------------------------------------------------------------
    def draw(self):
        """Fill the form with a plausible case of the next seed."""
        from radmeasure.workflow.synthetic import drawn_table

        try:
            seed = _seed(self.seed.text())
        except InputError:
            seed = 0
        self._films = ()
        self._take(drawn_table(seed + 1))

    def load(self, path):
        """Take a recipe file into the form."""
        from radmeasure.workflow.synthetic import open_recipe

        films = self._try(lambda: open_recipe(path))
        if films:
            self._films = films
            self.film.clear()
            self.film.addItems([name for name, _ in films])
            self._take(films[0][1])

    def save(self, path):
        """Write the recipe in the form as TOML."""
        from radmeasure.workflow.synthetic import save_recipe

        def write():
            save_recipe(path, self.recipe_table())
            return True

        if self._try(write):
            words = self.tr("Recipe saved: {0}").format(os.path.basename(path))
            self.desk.said.emit(words, False)

    def start(self):
        """Draw the film; it opens when it is done."""
        table = self._try(self.recipe_table)
        if table is not None:
            self.bar.setValue(0)
            self.making.start(table, self.own_case.isChecked())

    def _try(self, act):
        try:
            return act()
        except RadmeasureError as error:
            self.desk.said.emit(error_text(error), True)
            return None

    def _ask_load(self):
        title = self.tr("Load a recipe")
        dialog = file_dialog(self.window_, self.window_.settings, title)
        dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
        dialog.setNameFilters([self.tr("Recipes") + " (*.toml)", self.tr("All files") + " (*)"])
        dialog.fileSelected.connect(self.load)
        dialog.show()

    def _ask_save(self):
        name = f"synthetic-{self._designation()}.toml"
        self.window_._name_file(self.tr("Save the recipe"), ".toml", name, self.save)

    # -- following -----------------------------------------------------------------------------
    def refresh(self):
        """Colours follow the paper; a synthetic film joins no case with films of a person."""
        for box in self.page.findChildren(QCheckBox):
            box.setPalette(paper_palette(self.theme))
        if self.isVisible() and not self.making.busy and self.desk.session is not None:
            from radmeasure.workflow.synthetic import all_synthetic

            session = self.desk.session
            mixed = not all_synthetic(session) or session.read_only
            if mixed or not session.case.films:
                self.own_case.setChecked(mixed)
            self.own_case.setEnabled(not mixed)

    def _follow(self):
        busy = self.making.busy
        self.make.setEnabled(not busy)
        self.own_case.setVisible(not busy)
        self.cancel.setVisible(busy)
        self.bar.setVisible(busy)
        if not busy:
            self.refresh()

    def focus_first(self):
        self.jaw.setFocus(Qt.FocusReason.ShortcutFocusReason)


def _seed(text):
    try:
        return int(text)
    except ValueError:
        raise InputError(
            translate("Synthetic", "the seed “{text}” is not a whole number").format(text=text),
            translate("Synthetic", "give one from 0 up"),
        ) from None
