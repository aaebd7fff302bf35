"""Scale, entered values, film and case: typed, kept at once, undone like the rest."""

from dataclasses import replace

from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
)

from radmeasure.errors import InputError
from radmeasure.gui.entering import number
from radmeasure.gui.leaf import Leaf
from radmeasure.gui.looks import role_word
from radmeasure.gui.spacing_offers import spacing_offers
from radmeasure.gui.wording import TECHNIQUES, translate
from radmeasure.model import edits
from radmeasure.model.case import FILM_ROLES
from radmeasure.model.landmarks import GIVEN, Detector, KnownLength, Sphere
from radmeasure.reports.words import decimal, error_text, landmark_title, translated

_NUMBERS = ("file_length_mm", "planned_crown_mm", "stop_short_mm", "age_years")


class EntriesLeaf(Leaf):
    """One form; it is written anew when the chart changes, except under the hand."""

    def __init__(self, desk, theme, parent=None):
        super().__init__(translate("Leaves", "Entries"), theme, parent)
        self.desk = desk
        self._shown = None
        desk.chart_changed.connect(self.refresh)
        desk.session_changed.connect(self.refresh)
        desk.evaluated.connect(self.refresh)

    def refresh(self):
        desk = self.desk
        if not self.isVisible() or desk.session is None or desk.preview is not None:
            return
        chart, entry = desk.chart, desk.entry
        key = (desk.film_id, desk.tooth, chart and chart.landmarks.scale, entry,
               chart and tuple(sorted(map(str, chart.landmarks.given.items()))),
               desk.case.label, tuple(desk.case.identity.items()), self._notes(),
               self.theme.title)  # fmt: skip
        if key == self._shown:
            return
        self._shown = key
        self.clear()
        self._case_form()
        if entry is not None:
            self._film_form(entry)
        if desk.ready:
            self._given_form()
            self._scale_form()
        self._patient_form()
        self.column.addStretch(1)

    def _notes(self):
        evaluation = self.desk.evaluation
        return evaluation.scale.notes if evaluation is not None else ()

    # -- case and film ---------------------------------------------------------------------
    def _form(self, box=None):
        form = QFormLayout()
        form.setHorizontalSpacing(12)
        form.setVerticalSpacing(5)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.ExpandingFieldsGrow)
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        (box or self.column).addLayout(form)
        return form

    def _line(self, form, label, text, take, placeholder=""):
        field = QLineEdit(text)
        field.setAccessibleName(label)
        field.setPlaceholderText(placeholder)

        def done():
            if field.text() != text:
                self._try(lambda: take(field.text().strip()))

        field.editingFinished.connect(done)
        form.addRow(self.fitted(QLabel(label)), field)
        return field

    def _try(self, act):
        try:
            act()
        except InputError as error:
            self.desk.said.emit(error_text(error), True)

    def _case_form(self):
        self.heading(self.tr("Case"))
        form = self._form()
        desk = self.desk
        self._line(
            form,
            self.tr("Label"),
            desk.case.label,
            lambda text: desk.apply(edits.SetLabel(text)),
            self.tr("any words; no name is needed"),
        )

    def _patient_form(self):
        """The only identity a case can hold; it goes into the record and into films made DICOM."""
        self.heading(self.tr("Patient, if you like"))
        form, desk = self._form(), self.desk
        for name, label, example in (
            ("name", self.tr("Name"), self.tr("Family^Given")),
            ("number", self.tr("Number"), ""),
            ("birth_date", self.tr("Born on"), "1971-03-02"),
            ("sex", self.tr("Sex"), "M, F, O"),
        ):
            value = desk.case.identity.get(name, "")
            self._line(form, label, value, self._identity_taker(name), example)

    def _identity_taker(self, name):
        return lambda text: self.desk.apply(edits.SetIdentity(name, text))

    def _film_form(self, entry):
        self.heading(self.tr("Film"))
        form = self._form()
        desk = self.desk
        role = QComboBox()
        for name in FILM_ROLES:
            role.addItem(role_word(name), name)
        role.setCurrentIndex(FILM_ROLES.index(entry.role))
        role.setAccessibleName(self.tr("Role of the film"))
        role.activated.connect(lambda i: desk.apply(edits.SetRole(entry.film_id, role.itemData(i))))
        form.addRow(self.tr("Role"), role)
        self._line(
            form,
            self.tr("Visit"),
            entry.visit,
            lambda text: desk.apply(edits.SetVisit(entry.film_id, text)),
            "2026-03-01",
        )
        if desk.film is not None:
            self.words(
                f"{entry.name} · {desk.film.kind} · {desk.film.width} × "
                f"{desk.film.height} px · {desk.film.bits} bit",
                quiet=True,
            )
            for note in (desk.film.spacing_words, *desk.film.notes):
                self.words(translated(note), quiet=True)

    # -- entered values ----------------------------------------------------------------------
    def _given_form(self):
        self.heading(self.tr("Entered"))
        form = self._form()
        given = self.desk.chart.landmarks.given if self.desk.chart else {}
        for name in _NUMBERS:
            value = given.get(name)
            text = "" if value is None else decimal(f"{value:g}")
            label = landmark_title(name)
            label = f"{label[:1].upper()}{label[1:]}, mm"
            if name == "age_years":
                label = self.tr("Age, years")
            self._line(form, label, text, self._taker(name))
        technique = QComboBox()
        technique.addItem(self.tr("not known"), None)
        for key, words in TECHNIQUES:
            technique.addItem(translate("Next", words), key)
        technique.setCurrentIndex(max(technique.findData(given.get("technique")), 0))
        label = landmark_title("technique")
        technique.setAccessibleName(label)
        technique.activated.connect(lambda i: self.desk.give("technique", technique.itemData(i)))
        form.addRow(self.fitted(QLabel(label[:1].upper() + label[1:])), technique)

    def _taker(self, name):
        def take(text):
            value = None
            if text:
                value = number(text)
                if GIVEN[name][0] is int and value == int(value):
                    value = int(value)
            self.desk.give(name, value)

        return take

    # -- scale ---------------------------------------------------------------------------------
    def _scale_form(self):
        self.heading(self.tr("Scale"))
        marks = self.desk.chart.landmarks if self.desk.chart else None
        entries = marks.scale if marks is not None else ()
        for i, entry in enumerate(entries):
            self._scale_row(entries, i, entry)
        self._button(
            self.tr("From the film, or the receptor's pixel size"),
            lambda: self.desk.choose("scale"),
        )
        for words, entry in spacing_offers(self.desk.film, entries):
            self._button(words, lambda entry=entry: self.desk.add_scale(entry))
        for note in map(translated, self._notes()):
            self.words(note[:1].upper() + note[1:] + ".", quiet=True)

    def _button(self, text, act):
        row = QHBoxLayout()
        button = QPushButton(text)
        button.clicked.connect(lambda _=False: act())
        row.addWidget(button)
        row.addStretch(1)
        self.column.addLayout(row)

    def _scale_row(self, entries, index, entry):
        box = QVBoxLayout()
        head = QHBoxLayout()
        title = {
            KnownLength: self.tr("Known length"),
            Sphere: self.tr("Ball"),
            Detector: self.tr("Receptor"),
        }[type(entry)]
        head.addWidget(QLabel(f"<b>{title}</b>"))
        head.addStretch(1)
        words = self.tr("Take away")
        away = QPushButton(words)
        away.setAccessibleName(f"{title}: {words}")
        away.clicked.connect(lambda: self.desk.set_scale(*entries[:index], *entries[index + 1 :]))
        head.addWidget(away)
        box.addLayout(head)
        form = self._form(box)
        for field, label in self._scale_fields(entry):
            value = getattr(entry, field)
            text = "" if value is None else decimal(f"{value:g}")
            self._line(form, label, text, self._changer(entries, index, entry, field))
        if isinstance(entry, KnownLength):
            form.addRow(self.tr("Lies"), self._along(entries, index, entry))
        self.column.addLayout(box)

    def _scale_fields(self, entry):
        if isinstance(entry, KnownLength):
            return (("length_mm", self.tr("Length, mm")), ("u_mm", self.tr("± mm (1 s.d.)")))
        if isinstance(entry, Sphere):
            return (("diameter_mm", self.tr("Diameter, mm")), ("u_mm", self.tr("± mm (1 s.d.)")))
        return (
            ("mm_per_px", self.tr("mm per pixel")),
            ("magnification", self.tr("Magnification")),
            ("u_magnification", self.tr("± (1 s.d.)")),
        )

    def _changer(self, entries, index, entry, field):
        def take(text):
            value = number(text) if text else None
            new = replace(entry, **{field: value})
            self.desk.set_scale(*entries[:index], new, *entries[index + 1 :])

        return take

    def _along(self, entries, index, entry):
        box = QComboBox()
        for key, words in (
            ("tooth", self.tr("along the tooth")),
            ("across", self.tr("across the tooth")),
            ("free", self.tr("in no fixed direction")),
        ):
            box.addItem(words, key)
        box.setCurrentIndex(box.findData(entry.along))
        box.setAccessibleName(self.tr("Direction of the object"))

        def chosen(i):
            new = replace(entry, along=box.itemData(i))
            self.desk.set_scale(*entries[:index], new, *entries[index + 1 :])

        box.activated.connect(chosen)
        return box
