"""Synthetic films in a case: recipes saved and read again, the truth kept and compared."""

import pytest
from small_film import SMALL

from radmeasure.errors import InputError
from radmeasure.model.recipe import recipe
from radmeasure.workflow import synthetic
from radmeasure.workflow.evaluate import evaluate
from radmeasure.workflow.rulebook import load_rulebook
from radmeasure.workflow.session import Session


@pytest.mark.parametrize("seed", range(0, 60, 5))
def test_a_drawn_recipe_saved_and_read_again_is_the_same(seed, tmp_path):
    table = synthetic.drawn_table(seed)
    path = tmp_path / "drawn.toml"
    synthetic.save_recipe(path, table)
    ((name, again),) = synthetic.open_recipe(path)
    assert recipe(again) == recipe(table)
    assert name == "drawn"


def test_an_object_with_nothing_said_of_it_survives_the_file(tmp_path):
    """`sphere = {}`: a ball of the usual size, not no ball."""
    path = tmp_path / "ball.toml"
    synthetic.save_recipe(path, SMALL)
    ((_, again),) = synthetic.open_recipe(path)
    assert recipe(again).sphere == recipe(SMALL).sphere is not None


def test_a_wrong_recipe_is_not_written(tmp_path):
    path = tmp_path / "wrong.toml"
    with pytest.raises(InputError, match="kerma_ugy"):
        synthetic.save_recipe(path, SMALL | {"receptor": {"kerma_ugy": -3}})
    assert not path.exists()


def test_truth_is_kept_with_the_case_and_held_against_the_readings(quick_folder):
    """The film comes back from the case with its truth; the truth's own landmarks read true.

    Reading minus truth is checked against the recipe (filling 3 mm short) and,
    for all lengths, against the stated uncertainty: perfect landmarks lie well
    within it.
    """
    shares = []
    made = synthetic.make_film(SMALL, shares.append)
    assert made.film.tooth_fdi == ("21",) and made.job == "filling check"
    assert shares == sorted(shares) and shares[-1] == 1.0
    session = Session.create(quick_folder / "synthetic.radcase")
    entry = session.add_film(made.film.raw, made.film.name)
    assert not synthetic.has_truth(session, entry.film_id)
    synthetic.keep_truth(session, entry.film_id, made.truth)
    session.close()
    session = Session.open(quick_folder / "synthetic.radcase")
    assert synthetic.has_truth(session, entry.film_id) and synthetic.all_synthetic(session)
    known = synthetic.known_truth(session, entry.film_id)
    evaluation = evaluate(known.landmarks, load_rulebook())
    rows = {r.reading.key: r for r in synthetic.against_truth(evaluation, known)}
    filling = rows["filling_to_apex", "single", None, None]
    assert filling.true == pytest.approx(3.0, abs=0.01)
    for id_ in ("tooth_length", "root_length", "filling_to_apex"):
        row = rows[id_, "single", None, None]
        assert row.off == pytest.approx(row.reading.quantity.value - row.true)
        assert row.in_u == pytest.approx(row.off / row.reading.quantity.u)
        assert abs(row.in_u) < 2
    session.close()


def test_a_film_of_somebody_is_not_taken_for_a_synthetic_one(quick_folder):
    from window_hands import SAMPLES

    session = Session.create(quick_folder / "own.radcase")
    assert synthetic.all_synthetic(session)
    entry = session.add_film((SAMPLES / "birch.png").read_bytes(), "birch.png")
    assert not synthetic.all_synthetic(session)
    assert synthetic.known_truth(session, entry.film_id) is None
    session.close()
