"""Pages of the help on readings and rules: definition, picture and source of each."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QWidget

from radmeasure.gui.explain import EXPLANATIONS
from radmeasure.gui.leaf import BREAK, breakable
from radmeasure.gui.pictures import RULES, picture_of
from radmeasure.gui.rule_words import figure_of, name_of, why_of
from radmeasure.gui.schematic import Schematic
from radmeasure.gui.wording import translate
from radmeasure.reports.words import title


def write_readings(leaf):
    """Every reading the program knows."""
    leaf.heading(translate("HelpLeaf", "What each reading is"))
    for reading, explanation in EXPLANATIONS.items():
        _entry(leaf, title(reading), f"{explanation.words} {explanation.where_from}", reading)


def write_rules(leaf, rulebook, own_path):
    """The rulebook in force; first what a practice's own copy changes in it."""
    leaf.heading(translate("HelpLeaf", "Rulebook {0}").format(rulebook.version))
    _changes(leaf, rulebook, own_path)
    leaf.heading(translate("HelpLeaf", "Rules"))
    for rule in rulebook.rules.values():
        _entry(leaf, f"{name_of(rule)}: {figure_of(rule)}", why_of(rule), None, rule)
    leaf.heading(translate("HelpLeaf", "Post, ferrule and classes"))
    for id_ in RULES:
        if id_ in rulebook.settings:
            entry = rulebook.settings[id_]
            _entry(leaf, _named(entry), why_of(entry), None, entry)
    leaf.heading(translate("HelpLeaf", "Uncertainties and other figures"))
    for id_, entry in rulebook.settings.items():
        if id_ not in RULES:
            leaf.words(_named(entry))
            leaf.words(why_of(entry), quiet=True)


def _named(entry):
    figure, name = figure_of(entry), breakable(name_of(entry))
    return f"{name}: {figure}" if figure else name


def _changes(leaf, rulebook, own_path):
    home = Path.home()
    if own_path.is_relative_to(home):  # whose folder it is need not show on a page
        own_path = Path("~") / own_path.relative_to(home)
    if not rulebook.changed:
        leaf.words(
            translate(
                "HelpLeaf", "As shipped. Entries of a file {0} would stand in place of these."
            ).format(own_path),
            quiet=True,
        )
        return
    leaf.words(translate("HelpLeaf", "Changed by your practice in {0}:").format(own_path))
    for id_, (shipped, own) in rulebook.changed.items():
        name = name_of(own)
        words = translate("HelpLeaf", "{name}: {own}, as shipped {shipped}").format(
            name=name if name == id_ else f"{name} ({id_})",
            own=figure_of(own),
            shipped=figure_of(shipped),
        )
        leaf.words(words)
        given = why_of(own) != why_of(shipped)
        leaf.words(why_of(own) if given else _no_source(), quiet=True)


def _no_source():
    return translate("HelpLeaf", "No source was given for the change.")


def _entry(leaf, head, text, reading, rule=None):
    """A picture, and beside it the words."""
    row = QWidget()
    columns = QHBoxLayout(row)
    columns.setContentsMargins(0, 2, 0, 6)
    picture = picture_of(reading, rule)
    if not picture.empty:
        columns.addWidget(Schematic(picture, leaf.theme), 0, Qt.AlignmentFlag.AlignTop)
    label = QLabel(leaf.both(head, text))
    label.setTextFormat(Qt.TextFormat.RichText)
    label.setWordWrap(True)
    label.setAccessibleName(f"{head}. {text}".replace(BREAK, ""))
    label.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
    columns.addWidget(label, 1, Qt.AlignmentFlag.AlignTop)
    leaf.add(row)
