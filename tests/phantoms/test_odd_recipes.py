"""Recipes at the edge of what a tooth can hold are drawn or refused in words, never a traceback."""

import pytest

from radmeasure.errors import InputError
from radmeasure.model.recipe import recipe
from radmeasure.phantoms import scene
from radmeasure.workflow.synthesise import tables


def test_voids_need_a_filling_to_lie_in():
    table = {"tooth": "11", "filling": {"short_mm": 11.5, "voids": 2}}
    with pytest.raises(InputError, match="no room for voids"):
        scene.build(recipe(table), tables().anatomy)


def test_a_margin_that_never_meets_the_outline_is_left_out(monkeypatch):
    """No landmark is invented where the broken edge misses the silhouette."""
    from radmeasure.phantoms import landmarks

    table = {"tooth": "15", "crown": {"state": "lost", "margin_mm": {"mesial": 1.0, "distal": 1.0}}}
    drawn = scene.build(recipe(table), tables().anatomy)
    assert "margin_mesial" in landmarks.landmarks(drawn).points
    monkeypatch.setattr(landmarks, "margin", lambda scene, side: None)
    assert "margin_mesial" not in landmarks.landmarks(drawn).points
