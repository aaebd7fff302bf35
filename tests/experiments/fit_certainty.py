"""Fit how large errors are for a given spread, and how often a trace is lost.

Used by train_suggest: scorers trained on one half of the films are measured on the
other, so the fits see errors as they are on new films, of another kind than those seen.
"""

import numpy as np

from radmeasure.tracing.certainty import LOST_MM, LOST_POINT_MM, features, kind_of

COVERAGE = 0.94  # share of distances wanted within 1.96 u
LEVEL_95 = 1.96
RIDGE = 3.0  # pulls slopes to 0, in units of records


def fits(found):
    """Mapping of kind to its fit, from many Miss."""
    by_kind = {}
    for m in found:
        if np.isfinite(m.share):
            by_kind.setdefault(kind_of(m.name), []).append(m)
    return {f"{kind}.certainty": _fit(kind, rows) for kind, rows in sorted(by_kind.items())}


def halves(source):
    """(taught, asked) film indices: one half by how enamel ends, the other half asked.

    A film from elsewhere is drawn by other rules than any the scorers have seen. The two
    halves differ as much as our own films can: enamel that ends blunt against enamel that
    fades away; films of the tables' mean anatomy stand between and are dealt out.
    """
    drawn = [film.domain.get("enamel") for film in source]
    # Blunt end plus the rise over the first mm of a 9 mm crown, mm.
    steep = [None if e is None else e[0] + e[2] / e[1] / 9.0 for e in drawn]
    middle = np.median([s for s in steep if s is not None] or [0.0])
    blunt = {i for i, s in enumerate(steep) if (s > middle if s is not None else i % 2)}
    faded = set(range(len(source))) - blunt
    return (blunt, sorted(faded)), (faded, sorted(blunt))


def _fit(kind, found):
    x = np.array([features(m.deviation_mm, m.share) for m in found])
    lost_at = LOST_MM.get(kind, LOST_POINT_MM)
    kept = np.array([m.true and m.error_mm <= lost_at for m in found], float)
    logit = _logistic(x, kept)
    there = np.array([m.true for m in found])
    sure = there & (x @ logit > 0.0)
    sure = sure if sure.sum() >= 8 else there
    if not sure.any():
        return np.array([0.0, 0.0, 0.0, -3.0, 0.0, 0.0, 1.0, 1.0])
    x, sure = x[sure], [m for m, take in zip(found, sure) if take]
    log_u = _least_squares(x, np.log([m.error_mm + 0.01 for m in sure]))
    log_u[0] += np.log(_stretch(sure, np.exp(x @ log_u)))
    return np.concatenate([log_u, logit, np.quantile(np.exp(x @ log_u), (0.02, 0.98))])


def _stretch(found, u):
    """Factor on ``u`` for the wanted coverage, every point of a line counting its share."""
    ratio = np.concatenate([m.each_mm / v for m, v in zip(found, u)])
    weight = np.concatenate([np.full(len(m.each_mm), 1.0 / len(m.each_mm)) for m in found])
    order = np.argsort(ratio)
    share = np.cumsum(weight[order]) / weight.sum()
    return ratio[order][np.searchsorted(share, COVERAGE)] / LEVEL_95


def _least_squares(x, y):
    penalty = RIDGE * np.diag([0.0] + [1.0] * (x.shape[1] - 1))
    centre = np.concatenate([[0.0], x[:, 1:].mean(axis=0)])
    moved = x - centre
    slope = np.linalg.solve(moved.T @ moved + penalty, moved.T @ y)
    slope[1:] = [min(max(s, low), high) for s, low, high in zip(slope[1:], (0, 0), (1.2, 1.2))]
    slope[0] = np.mean(y - moved[:, 1:] @ slope[1:])
    slope[0] -= centre[1:] @ slope[1:]
    return slope


def _logistic(x, kept, prior=2.0):
    """Ridge logistic regression by Newton steps; slopes only where more doubt is worse."""
    centre = np.concatenate([[0.0], x[:, 1:].mean(axis=0)])
    moved = x - centre
    # A pinch of both outcomes keeps a kind that was never lost from claiming certainty.
    moved = np.vstack([moved, np.repeat(np.eye(1, x.shape[1]), 2, axis=0)])
    y = np.concatenate([kept, [1.0, 0.0]])
    w = np.zeros(x.shape[1])
    penalty = prior * np.diag([0.0] + [1.0] * (x.shape[1] - 1))
    for _ in range(40):
        p = 1.0 / (1.0 + np.exp(-moved @ w))
        hessian = (moved * (p * (1 - p))[:, None]).T @ moved + penalty + 1e-9 * np.eye(len(w))
        w = w + np.clip(np.linalg.solve(hessian, moved.T @ (y - p) - penalty @ w), -2.0, 2.0)
    w[1:] = np.minimum(w[1:], 0.0)
    w[0] -= centre[1:] @ w[1:]
    return w
