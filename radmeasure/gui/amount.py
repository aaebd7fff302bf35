"""An amount in millimetres that is dragged along a slider or typed beside it."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QSlider, QWidget

from radmeasure.errors import InputError
from radmeasure.gui.entering import number
from radmeasure.reports.words import decimal, error_text

_STEPS_PER_MM = 10


class Amount(QWidget):
    """Words, a slider of tenths, and the number.

    Signals
    -------
    dragged(float)
        The value while the slider is held.
    chosen(object)
        The value that was settled on; None when the number was cleared.
    wrong(str)
        What was typed is no number.
    """

    dragged = Signal(float)
    chosen = Signal(object)
    wrong = Signal(str)

    def __init__(self, words, most_mm, parent=None):
        super().__init__(parent)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(QLabel(words))
        self.slider = QSlider(Qt.Orientation.Horizontal)
        self.slider.setRange(0, round(most_mm * _STEPS_PER_MM))
        self.slider.setPageStep(_STEPS_PER_MM // 2)
        self.slider.setAccessibleName(words)
        self.field = QLineEdit()
        self.field.setMaximumWidth(56)
        self.field.setAccessibleName(words)
        row.addWidget(self.slider, 1)
        row.addWidget(self.field)
        self._shown = ""
        self.slider.valueChanged.connect(self._moved)
        self.slider.sliderReleased.connect(self._released)
        self.field.editingFinished.connect(self._typed)

    def show_value(self, mm):
        """Show an amount; what a hand holds just now is left alone."""
        text = decimal(f"{mm:.1f}")
        if not self.field.hasFocus() or self.field.text() == self._shown:
            self.field.setText(text)
        self._shown = text
        if not self.slider.isSliderDown():
            blocked = self.slider.blockSignals(True)
            self.slider.setValue(round(mm * _STEPS_PER_MM))
            self.slider.blockSignals(blocked)

    @property
    def _mm(self):
        return self.slider.value() / _STEPS_PER_MM

    def _moved(self, _):
        (self.dragged if self.slider.isSliderDown() else self.chosen).emit(self._mm)

    def _released(self):
        self.chosen.emit(self._mm)

    def _typed(self):
        text = self.field.text().strip()
        if text == self._shown:
            return
        try:
            self.chosen.emit(number(text) if text else None)
        except InputError as error:
            self.wrong.emit(error_text(error))
