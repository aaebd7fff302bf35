"""A new synthetic film from the form, its recipe as a file, its truth on demand."""

import pytest
from PySide6.QtWidgets import QLabel
from small_film import SMALL
from window_hands import SAMPLES

from radmeasure.gui.recipe_fields import GROUPS, NumberField, get, put, specs
from radmeasure.model.recipe import recipe
from radmeasure.workflow import synthetic


@pytest.fixture
def form(window):
    window.commands["new_synthetic"].trigger()
    return window.leaves.page("synthetic")


def test_every_field_of_the_form_is_an_entry_of_the_recipe():
    for _, section, entries in GROUPS:
        for dotted, _ in entries:
            assert dotted in specs()
            assert section is None or dotted.startswith(section + ".")


@pytest.mark.parametrize("seed", range(0, 40, 2))
def test_a_recipe_goes_through_the_form_unchanged(form, seed):
    """Shown entries or not: what is loaded comes out as it went in."""
    table = synthetic.drawn_table(seed)
    form._take(table)
    assert recipe(form.recipe_table()) == recipe(table)


def test_what_is_typed_stands_in_the_recipe(form, qtbot):
    form._take({"tooth": "11", "seed": 4})
    form.side.setCurrentIndex(1)
    form.tooth.setCurrentIndex(1)
    assert form.fdi.text() == "22"
    filling = next(p for p in form.presences if p.section == "filling")
    field = form.fields["filling.short_mm"]
    assert not field.isVisible()
    filling.setChecked(True)
    assert field.isVisible()
    qtbot.keyClicks(field, "3,5")
    made = recipe(form.recipe_table())
    assert (made.tooth.fdi, made.seed, made.filling.short_mm) == ("22", 4, 3.5)
    filling.setChecked(False)
    assert recipe(form.recipe_table()).filling is None


def test_a_wrong_entry_is_said_and_nothing_is_drawn(form, window, qtbot):
    field = form.fields["receptor.kerma_ugy"]
    for text, says in (("much", "not a number"), ("-4", "kerma_ugy")):
        field.setText(text)
        form.start()
        qtbot.waitUntil(lambda: not form.making.busy, timeout=10000)
        assert says in window.notice.text
        assert window.desk.film is None


def test_recipe_saved_and_loaded_by_the_form(form, tmp_path):
    form._take(SMALL)
    path = tmp_path / "small.toml"
    form.save(str(path))
    form._take({"tooth": "46"})
    form.load(str(path))
    assert recipe(form.recipe_table()) == recipe(SMALL)
    assert "neighbours" in form.kept.text()


def test_drawing_fills_the_form_with_another_case_each_time(form):
    seen = set()
    for _ in range(3):
        form.draw()
        seen.add(form.seed.text())
    assert len(seen) == 3


def test_the_film_opens_in_a_case_with_its_truth_hidden(form, window, hands, qtbot):
    """Made beside, shown, measured; truth crosses and table only on demand."""
    form._take(SMALL)
    form.start()
    assert form.making.busy and form.bar.isVisible() and form.cancel.isVisible()
    with qtbot.waitSignal(form.making.made, timeout=60000):
        pass
    hands.settle()
    desk = window.desk
    assert desk.film_id is not None and desk.tooth == "21" and desk.job.id == "filling check"
    assert desk.truth is None and not window.canvas.overlay.truth
    known = window.known_truth()
    for name, root in (("coronal_reference", None), ("apex", "single")):
        desk.place(name, root, known.landmarks.get(name, root))
    hands.settle()
    window.commands["show_truth"].trigger()
    assert desk.truth == known.landmarks and window.canvas.overlay.truth
    page = window.leaves.page("truth")
    qtbot.waitUntil(lambda: "off by" in _words(page), timeout=5000)
    assert "Tooth length" in _words(page)
    window.commands["show_truth"].trigger()
    assert desk.truth is None and not window.canvas.overlay.truth
    assert "off by" not in _words(page)


def test_another_film_hides_the_truth_and_a_film_of_somebody_has_none(form, window, hands, qtbot):
    hands.draw(form, SMALL)
    window.commands["show_truth"].trigger()
    hands.open(SAMPLES / "birch.png")
    assert window.desk.truth is None
    assert not window.commands["show_truth"].isEnabled()
    # And the next synthetic film does not join a case with that one.
    window.commands["new_synthetic"].trigger()
    assert form.own_case.isChecked() and not form.own_case.isEnabled()


def test_cancelling_leaves_everything_as_it_was(form, window, qtbot):
    form._take(SMALL | {"receptor": {"size": "2", "pitch_um": 20.0}})
    path = window.desk.session.path
    form.start()
    qtbot.wait(50)
    form.making.cancel()
    qtbot.waitUntil(lambda: not form.making.busy, timeout=60000)
    assert window.desk.film is None and window.desk.session.path == path
    assert "No film was made" in window.notice.text


def test_put_and_get_reach_into_sections():
    table = {}
    put(table, "bone.loss_percent.mesial", 30.0)
    assert get(table, "bone.loss_percent.mesial") == 30.0
    put(table, "bone.loss_percent.mesial", None)
    assert table == {"bone": {}}
    assert get({"post": {}}, "post.kind") is None


def test_numbers_tell_their_range(form):
    for field in form.fields.values():
        if isinstance(field, NumberField):
            assert field.toolTip() and field.accessibleDescription()


def test_focus_goes_to_the_first_field(form, window):
    assert window.focusWidget() is form.jaw


def _words(page):
    return " ".join(label.text() for label in page.page.findChildren(QLabel) if label.isVisible())
