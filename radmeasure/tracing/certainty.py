"""From the spread of a trace to a standard uncertainty and a confidence that hold.

The chain's own spread is too narrow: neighbouring levels are not independent and a trace
can be lost. tests/experiments/train_suggest.py measures, on films of the project's own
generator, how large errors are for a given spread and share of the probability, and
stores log-linear fits; here they are applied.
"""

import numpy as np

from radmeasure.tracing.network import shipped

# Landmarks whose two sides share one fit.
LOST_MM = {"canal": 0.5, "canal_wall": 0.5, "root_wall": 0.5}
LOST_POINT_MM = 1.0
LEAST_CONFIDENCE = 0.5


def kind_of(name):
    """Name without its side."""
    return name.removesuffix("_mesial").removesuffix("_distal")


def features(deviation_mm, share):
    """Regressors of both fits."""
    doubt = 1.0 - min(max(share, 0.0), 1.0)
    return np.array([1.0, np.log(deviation_mm + 0.02), np.log(doubt + 0.01)])


def judged(name, deviation_mm, share):
    """Standard uncertainty (mm) and confidence of a suggestion.

    Confidence is the probability that the suggestion is not lost: a point within 1 mm,
    a line within 0.5 mm of the truth on average.
    """
    fit = shipped().get(f"{kind_of(name)}.certainty")
    x = features(deviation_mm, share)
    if fit is None:
        return float(max(2.0 * deviation_mm, 0.1)), float(share)
    log_u, logit, (low, high) = np.split(fit.astype(float), (3, 6))
    u_mm = float(np.clip(np.exp(x @ log_u), low, high))
    return u_mm, float(1.0 / (1.0 + np.exp(-x @ logit)))
