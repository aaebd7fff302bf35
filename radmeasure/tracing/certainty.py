"""From the spread of a trace to a standard uncertainty and a confidence that hold.

The chain's own spread is too narrow: neighbouring levels are not independent and a trace
can be lost. tests/experiments/train_suggest.py measures, on films of the project's own
generator, how large errors are for a given spread and share of the probability, and
stores log-linear fits; here they are applied.
"""

import numpy as np

from radmeasure.tracing.network import shipped

# Landmarks whose two sides share one fit.
# The root face is often not marked on the film at all: it is worth showing within 2 mm.
LOST_MM = {"canal": 0.5, "canal_wall": 0.5, "root_wall": 0.5, "orifice": 2.0}
LOST_POINT_MM = 1.0
CROWD_MM = 3.0  # about half a molar's root is this wide
# Roots of a tooth with several hide each other: what lies in them has a fit of its own.
IN_ROOTS = {"apex", "foramen", "canal", "canal_wall", "root_wall"}
LEAST_CONFIDENCE = 0.5
# A mark that may be farther off than twice this helps nobody, mm. Orifice and CEJ are
# shown with more: without them there is no depth and no bone support at all.
LARGEST_U_MM = {"orifice": 2.5, "cej": 2.0}
LARGEST_POINT_U_MM = 1.2


def kind_of(name):
    """Name without its side."""
    return name.removesuffix("_mesial").removesuffix("_distal")


def fit_name(name, overlay):
    """Which fit says how sure a landmark is; ``overlay`` is 0 for a single root only."""
    kind = kind_of(name)
    return f"{kind}.several" if kind in IN_ROOTS and overlay > 0.0 else kind


def worth_showing(name, u_mm, confidence):
    """Sure enough to be worth a person's look."""
    largest = LARGEST_U_MM.get(kind_of(name), LARGEST_POINT_U_MM)
    return confidence >= LEAST_CONFIDENCE and u_mm <= largest


def features(deviation_mm, share, overlay):
    """Regressors of both fits."""
    doubt = 1.0 - min(max(share, 0.0), 1.0)
    return np.array([1.0, np.log(deviation_mm + 0.02), np.log(doubt + 0.01), overlay])


def overlay_of(apices, across, unit_px):
    """How far each root lies over another on the film: 0 free, 1 exactly behind one another.

    Parameters
    ----------
    apices : ndarray, shape (R, 2)
        Film px.
    across : ndarray, shape (2,)
        Unit vector square to the tooth.
    """
    beside = np.asarray(apices) @ across / unit_px
    gap = np.abs(beside[:, None] - beside[None])
    np.fill_diagonal(gap, np.inf)
    return np.exp(-((gap.min(axis=1) / CROWD_MM) ** 2))


def judged(name, deviation_mm, share, overlay=0.0):
    """Standard uncertainty (mm) and confidence of a suggestion.

    Confidence is the probability that the suggestion is not lost: a point within 1 mm,
    a line within 0.5 mm of the truth on average.
    """
    fit = shipped().get(f"{fit_name(name, overlay)}.certainty")
    x = features(deviation_mm, share, overlay)
    if fit is None:
        return float(max(2.0 * deviation_mm, 0.1)), float(share)
    log_u, logit, (low, high) = np.split(fit.astype(float), (4, 8))
    u_mm = float(np.clip(np.exp(x @ log_u), low, high))
    return u_mm, float(1.0 / (1.0 + np.exp(-x @ logit)))
