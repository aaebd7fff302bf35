"""The entries a synthetic film's form shows, and one widget for each."""

from dataclasses import dataclass
from functools import cache

from PySide6.QtCore import QT_TRANSLATE_NOOP
from PySide6.QtWidgets import QCheckBox, QComboBox, QLineEdit

from radmeasure.gui.entering import number
from radmeasure.gui.wording import translate
from radmeasure.model.recipe import entries
from radmeasure.reports.words import decimal, translated

# Heading, the section that is there or not (None: always there), its entries.
GROUPS = (
    (
        QT_TRANSLATE_NOOP("Synthetic", "View"),
        None,
        (
            ("view.technique", QT_TRANSLATE_NOOP("Synthetic", "Technique")),
            ("view.vertical_deg", QT_TRANSLATE_NOOP("Synthetic", "Beam off, up and down")),
            ("view.horizontal_deg", QT_TRANSLATE_NOOP("Synthetic", "Beam off, sideways")),
        ),
    ),
    (
        QT_TRANSLATE_NOOP("Synthetic", "Tooth and bone"),
        None,
        (
            ("crown.state", QT_TRANSLATE_NOOP("Synthetic", "Crown")),
            ("bone.loss_percent.mesial", QT_TRANSLATE_NOOP("Synthetic", "Bone lost, mesial")),
            ("bone.loss_percent.distal", QT_TRANSLATE_NOOP("Synthetic", "Bone lost, distal")),
        ),
    ),
    (
        QT_TRANSLATE_NOOP("Synthetic", "Root filling"),
        "filling",
        (
            ("filling.short_mm", QT_TRANSLATE_NOOP("Synthetic", "Short of the apex by")),
            ("filling.voids", QT_TRANSLATE_NOOP("Synthetic", "Voids")),
        ),
    ),
    (
        QT_TRANSLATE_NOOP("Synthetic", "File in the canal"),
        "file",
        (
            ("file.length_mm", QT_TRANSLATE_NOOP("Synthetic", "Length, tip to stop")),
            ("file.short_mm", QT_TRANSLATE_NOOP("Synthetic", "Tip short of the apex by")),
            ("file.size", QT_TRANSLATE_NOOP("Synthetic", "Size (ISO 3630-1)")),
        ),
    ),
    (
        QT_TRANSLATE_NOOP("Synthetic", "Post"),
        "post",
        (
            ("post.depth_mm", QT_TRANSLATE_NOOP("Synthetic", "Depth below the root face")),
            ("post.diameter_mm", QT_TRANSLATE_NOOP("Synthetic", "Diameter")),
            ("post.gap_mm", QT_TRANSLATE_NOOP("Synthetic", "Gap to the filling")),
            ("post.kind", QT_TRANSLATE_NOOP("Synthetic", "Material")),
        ),
    ),
    (
        QT_TRANSLATE_NOOP("Synthetic", "Radiolucency at the apex"),
        "lesion",
        (("lesion.diameter_mm", QT_TRANSLATE_NOOP("Synthetic", "Diameter")),),
    ),
    (
        QT_TRANSLATE_NOOP("Synthetic", "Steel ball"),
        "sphere",
        (("sphere.diameter_mm", QT_TRANSLATE_NOOP("Synthetic", "Diameter")),),
    ),
    (
        QT_TRANSLATE_NOOP("Synthetic", "Receptor and dose"),
        None,
        (
            ("receptor.size", QT_TRANSLATE_NOOP("Synthetic", "Size (ISO 3665)")),
            ("receptor.pitch_um", QT_TRANSLATE_NOOP("Synthetic", "Pixel size")),
            ("receptor.kerma_ugy", QT_TRANSLATE_NOOP("Synthetic", "Dose at the receptor")),
            ("receptor.electronic_noise", QT_TRANSLATE_NOOP("Synthetic", "Noise of the receptor")),
        ),
    ),
)
_UNITS = {"deg": "°", "uGy": "µGy", "um": "µm", "1/100 mm": "1/100 mm"}
_CHOICES = {
    "paralleling": QT_TRANSLATE_NOOP("Synthetic", "paralleling"),
    "bisecting": QT_TRANSLATE_NOOP("Synthetic", "bisecting"),
    "sound": QT_TRANSLATE_NOOP("Synthetic", "sound"),
    "opened": QT_TRANSLATE_NOOP("Synthetic", "opened"),
    "restored": QT_TRANSLATE_NOOP("Synthetic", "restored"),
    "lost": QT_TRANSLATE_NOOP("Synthetic", "lost"),
    "fibre": QT_TRANSLATE_NOOP("Synthetic", "fibre"),
    "titanium": QT_TRANSLATE_NOOP("Synthetic", "titanium"),
    "steel": QT_TRANSLATE_NOOP("Synthetic", "steel"),
}


@dataclass(frozen=True)
class Spec:
    """What the recipe's model says of an entry: kind, range, unit, choices, default."""

    name: str
    rule: object
    usual: object

    @property
    def unit(self):
        unit = self.rule.get("unit", "")
        return translated(_UNITS.get(unit, unit))


@cache
def specs():
    """Spec of every entry of a recipe by its dotted name."""
    return {name: Spec(name, rule, usual) for name, rule, usual in entries()}


def get(table, dotted):
    """Value of an entry of a nested mapping, None when it is not there."""
    for key in dotted.split("."):
        if not isinstance(table, dict) or key not in table:
            return None
        table = table[key]
    return table


def put(table, dotted, value):
    """Set an entry, or take it away with None; inner sections left empty go, too."""
    head, _, rest = dotted.partition(".")
    if not rest:
        table.pop(head, None)
        if value is not None:
            table[head] = value
    elif value is not None or head in table:
        inner = table.setdefault(head, {})
        put(inner, rest, value)
        if "." in rest and not inner.get(rest.split(".")[0], True):
            del inner[rest.split(".")[0]]


class NumberField(QLineEdit):
    """A number, or nothing for the usual one, which is shown as an example."""

    def __init__(self, spec, label):
        super().__init__()
        self.spec = spec
        rule = spec.rule
        usual = "" if spec.usual is None else decimal(f"{spec.usual:g}")
        self.setPlaceholderText(usual)
        self.setAccessibleName(label)
        span = translate("Synthetic", "{low} to {high} {unit}").format(
            low=decimal(f"{rule['low']:g}"), high=decimal(f"{rule['high']:g}"), unit=spec.unit
        )
        self.setToolTip(span.strip())
        self.setAccessibleDescription(span.strip())

    def take(self, value):
        self.setText("" if value is None else decimal(f"{value:g}"))

    @property
    def value(self):
        """The number, None when empty; raises InputError when it is none."""
        if not self.text().strip():
            return None
        value = number(self.text())
        return int(value) if self.spec.rule["whole"] and value == int(value) else value


class ChoiceField(QComboBox):
    """One of the words the recipe knows."""

    def __init__(self, spec, label):
        super().__init__()
        self.spec = spec
        self.setAccessibleName(label)
        self.setSizeAdjustPolicy(self.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        for word in spec.rule["words"]:
            self.addItem(translate("Synthetic", _CHOICES.get(word, word)), word)
        self.take(None)

    def take(self, value):
        usual = self.spec.usual or self.spec.rule["words"][0]
        self.setCurrentIndex(max(self.findData(usual if value is None else value), 0))

    @property
    def value(self):
        return self.currentData()


def field_of(dotted, label):
    """The widget of an entry."""
    spec = specs()[dotted]
    kind = ChoiceField if spec.rule["kind"] == "choice" else NumberField
    return kind(spec, label)


class Presence(QCheckBox):
    """Heading of a section that is there or not; its fields are only to be seen when it is."""

    def __init__(self, words, section, fields):
        super().__init__(words)
        self.section, self.fields = section, fields
        self.setAccessibleName(words)
        self.toggled.connect(fields.setVisible)
        fields.hide()
