"""A case made on the command line, opened in the window."""

from radmeasure.workflow.demo import run_demo


def test_it_opens_at_the_job_its_film_was_taken_for(window, hands, tmp_path):
    """The demo's film is a filling check: no file is asked for."""
    _, paths = run_demo(tmp_path / "demo")
    hands.open(paths["case"])
    assert window.desk.job.id == "filling check"
    assert len(window.desk.landmarks.roots["single"].lines) == 5
