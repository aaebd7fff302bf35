"""The scorers' arithmetic and their stored form."""

import numpy as np

from radmeasure.tracing import canal, levels, metal, profiles
from radmeasure.tracing.network import Network, scorer_names, trained


def _network(classes):
    rng = np.random.default_rng(0)
    return Network(
        rng.normal(size=5),
        np.full(5, 0.5),
        rng.normal(size=(5, 3)),
        rng.normal(size=3),
        rng.normal(size=(3, classes)),
    )


def test_score_is_the_written_formula():
    net = _network(2)
    x = np.random.default_rng(1).normal(size=(4, 7, 5)).astype(np.float32)
    expected = np.tanh((x - net.mean) * net.scale @ net.w1 + net.b1) @ net.w2
    np.testing.assert_allclose(net(x), expected, atol=1e-5)


def test_one_class_gives_one_number_per_place():
    assert _network(1)(np.zeros((4, 7, 5), np.float32)).shape == (4, 7)


def test_weights_survive_being_stored(tmp_path):
    net = _network(2)
    np.savez_compressed(tmp_path / "x.npz", **net.stored("cej"))
    with np.load(tmp_path / "x.npz") as again:
        np.testing.assert_allclose(again["cej.w1"], net.w1, rtol=1e-3)
        np.testing.assert_allclose(again["cej.w2"], net.w2, rtol=1e-3)


def test_every_shipped_scorer_fits_its_features():
    sizes = {
        "wall": profiles.WALL_FEATURES,
        "canal": canal.CANAL_FEATURES,
        "canal_wall": canal.CANAL_WALL_FEATURES,
        "contents": metal.TRACK_FEATURES,
    }
    for name in scorer_names():
        net = trained(name)
        close = levels.CLOSE_FEATURES if name in levels.CLOSE else 0
        assert net.w1.shape[0] == sizes.get(name, levels.LEVEL_FEATURES + close), name
        assert np.isfinite(net.w1).all(), name
    assert {"cej", "crest", "orifice", "foramen", *metal.ENDS} <= scorer_names()
