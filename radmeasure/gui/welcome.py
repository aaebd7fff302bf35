"""What stands in place of a film: open one, or try a sample."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from radmeasure.gui.jobs import BY_ID, title


class Welcome(QWidget):
    """Shown over the canvas while the case has no film."""

    def __init__(self, window, canvas):
        super().__init__(canvas)
        self.window_ = window
        column = QVBoxLayout(self)
        column.addStretch(2)
        words = self.tr("Drop a film here")
        head = QLabel(f"<p style='font-size:x-large'>{words}</p>")
        head.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        column.addWidget(head)
        row = QGridLayout()
        row.setColumnStretch(0, 1)
        row.setColumnStretch(3, 1)
        for i, (text, act) in enumerate(
            (
                (self.tr("Open … (Ctrl+O)"), window.open),
                (self.tr("Three-minute tour"), window.tour_start),
            )
        ):
            button = QPushButton(text)
            button.clicked.connect(lambda _=False, act=act: act())
            row.addWidget(button, 0, 1 + i)
        column.addLayout(row)
        column.addSpacing(18)
        self._samples = QGridLayout()
        column.addLayout(self._samples)
        column.addStretch(3)
        self._filled = False

    def follow(self):
        """Stand over the canvas while there is no film."""
        desk = self.window_.desk
        empty = desk.film is None and not self.window_.opening.busy
        if empty:
            self._fill()
            self.setGeometry(self.parentWidget().rect())
        self.setVisible(empty)

    def _fill(self):
        if self._filled:
            return
        self._filled = True
        from radmeasure.workflow.samples import sample_films

        samples = sample_films()
        if samples:
            words = QLabel(self.tr("or try a synthetic sample, for teaching only:"))
            words.setAlignment(Qt.AlignmentFlag.AlignHCenter)
            self._samples.addWidget(words, 0, 1, 1, 2)
        self._samples.setColumnStretch(0, 1)
        self._samples.setColumnStretch(3, 1)
        for i, sample in enumerate(samples):
            button = QPushButton(f"{sample.name}: {title(BY_ID[sample.job])}")
            button.setFlat(True)
            button.clicked.connect(lambda _=False, s=sample: self.window_.open_sample(s))
            self._samples.addWidget(button, 1 + i // 2, 1 + i % 2)
