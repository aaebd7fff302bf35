"""Fit how large errors are for a given spread, and how often a trace is lost.

    python -m tests.experiments.fit_certainty FOLDER [FOLDER ...] [--scatters 4]

Measures the scorers in radmeasure/tracing/scorers.npz on films of a kind they were not
taught, each developed anew, and writes the fits beside them. The films should be drawn by
other rules than those the scorers have seen, as a user's films are: ours are of random
anatomy and of the generator as it stands after crowns, enamel and bone were redrawn.
"""

import argparse

import numpy as np

from radmeasure.tracing.certainty import LOST_MM, LOST_POINT_MM, features, kind_of
from radmeasure.tracing.network import shipped
from tests.experiments.suggest import measured
from tests.experiments.suggest_films import films
from tests.experiments.suggest_redeveloped import redeveloped

COVERAGE = 0.94  # share of distances wanted within 1.96 u
LEVEL_95 = 1.96
# Where it lies on the film depends most on how a tooth is drawn: u is the geometric mean of
# what all films and what random anatomy alone ask for.
AS_DRAWN = ("cej",)
RIDGE = 3.0  # pulls slopes to 0, in units of records


def fits(found):
    """Mapping of kind to its fit, from many Miss."""
    by_kind = {}
    for m in found:
        if np.isfinite(m.share):
            by_kind.setdefault(kind_of(m.name), []).append(m)
    return {f"{kind}.certainty": _fit(kind, rows) for kind, rows in sorted(by_kind.items())}


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


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folders", nargs="+")
    parser.add_argument("--scatters", type=int, default=4)
    parser.add_argument("--out", default="radmeasure/tracing/scorers.npz")
    args = parser.parse_args()
    rng = np.random.default_rng(3)
    unseen = [redeveloped(rng, f) for f in films(*args.folders) for _ in range(args.scatters)]
    found = measured(unseen, 1, False, seed=5)[0]
    arrays = {name: a for name, a in shipped().items() if not name.endswith(".certainty")}
    arrays.update(fits(found))
    wild = {film.name for film in unseen if film.domain}
    for name, fit in fits([m for m in found if m.kind in AS_DRAWN and m.film in wild]).items():
        range_mm = np.sqrt(arrays[name][-2:] * fit[-2:])
        arrays[name] = np.concatenate([0.5 * (arrays[name] + fit)[:-2], range_mm])
    np.savez_compressed(args.out, **arrays)
    print(f"fitted on {len(unseen)} developments of {len(unseen) // args.scatters} films")


if __name__ == "__main__":
    main()
