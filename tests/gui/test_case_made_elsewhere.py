"""Cases no window made, opened in the window: a film's role says its job, and stays."""

import pytest
from window_hands import SAMPLES

from radmeasure.workflow.demo import run_demo
from radmeasure.workflow.session import Session


def test_the_demo_opens_at_the_job_its_film_was_taken_for(hands, window, tmp_path):
    """Its film is a filling check: a case full of marks asks for no file."""
    _, paths = run_demo(tmp_path / "demo")
    hands.open(paths["case"])
    desk = window.desk
    assert desk.job.id == "filling check"
    assert desk.want is None or not desk.want.name.startswith("file_")
    hands.settle(30000)
    assert desk.job.id == "filling check"
    assert desk.entry.role == "filling check"


@pytest.fixture
def made(tmp_path):
    """``made(role)`` is the path of a case with one film of that role and nothing placed."""

    def make(role):
        path = tmp_path / "made.radcase"
        with Session.create(path) as session:
            session.add_film((SAMPLES / "cedar.dcm").read_bytes(), "cedar.dcm", role)
        return path

    return make


@pytest.mark.parametrize("role", ["length check", "post check", "recall"])
def test_what_is_found_on_the_film_changes_neither_job_nor_role(hands, window, made, role):
    """No file is seen on it, which alone would make it a filling check."""
    hands.open(made(role))
    hands.settle(30000)
    desk = window.desk
    assert not window.referencing.found("file")
    assert (desk.job.id, desk.entry.role) == (role, role)


def test_a_role_without_a_job_leaves_the_job_to_what_is_found(hands, window, made):
    hands.open(made("other"))
    hands.settle(30000)
    assert (window.desk.job.id, window.desk.entry.role) == ("filling check", "other")


def test_a_film_opened_next_is_still_told_by_what_is_found_on_it(hands, window, made):
    """Nobody gave that one a role."""
    hands.open(made("recall"))
    hands.settle(30000)
    hands.open(SAMPLES / "birch.png")
    hands.settle(30000)
    assert (window.desk.job.id, window.desk.entry.role) == ("filling check", "filling check")


def test_another_film_is_asked_about_from_the_start(hands, window, tmp_path):
    """What was left to do on the film before is not asked of one nothing is placed on."""
    _, paths = run_demo(tmp_path / "demo")
    hands.open(paths["case"])
    hands.settle(30000)
    desk = window.desk
    assert desk.want.name == "lesion"
    hands.open(SAMPLES / "ivy-plan.dcm")
    hands.settle(30000)
    assert desk.want.key in (("scale", None), ("technique", None))  # its ball may be found late
