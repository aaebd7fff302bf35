"""Small trained scorers: features in, one score out.

One hidden layer, weights from tests/experiments/train_suggest.py, stored as text in
:mod:`radmeasure.tracing.weights` so that no file is read at run time.
"""

import base64
from dataclasses import dataclass
from functools import lru_cache

import numpy as np


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

    def packed(self):
        """Text holding the weights at half precision."""
        parts = (self.mean, self.scale, self.w1.ravel(), self.b1, self.w2.ravel())
        raw = np.concatenate([np.asarray(p, float) for p in parts]).astype("<f2").tobytes()
        return base64.b85encode(raw).decode("ascii")


def unpacked(text, features, hidden, classes):
    """Inverse of :meth:`Network.packed`."""
    flat = np.frombuffer(base64.b85decode(text), "<f2").astype(np.float32)
    sizes = (features, features, features * hidden, hidden)
    mean, scale, w1, b1, w2 = np.split(flat, np.cumsum(sizes))
    return Network(mean, scale, w1.reshape(features, hidden), b1, w2.reshape(hidden, classes))


@lru_cache
def trained(name):
    """The shipped network ``name``."""
    from radmeasure.tracing.weights import WEIGHTS

    return unpacked(*WEIGHTS[name])
