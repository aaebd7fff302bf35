"""Small trained scorers: features in, one score out.

One hidden layer. The weights are data of this package: ``scorers.npz``, written by
tests/experiments/train_suggest.py and read once, when the first scorer is asked for.
"""

from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

import numpy as np

_PARTS = ("mean", "scale", "w1", "b1", "w2")


@dataclass(frozen=True, eq=False)
class Network:
    """``score = tanh((x - mean) * scale @ w1 + b1) @ w2``, one score per class.

    Attributes
    ----------
    mean, scale : ndarray, shape (F,)
    w1 : ndarray, shape (F, H)
    b1 : ndarray, shape (H,)
    w2 : ndarray, shape (H, C)
    """

    mean: np.ndarray
    scale: np.ndarray
    w1: np.ndarray
    b1: np.ndarray
    w2: np.ndarray

    def __call__(self, features):
        """Scores of features shape (..., F); result (..., C), or (...) for one class."""
        shape = features.shape[:-1]
        flat = features.reshape(-1, features.shape[-1])
        folded = self.w1 * self.scale[:, None]
        hidden = flat @ folded
        hidden += self.b1 - self.mean @ folded
        np.tanh(hidden, out=hidden)
        score = hidden @ self.w2
        return score.reshape(shape if score.shape[1] == 1 else (*shape, score.shape[1]))

    def stored(self, name):
        """Arrays to store under ``name``, at half precision."""
        return {f"{name}.{part}": getattr(self, part).astype("<f2") for part in _PARTS}


@lru_cache
def shipped():
    """The arrays of scorers.npz by name; not to be changed."""
    with (files(__package__) / "scorers.npz").open("rb") as file, np.load(file) as stored:
        return {name: stored[name] for name in stored.files}


@lru_cache
def trained(name):
    """The shipped network ``name``."""
    return Network(*(shipped()[f"{name}.{part}"].astype(np.float32) for part in _PARTS))


def scorer_names():
    """Names of the shipped networks."""
    return {name.removesuffix(".w1") for name in shipped() if name.endswith(".w1")}
