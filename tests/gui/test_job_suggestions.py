"""What is suggested suits the job: no post before there is one, no file after it is out."""

import json

from window_hands import SAMPLES


def test_a_post_plan_suggests_no_post(hands, window):
    """Cedar carries a dense access filling and no post; all suggestions can be kept."""
    marks = json.loads((SAMPLES / "cedar.landmarks.json").read_text())
    desk = window.desk
    hands.open(SAMPLES / "cedar.dcm")
    desk.set_job("post plan")
    desk.place("coronal_reference", None, tuple(marks["points"]["coronal_reference"]))
    apex = tuple(marks["roots"]["single"]["points"]["apex"])
    desk.place("apex", "single", apex)
    if window.suggesting._task is None and desk.suggested is None:
        window.suggesting.start()
    hands.settle(60000)
    names = {name for _, name, _ in desk.suggested.placed()}
    assert {"filling_apical", "orifice"} <= names
    assert not any(name.startswith(("post_", "file_")) for name in names)


def test_a_recall_asks_for_the_radiolucency(window, hands):
    """Healing at the apex is what a recall looks for (common practice, no source)."""
    from radmeasure.model import edits

    window.suggesting.automatic = False
    hands.open(SAMPLES / "juniper-later.dcm")
    desk = window.desk
    desk.set_job("recall")
    marks = hands.take_marks("juniper-later", "13")
    (root,) = (r for r, name, _ in marks.placed() if name == "lesion")
    desk.apply(edits.Remove(desk.film_id, "13", "lesion", root))
    desk.lead()
    assert desk.want is not None and desk.want.name == "lesion"
