"""A file in a canal that bends towards cheek or tongue is drawn to its very tip."""

import numpy as np
import pytest

from radmeasure.model.recipe import recipe
from radmeasure.phantoms import landmarks, scene, treatment
from radmeasure.phantoms.frame import Rays
from radmeasure.workflow.synthesise import tables


def steel_mm(drawn, name, ends):
    """Steel that rays meet at places along the file's axis, mm."""
    root = drawn.tooth.shape.root(name)
    shaft = treatment.file_parts(drawn.tooth, root, drawn.recipe.file, ends)[2].solid
    heights = np.linspace(ends.coronal, ends.apical - 0.15, 60)
    places = landmarks._on_axis(drawn.tooth, root, heights)
    source = np.asarray(drawn.view.source)
    way = places - source
    way = (way / np.linalg.norm(way, axis=1)[:, None]).astype(np.float32)
    start = tuple(np.full(len(way), c, np.float32) for c in source)
    enter, leave = shaft.interval(Rays(start, tuple(way.T)))
    return leave - enter


@pytest.mark.parametrize("toward", ["buccal", "lingual", "distal"])
@pytest.mark.parametrize(("tooth", "root"), [("16", "palatal"), ("36", "distal"), ("11", "single")])
def test_every_place_of_the_axis_shows_steel(tooth, root, toward):
    table = {
        "tooth": tooth,
        "roots": {root: {"curve_deg": 25, "toward": toward}},
        "file": {"root": root, "short_mm": 1.0, "size": 15},
    }
    drawn = scene.build(recipe(table), tables().anatomy)
    for name, ends in drawn.file.items():
        assert (steel_mm(drawn, name, ends) > 0.05).all()
