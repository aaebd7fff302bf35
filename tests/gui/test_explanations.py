"""Every reading and rule explains itself: definition, picture, source; and what makes it surer."""

import re

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QLabel
from window_hands import SAMPLES

from radmeasure.gui import rule_words, surer
from radmeasure.gui.explain import EXPLANATIONS
from radmeasure.gui.pictures import READINGS, RULES, picture_of
from radmeasure.gui.schematic import LEVELS, Schematic
from radmeasure.gui.theme import THEMES
from radmeasure.quantity import Quantity, normal
from radmeasure.workflow.measure import READING_IDS, measure_film
from radmeasure.workflow.rulebook import load_rulebook

# The words a source is qualified by, and what stands in place of one.
TRUST = re.compile(r"read\b|memory|practice|no source|mathematics|canal line|measured")


@pytest.mark.parametrize("reading", READING_IDS)
def test_every_reading_of_the_catalogue_has_definition_picture_and_source(reading):
    explanation = EXPLANATIONS[reading]
    assert len(explanation.text) > 20 and TRUST.search(explanation.source)
    assert not picture_of(reading).empty


def test_no_explanation_is_of_something_that_is_not_measured():
    assert set(EXPLANATIONS) == set(READING_IDS) == set(READINGS)


def test_every_rule_has_a_reason_a_picture_and_a_source():
    rulebook = load_rulebook()
    entries = [*rulebook.rules.values()]
    entries += [
        e for i, e in rulebook.settings.items() if i.startswith(("post.", "gain.", "ferrule."))
    ]
    for entry in entries:
        words = " ".join(rule_words.told(entry.id, rulebook))
        assert entry.why and entry.source, entry.id
        assert TRUST.search(words), words
        if entry.id != "post.primary":  # a sentence about primary teeth, not a measure
            assert not picture_of(rule=entry).empty, entry.id


def test_pictures_name_only_rules_there_are():
    rulebook = load_rulebook()
    assert set(RULES) - {"post.straight"} <= set(rulebook.settings)
    assert set(rule_words.ENTRIES.values()) <= set(rulebook.settings)


@pytest.mark.parametrize("name", sorted({**READINGS, **RULES}))
def test_a_picture_marks_what_it_measures(qtbot, name):
    """Something is drawn in the colour of the measure, and nothing falls off the picture."""
    picture = {**READINGS, **RULES}[name]
    theme = THEMES["contrast"]
    widget = Schematic(picture, theme)
    qtbot.addWidget(widget)
    for start, end in picture.spans:
        assert LEVELS[start] < LEVELS[end]
    image = widget.grab().toImage()
    blue = [
        (x, y)
        for x in range(image.width())
        for y in range(image.height())
        if image.pixelColor(x, y).blue() - image.pixelColor(x, y).red() > 40
    ]
    assert len(blue) > 15
    edge = {0, image.height() - 1}
    assert not any(y in edge for _, y in blue)


@pytest.mark.parametrize("film", ["alder.dcm", "cedar.dcm", "elm.png", "fir.dcm", "ivy-post.dcm"])
def test_the_budget_of_every_reading_is_told_with_advice(film):
    """Shares of the variance sum to one; every source is told in words and has an advice."""
    measured = measure_film(SAMPLES / film, SAMPLES / f"{film.split('.')[0]}.landmarks.json")
    for reading in measured.evaluation.readings:
        if reading.quantity is None or not reading.quantity.budget:
            continue
        found = surer.shares(reading.quantity)
        assert sum(share for _, share in found) == pytest.approx(1.0)
        for source, _ in found:
            assert surer.advice_on(source), source
            assert not surer.source_words(source).startswith("placement")
        if len(found) > 1:
            told = list(surer.told(reading.quantity))
            assert len(told) == 2 and "%" in told[0]


def test_the_largest_source_comes_first_and_small_ones_are_left_out():
    """Worked by hand: 0.3, 0.4 and 0.01 mm share the variance 36, 64 and 0.04 %."""
    parts, names = np.array([0.3, 0.4, 0.01]), ("magnification", "placement of apex", "dust")
    quantity = Quantity(10.0, 0.5, (9.0, 11.0), parts, names)
    told = next(surer.told(quantity))
    assert told.index("apex 64") < told.index("magnification 36") and "dust" not in told
    assert list(surer.told(normal(3.0, 0.0))) == []


def test_the_record_explains_a_rule_in_place(hands, window, qtbot):
    """Behind "why": figure, reason and source of the rule, its picture, and the budget."""
    _cedar(hands, window)
    record = window.leaves.record
    line = next(li for li in record._lines if li.key and "crown it carries" in li.accessibleName())
    record._followed(f"why:{line.key}")
    text = " ".join(label.accessibleName() for label in record._why.findChildren(QLabel))
    assert "Not shorter than the crown it carries" in text and "J Dent 2024" in text
    assert "Uncertainty from" in text and "Surer:" in text
    assert record._why.findChild(Schematic) is not None


def test_an_explanation_stays_with_its_sentence(hands, window):
    """Sentences before it come and go; it stood behind another rule's words then."""
    _cedar(hands, window)
    record, desk = window.leaves.record, window.desk
    line = next(
        li for li in record._lines if li.key and "wide at that depth" in li.accessibleName()
    )
    record._followed(f"why:{line.key}")
    assert _line_above(record) is line
    desk.choose_plan("seal_mm", 4.0)
    hands.settle()
    sentences = hands.sentences()
    wide = next(i for i, s in enumerate(sentences) if "wide at that depth" in s)
    assert any("4 mm of filling kept" in s for s in sentences[:wide])  # one has come before it
    assert "wide at that depth" in _line_above(record).accessibleName()
    window.commands["undo"].trigger()
    hands.settle()
    assert "wide at that depth" in _line_above(record).accessibleName()


def test_an_explanation_follows_the_numbers(hands, window):
    """What makes a value unsure is told as it is now, not as it was when somebody asked."""
    _cedar(hands, window)
    record, desk = window.leaves.record, window.desk
    line = next(li for li in record._lines if li.key and "Post space safe" in li.accessibleName())
    record._followed(f"why:{line.key}")
    first = _told(record)
    desk.give("technique", "bisecting")
    hands.settle()
    assert "Post space safe" in _line_above(record).accessibleName()
    assert _told(record) != first


def _told(record):
    return " ".join(label.accessibleName() for label in record._why.findChildren(QLabel))


def _line_above(record):
    return record._column.itemAt(record._column.indexOf(record._why) - 1).widget()


def test_a_practices_own_figure_is_told_beside_the_shipped_one(quick_folder, make_window, qtbot):
    (quick_folder / "rulebook.toml").write_text(
        '[post.seal]\nvalue = 4.0\nsource = "our own"\ntrust = "practice"\n'
        "[filling.length]\nlimit = [0.0, 1.5]\n"
    )
    window = make_window()
    page = window.leaves.turn_to("help")
    page.show_page("rules")
    qtbot.waitUntil(lambda: "as shipped" in _words(page), timeout=5000)
    words = _words(page)
    assert "4 mm, as shipped 5 mm" in words and "Our own" in words
    assert "0 to 1.5 mm, as shipped 0 to 2 mm" in words
    assert "No source was given for the change." in words
    told = " ".join(rule_words.told("apical_seal", window.desk.rulebook))
    assert "4 mm" in told and "as shipped: 5 mm" in told


def _words(page):
    return " ".join(label.accessibleName() for label in page.page.findChildren(QLabel))


def _cedar(hands, window):
    from radmeasure.files.landmarks_json import read_landmarks
    from radmeasure.model import edits

    window.suggesting.automatic = False
    hands.open(SAMPLES / "cedar.dcm")
    window.desk.set_job("post plan")
    marks = read_landmarks(SAMPLES / "cedar.landmarks.json")
    window.desk.set_scale(*marks.scale)
    for name, value in marks.given.items():
        window.desk.give(name, value)
    film, tooth = window.desk.film_id, window.desk.tooth
    found = [edits.Place(film, tooth, n, r, v) for r, n, v in marks.placed()]
    window.desk.apply(edits.Several("", tuple(found)))
    hands.settle()


def test_figures_of_the_record_stay_with_their_units(hands, window):
    """No line ends between ± and its figure, or a figure and its unit (SI brochure, 5.4.3: a
    space that is part of the quantity)."""
    _cedar(hands, window)
    for line in window.leaves.record._lines:
        plain = re.sub("<[^>]*>", "", line.html or "")
        assert not re.search(r"\d (mm|%)|± \d|\d ±", plain), plain


def test_a_click_anywhere_on_a_sentence_opens_its_why_and_another_closes_it(window, hands, qtbot):
    """A word is a small target for a gloved hand."""
    _cedar(hands, window)
    record = window.leaves.record
    line = next(li for li in record._lines if li.key and "why:" in (li.html or ""))
    for explaining in (True, False):
        qtbot.mouseClick(line, Qt.MouseButton.LeftButton, pos=QPoint(6, line.height() // 2))
        assert record.explaining == explaining
    heading = next(li for li in record._lines if li.key is None and li.isVisible())
    qtbot.mouseClick(heading, Qt.MouseButton.LeftButton)
    assert not record.explaining


def test_a_click_on_the_link_itself_counts_once(window, hands, qtbot):
    _cedar(hands, window)
    record = window.leaves.record
    line = next(li for li in record._lines if li.key and "why:" in (li.html or ""))
    asked, followed = [], []
    line.linkActivated.connect(asked.append)
    for x in range(2, line.width(), 8):  # somewhere here lies the word itself
        asked.clear()
        at = QPoint(x, line.height() - line.fontMetrics().height() // 2)
        qtbot.mouseClick(line, Qt.MouseButton.LeftButton, pos=at)
        assert len(asked) == 1
        followed.append(record.explaining)
    assert followed == [i % 2 == 0 for i in range(len(followed))]
