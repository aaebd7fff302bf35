"""Colours of the window. The film's surround is black in every theme."""

from dataclasses import dataclass

from PySide6.QtCore import QT_TRANSLATE_NOOP
from PySide6.QtGui import QColor, QPalette


@dataclass(frozen=True)
class Theme:
    """Named colours; ``paper`` is the record, ``frame`` all round it."""

    title: str
    frame: str
    frame_text: str
    frame_quiet: str
    field: str
    line: str
    accent: str
    accent_text: str
    paper: str
    ink: str
    ink_quiet: str
    fails: str
    close: str
    link: str
    paper_line: str
    chart: str
    trouble: str
    faint: str  # examples in empty fields, of the frame
    paper_faint: str  # and of the paper

    @property
    def edge(self):
        """Between parts of the window: a line where their grounds are the same."""
        return self.line if self.frame == self.paper else self.frame


THEMES = {
    "evening": Theme(
        QT_TRANSLATE_NOOP("Theme", "Dark with paper"),
        frame="#15191C", frame_text="#E8ECEE", frame_quiet="#98A2A8", field="#22292E",
        line="#2E363C", accent="#56B4E9", accent_text="#06222F",
        paper="#EFEBDF", ink="#1B1D1F", ink_quiet="#5C5A52", fails="#9A3000", close="#6A4A00",
        link="#00527F", paper_line="#D3CDBB", chart="dark",
        trouble="#5A1E00", faint="#8A9299", paper_faint="#6A685F",
    ),
    "day": Theme(
        QT_TRANSLATE_NOOP("Theme", "Light"),
        frame="#E9ECEE", frame_text="#15191C", frame_quiet="#525C63", field="#FFFFFF",
        line="#C3CACF", accent="#0072B2", accent_text="#FFFFFF",
        paper="#FFFFFF", ink="#15191C", ink_quiet="#55595C", fails="#9A3000", close="#6A4A00",
        link="#00527F", paper_line="#D5DADD", chart="paper",
        trouble="#FFE1D2", faint="#697177", paper_faint="#697177",
    ),
    "night": Theme(
        QT_TRANSLATE_NOOP("Theme", "Dark"),
        frame="#0F1214", frame_text="#D5DADD", frame_quiet="#8C979D", field="#1B2125",
        line="#272F34", accent="#56B4E9", accent_text="#06222F",
        paper="#1A1E21", ink="#DDE1E3", ink_quiet="#98A1A6", fails="#FF9C66", close="#F0C85A",
        link="#7CC8F2", paper_line="#30383D", chart="dark",
        trouble="#5A1E00", faint="#8A9299", paper_faint="#8A9299",
    ),
    "contrast": Theme(
        QT_TRANSLATE_NOOP("Theme", "High contrast"),
        frame="#000000", frame_text="#FFFFFF", frame_quiet="#FFFFFF", field="#000000",
        line="#FFFFFF", accent="#F0E442", accent_text="#000000",
        paper="#000000", ink="#FFFFFF", ink_quiet="#FFFFFF", fails="#FFB080", close="#F0E442",
        link="#8AD4FF", paper_line="#FFFFFF", chart="contrast",
        trouble="#000000", faint="#C4C9CC", paper_faint="#C4C9CC",
    ),
}  # fmt: skip
DEFAULT = "evening"


def palette(theme):
    """QPalette of the frame."""
    p = QPalette()
    role = QPalette.ColorRole
    for which, colour in (
        (role.Window, theme.frame),
        (role.WindowText, theme.frame_text),
        (role.Base, theme.field),
        (role.AlternateBase, theme.frame),
        (role.Text, theme.frame_text),
        (role.Button, theme.field),
        (role.ButtonText, theme.frame_text),
        (role.BrightText, theme.fails),
        (role.Highlight, theme.accent),
        (role.HighlightedText, theme.accent_text),
        (role.PlaceholderText, theme.faint),
        (role.ToolTipBase, theme.field),
        (role.ToolTipText, theme.frame_text),
        (role.Link, theme.link),
        (role.Mid, theme.line),
        (role.Midlight, theme.line),
        (role.Dark, theme.line),
        (role.Light, theme.line),
        (role.Shadow, theme.frame),
    ):
        p.setColor(which, QColor(colour))
    for which in (role.WindowText, role.Text, role.ButtonText):
        quiet = QColor(theme.frame_quiet)
        quiet.setAlpha(130 if theme.title != "High contrast" else 255)
        p.setColor(QPalette.ColorGroup.Disabled, which, quiet)
    return p


def paper_palette(theme):
    """QPalette of the record and the other leaves."""
    p = palette(theme)
    role = QPalette.ColorRole
    for which, colour in (
        (role.Window, theme.paper),
        (role.WindowText, theme.ink),
        (role.Base, theme.paper),
        (role.AlternateBase, theme.paper),
        (role.Text, theme.ink),
        (role.Button, theme.paper),
        (role.ButtonText, theme.ink),
        (role.PlaceholderText, theme.paper_faint),
        (role.Link, theme.link),
        (role.Highlight, theme.link),
        (role.HighlightedText, theme.paper),
        (role.Mid, theme.paper_line),
        (role.Midlight, theme.paper_line),
        (role.Dark, theme.paper_line),
        (role.Light, theme.paper_line),
    ):
        p.setColor(which, QColor(colour))
    return p


def style_sheet(theme):
    """What a palette cannot say: tabs underlined, lines instead of boxes, focus to be seen."""
    return f"""
    QMenuBar {{ background: {theme.frame}; color: {theme.frame_text}; padding: 1px 6px; }}
    QMenuBar::item {{ padding: 3px 9px; background: transparent; }}
    QMenuBar::item:selected {{ background: {theme.accent}; color: {theme.accent_text}; }}
    QMenu {{ background: {theme.field}; color: {theme.frame_text};
             border: 1px solid {theme.line}; }}
    QMenu::item {{ padding: 4px 26px 4px 22px; }}
    QMenu::item:selected {{ background: {theme.accent}; color: {theme.accent_text}; }}
    QMenu::item:disabled {{ color: {theme.frame_quiet}; }}
    QMenu::separator {{ height: 1px; background: {theme.line}; margin: 4px 8px; }}
    QToolTip {{ background: {theme.field}; color: {theme.frame_text};
                border: 1px solid {theme.line}; padding: 3px; }}
    QSplitter::handle {{ background: {theme.frame}; border-left: 1px solid {theme.edge}; }}
    QTabBar#jobs::tab {{ background: transparent; color: {theme.frame_quiet};
        padding: 7px 4px 5px 4px; margin: 0 9px; border: none;
        border-bottom: 3px solid transparent; }}
    QTabBar#jobs::tab:selected {{ color: {theme.frame_text};
        border-bottom: 3px solid {theme.accent}; }}
    QTabBar#jobs::tab:hover {{ color: {theme.frame_text}; }}
    QTabBar#jobs {{ background: transparent; }}
    QTabBar#jobs:focus {{ border-bottom: 1px solid {theme.accent}; }}
    QTabBar#leaves::tab {{ background: {theme.frame}; color: {theme.frame_quiet};
        padding: 2px 9px 4px 9px; border: none; border-top: 2px solid transparent;
        margin-right: 1px; }}
    QTabBar#leaves::tab:selected {{ background: {theme.paper}; color: {theme.ink};
        border-top-color: {theme.accent}; }}
    QTabBar#leaves:focus {{ border: 1px solid {theme.accent}; }}
    QWidget#leaves {{ background: {theme.paper}; }}
    QTabBar#leaves {{ background: {theme.frame}; }}
    QLineEdit, QSpinBox, QComboBox {{ border: 1px solid {theme.frame_quiet}; border-radius: 2px;
        padding: 2px 5px; }}
    QLineEdit {{ placeholder-text-color: {theme.faint}; }}
    QWidget#paper QLineEdit {{ placeholder-text-color: {theme.paper_faint}; }}
    QLineEdit:focus, QComboBox:focus {{ border: 2px solid {theme.accent}; padding: 1px 4px; }}
    QPushButton {{ border: 1px solid {theme.frame_quiet}; border-radius: 2px;
        padding: 3px 11px; }}
    QPushButton:focus {{ border: 2px solid {theme.accent}; padding: 2px 10px; }}
    QPushButton:hover {{ border-color: {theme.accent}; }}
    QPushButton:default {{ font-weight: bold; }}
    QPushButton:disabled {{ color: {theme.frame_quiet}; border-color: {theme.line}; }}
    QWidget#paper {{ background: {theme.paper}; }}
    QWidget#paper QLabel, QWidget#paper QPushButton, QWidget#paper QComboBox,
    QWidget#paper QLineEdit, QTableView#paper, QWidget#paper QListWidget {{
        color: {theme.ink}; background: {theme.paper}; }}
    QWidget#paper QLabel {{ background: transparent; }}
    QWidget#paper QLabel[quiet="true"] {{ color: {theme.ink_quiet}; }}
    QWidget#paper Line {{ border-left: 3px solid transparent; padding-left: 5px; }}
    QWidget#paper Line:focus {{ border-left-color: {theme.link}; }}
    QWidget#paper QLineEdit, QWidget#paper QComboBox, QWidget#paper QPushButton {{
        border-color: {theme.ink_quiet}; }}
    QWidget#paper QPushButton:checked {{ background: {theme.link}; color: {theme.paper}; }}
    QWidget#paper QLineEdit:focus, QWidget#paper QComboBox:focus,
    QWidget#paper QPushButton:focus {{ border-color: {theme.link}; }}
    QWidget#paper QComboBox QAbstractItemView {{ color: {theme.ink};
        background: {theme.paper}; selection-background-color: {theme.link};
        selection-color: {theme.paper}; }}
    QCheckBox::indicator:unchecked {{ border: 1px solid {theme.frame_quiet};
        width: 11px; height: 11px; background: {theme.field}; }}
    QWidget#paper QCheckBox {{ color: {theme.ink}; background: transparent;
        border: 2px solid transparent; padding: 1px 3px; margin-left: -5px; }}
    QWidget#paper QCheckBox:focus {{ border-color: {theme.link}; }}
    QWidget#paper QCheckBox::indicator:unchecked {{ border: 1px solid {theme.ink_quiet};
        width: 11px; height: 11px; background: {theme.paper}; }}
    QWidget#paper QSlider {{ min-height: 20px; border: 2px solid transparent; }}
    QWidget#paper QSlider:focus {{ border-color: {theme.link}; }}
    QSlider::groove:horizontal {{ height: 4px; border-radius: 2px;
        background: {theme.ink_quiet}; }}
    QSlider::sub-page:horizontal {{ height: 4px; border-radius: 2px; background: {theme.link}; }}
    QSlider::handle:horizontal {{ width: 10px; margin: -6px 0; border-radius: 3px;
        background: {theme.ink}; border: 1px solid {theme.paper}; }}
    QWidget#paper QProgressBar {{ border: 1px solid {theme.ink_quiet}; color: {theme.ink};
        background: {theme.paper}; text-align: center; }}
    QWidget#paper QProgressBar::chunk {{ background: {theme.paper_line}; }}
    QTableView#paper::item:focus {{ border: 2px solid {theme.link}; }}
    QTableView#paper::item:selected, QWidget#paper QListWidget::item:selected {{
        background: {theme.link}; color: {theme.paper}; }}
    QWidget#welcome QLabel, QWidget#welcome QPushButton {{ color: #E8ECEE;
        background: transparent; }}
    QWidget#welcome QPushButton {{ border-color: #98A2A8; }}
    QWidget#welcome QPushButton:focus {{ border-color: #56B4E9; }}
    QWidget#nextline {{ background: {theme.frame}; border-top: 1px solid {theme.line}; }}
    QWidget#notice {{ background: {theme.field}; border: 1px solid {theme.line}; }}
    QWidget#notice QLabel {{ border: none; }}
    QWidget#notice[trouble="true"] {{ background: {theme.trouble}; }}
    QScrollArea {{ border: 2px solid transparent; background: transparent; }}
    QScrollArea:focus {{ border-color: {theme.link}; }}
    QScrollBar:vertical {{ width: 10px; background: transparent; }}
    QScrollBar:horizontal {{ height: 10px; background: transparent; }}
    QScrollBar::handle:vertical {{ background: {theme.frame_quiet}; min-height: 24px;
        border-radius: 3px; margin: 0 2px; }}
    QScrollBar::handle:horizontal {{ background: {theme.frame_quiet}; min-width: 24px;
        border-radius: 3px; margin: 2px 0; }}
    QScrollBar::add-line, QScrollBar::sub-line {{ height: 0; width: 0; }}
    QTableView, QTreeView, QListView {{ border: none; gridline-color: {theme.paper_line}; }}
    QHeaderView::section {{ background: {theme.paper}; color: {theme.ink_quiet}; border: none;
        border-bottom: 1px solid {theme.paper_line}; padding: 3px 6px; }}
    """
