"""Every theme can be read: contrast of text and of what shows the focus.

WCAG 2.2, success criteria 1.4.3 (text, 4.5 : 1) and 1.4.11 (parts of the
interface, 3 : 1); relative luminance and contrast ratio as defined there (read).
"""

import pytest
from PySide6.QtGui import QColor

from radmeasure.gui import overlay, theme
from radmeasure.gui.looks import LOOKS
from radmeasure.workflow.level_chart import PENS, colour

TEXT, PART = 4.5, 3.0


def luminance(name):
    def linear(channel):
        return channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4

    shade = QColor(name)
    return (
        0.2126 * linear(shade.redF())
        + 0.7152 * linear(shade.greenF())
        + 0.0722 * linear(shade.blueF())
    )


def contrast(a, b):
    one, other = sorted((luminance(a), luminance(b)))
    return (other + 0.05) / (one + 0.05)


def test_the_measure_itself():
    """Black on white is 21 : 1, #767676 on white just meets 4.5 (WCAG's own examples)."""
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("name", theme.THEMES)
@pytest.mark.parametrize(
    ("text", "ground"),
    [
        *(("frame_text", g) for g in ("frame", "field", "trouble")),
        *(("frame_quiet", g) for g in ("frame", "field")),
        *((t, "paper") for t in ("ink", "ink_quiet", "fails", "close", "link")),
        ("accent_text", "accent"),
        ("paper", "link"),
        ("faint", "field"),
        ("paper_faint", "paper"),
    ],
)
def test_text_can_be_read(name, text, ground):
    found = theme.THEMES[name]
    assert contrast(getattr(found, text), getattr(found, ground)) >= TEXT


@pytest.mark.parametrize("name", theme.THEMES)
@pytest.mark.parametrize(
    ("part", "ground"),
    [
        ("accent", "frame"),
        ("accent", "field"),
        ("link", "paper"),
        ("frame_quiet", "field"),
        ("ink_quiet", "paper"),
    ],
)
def test_focus_and_edges_can_be_seen(name, part, ground):
    found = theme.THEMES[name]
    assert contrast(getattr(found, part), getattr(found, ground)) >= PART


@pytest.mark.parametrize("name", theme.THEMES)
def test_the_focus_shows_on_the_black_round_the_film(name):
    assert contrast(theme.THEMES[name].accent, "#000000") >= PART


@pytest.mark.parametrize("chart", sorted({t.chart for t in theme.THEMES.values()}))
@pytest.mark.parametrize("pen", [p for p in PENS if p.startswith("label")])
def test_labels_of_the_level_chart_can_be_read(chart, pen):
    assert contrast(colour(PENS[pen].stroke, chart), colour("paper", chart)) >= TEXT


@pytest.mark.parametrize("name", LOOKS)
@pytest.mark.parametrize("film", ["#FFFFFF", "#000000", "#808080"])
def test_labels_on_the_film_can_be_read_over_any_grey(name, film):
    """The plate lets a part of the film shine through: its colour over white, grey and black."""
    share = overlay.PLATE / 255
    grey = round(QColor(film).red() * (1 - share))
    assert contrast(LOOKS[name].letters, QColor(grey, grey, grey)) >= TEXT


@pytest.mark.parametrize("name", theme.THEMES)
def test_the_slider_can_be_seen(name, window, qtbot):
    """Groove and handle stand out from the paper, 3 : 1; they were black on black once."""
    from radmeasure.gui.amount import Amount

    window.set_theme(name)
    page = window.leaves.turn_to("ways")
    qtbot.wait(50)
    amount = Amount("Tooth gained, mm", 6.0)
    page.add(amount)
    amount.show_value(3.0)
    amount.show()
    qtbot.wait(50)
    image = amount.slider.grab().toImage()
    paper, seen = theme.THEMES[name].paper, set()
    for x in range(4, image.width() - 4):
        if contrast(image.pixelColor(x, image.height() // 2).name(), paper) >= PART:
            seen.add(x)
    assert len(seen) > 0.8 * (image.width() - 8)
