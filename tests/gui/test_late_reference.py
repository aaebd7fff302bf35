"""A ball found late, while something after it in the job is asked for, is asked for next."""

from PySide6.QtCore import Qt
from window_hands import SAMPLES


def test_a_ball_found_while_the_technique_is_asked_is_asked_right_after(hands, window, monkeypatch):
    from radmeasure.gui import referencing
    from radmeasure.workflow.references import find_references

    monkeypatch.setattr(referencing, "_find_all", lambda report, film: ())
    window.desk.set_job("post plan")
    hands.open(SAMPLES / "cedar.dcm")
    desk = window.desk
    assert desk.want.name == "technique" and not desk.reference_seen
    found = find_references(desk.film)
    window.referencing._keep(desk.film_id, found)
    assert desk.want.name == "technique"  # what is asked does not change under the hand
    hands.key(Qt.Key.Key_1)
    assert desk.want.kind == "scale" and desk.pending.kind == "sphere"
    hands.type("5")
    hands.settle()
    assert desk.want.name == "coronal_reference"
    assert [e.diameter_mm for e in desk.landmarks.scale] == [5.0]


def test_one_that_was_left_for_later_is_not_asked_again(hands, window):
    window.desk.set_job("post plan")
    hands.open(SAMPLES / "cedar.dcm")
    desk = window.desk
    desk.choose("scale")
    hands.key(Qt.Key.Key_Backspace)
    if desk.want.name == "technique":
        hands.key(Qt.Key.Key_1)
    assert desk.want.name == "coronal_reference"
