"""Fit how large errors are for a given spread, and how often a trace is lost.

Used by train_suggest: scorers trained on some of the films are measured on others of
another kind, so the fits see errors as they are on new films, not like those seen.
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
    """Pairs of (taught, asked) film indices, the asked of a kind the taught are not.

    A film from elsewhere is drawn by other rules than any the scorers have seen. So they
    are asked about teeth with flat proximal faces after being taught on round ones, and
    about enamel that fades away after being taught on enamel that ends blunt.
    """
    drawn = [film.domain for film in source]
    flat = {i for i, d in enumerate(drawn) if d.get("square", 0.0) > 0.2}
    # Blunt end plus the rise over the first mm of a 9 mm crown, mm.
    steep = {i: d["enamel"][0] + d["enamel"][2] / d["enamel"][1] / 9.0
             for i, d in enumerate(drawn) if d}  # fmt: skip
    middle = np.median([*steep.values()] or [0.0])
    faded = {i for i in range(len(source)) if steep.get(i, i % 2 + middle - 0.5) < middle} - flat
    everything = set(range(len(source)))
    return [(everything - asked, sorted(asked)) for asked in (flat, faded) if asked]


def _fit(kind, found):
    x = np.array([features(m.deviation_mm, m.share, m.overlay) for m in found])
    lost_at = LOST_MM.get(kind, LOST_POINT_MM)
    kept = np.array([m.true and m.error_mm <= lost_at for m in found], float)
    logit = _logistic(x, kept)
    there = np.array([m.true for m in found])
    sure = there & (x @ logit > 0.0)
    sure = sure if sure.sum() >= 8 else there
    if not sure.any():
        return np.array([0.0, 0.0, 0.0, 0.0, -3.0, 0.0, 0.0, 0.0, 1.0, 1.0])
    x, errors = x[sure], [m.each_mm for m, take in zip(found, sure) if take]
    log_u = _quantile_fit(x, errors) - np.array([np.log(LEVEL_95), 0.0, 0.0, 0.0])
    return np.concatenate([log_u, logit, np.quantile(np.exp(x @ log_u), (0.02, 0.98))])


def _quantile_fit(x, errors):
    """Log-linear fit of the distance within which ``COVERAGE`` of the errors lie.

    Quantile regression (Koenker & Bassett, Econometrica 1978;46:33-50, memory): what is
    stretched is the tail where it is, not everything because of it. Every point of a line
    counts its share. Slopes only where more doubt is worse.
    """
    from scipy.optimize import minimize

    every = [e[:: max(1, len(e) // 15)] for e in errors]
    y = np.log(np.concatenate(every) + 0.005)
    weight = np.concatenate([np.full(len(e), 1.0 / len(e)) for e in every])
    rows = np.repeat(x, [len(e) for e in every], axis=0)
    centre = np.concatenate([[0.0], x[:, 1:].mean(axis=0)])

    def loss(w):
        over = y - (rows - centre) @ w
        pinball = np.where(over > 0, COVERAGE * over, (COVERAGE - 1.0) * over)
        return weight @ pinball + 0.05 * RIDGE * (w[1:] @ w[1:])

    start = np.array([np.quantile(y, COVERAGE), 0.3, 0.3, 0.3])
    bounds = [(None, None), (0.0, 1.5), (0.0, 1.5), (0.0, 4.0)]
    w = minimize(loss, start, method="Powell", bounds=bounds).x
    w[0] -= centre[1:] @ w[1:]
    return w


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
