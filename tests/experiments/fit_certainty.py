"""Fit how large errors are for a given spread, and how often a trace is lost.

    python -m tests.experiments.fit_certainty FOLDER [FOLDER ...] [--scatters 4]

Measures the scorers in radmeasure/tracing/scorers.npz on films of a kind they were not
taught, each developed anew, and writes the fits beside them. Among them are films of random
anatomy: a user's films are drawn by other rules than ours.
"""

import argparse
from itertools import chain

import numpy as np

from radmeasure.tracing.certainty import LOST_MM, LOST_POINT_MM, features, fit_name, kind_of
from radmeasure.tracing.network import shipped
from tests.experiments.suggest import measured
from tests.experiments.suggest_films import films
from tests.experiments.suggest_redeveloped import redeveloped
from tests.experiments.train_suggest import use

COVERAGE = 0.94  # share of distances wanted within 1.96 u
LEVEL_95 = 1.96
FOLDS = 5
RIDGE = 3.0  # pulls slopes to 0, in units of records


def fits(found):
    """Mapping of name to fit, from many Miss."""
    by_fit = {}
    for m in found:
        if np.isfinite(m.share):
            by_fit.setdefault(fit_name(m.name, m.overlay), []).append(m)
    return {f"{name}.certainty": _fit(rows) for name, rows in sorted(by_fit.items())}


def _fit(found):
    x = np.array([features(m.deviation_mm, m.share, m.overlay) for m in found])
    lost_at = LOST_MM.get(kind_of(found[0].name), LOST_POINT_MM)
    kept = np.array([m.true and m.error_mm <= lost_at for m in found], float)
    logit = _logistic(x, kept)
    there = np.array([m.true for m in found])
    sure = there & (x @ logit > 0.0)
    sure = sure if sure.sum() >= 8 else there
    if not sure.any():
        return np.array([0.0, 0.0, 0.0, 0.0, -3.0, 0.0, 0.0, 0.0, 1.0, 1.0])
    x, chosen = x[sure], [m for m, take in zip(found, sure) if take]
    errors = [_thinned(m.each_mm) for m in chosen]
    wider = _wider(x, errors, [m.film for m in chosen])
    log_u = _quantile_fit(x, errors) + np.array([np.log(wider / LEVEL_95), 0.0, 0.0, 0.0])
    return np.concatenate([log_u, logit, np.quantile(np.exp(x @ log_u), (0.02, 0.98))])


def _thinned(errors):
    return errors[:: max(1, len(errors) // 15)]


def _wider(x, errors, films):
    """By how much the fit must grow to hold ``COVERAGE`` on films it has not seen, at least 1.

    A fit to few films is too sure of others: every fifth film is held back in turn
    (cross-conformal prediction: Vovk, Ann Math Artif Intell 2015;74:9-28, memory).
    """
    names = sorted(set(films))
    if len(names) < 2 * FOLDS:
        return 1.0
    fold = np.array([names.index(film) % FOLDS for film in films])
    excess, weight = [], []
    for k in range(FOLDS):
        fit = _quantile_fit(x[fold != k], [e for e, f in zip(errors, fold) if f != k])
        for at in np.flatnonzero(fold == k):
            excess.append(errors[at] / np.exp(x[at] @ fit))
            weight.append(np.full(len(errors[at]), 1.0 / len(errors[at])))
    excess, weight = np.concatenate(excess), np.concatenate(weight)
    order = np.argsort(excess)
    held = np.cumsum(weight[order]) / weight.sum()
    return max(1.0, float(excess[order][np.searchsorted(held, COVERAGE)]))


def _quantile_fit(x, errors):
    """Log-linear fit of the distance within which ``COVERAGE`` of the errors lie.

    Quantile regression (Koenker & Bassett, Econometrica 1978;46:33-50, memory): what is
    stretched is the tail where it is, not everything because of it. Every point of a line
    counts its share. Slopes only where more doubt is worse.
    """
    from scipy.optimize import minimize

    y = np.log(np.concatenate(errors) + 0.005)
    weight = np.concatenate([np.full(len(e), 1.0 / len(e)) for e in errors])
    rows = np.repeat(x, [len(e) for e in errors], axis=0)
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


def other_make(unseen, tables, random):
    """Misses of CEJ scorers taught only films of the tables', or only of random anatomy.

    Each on films of the other make, as a user's films are of another make than ours.
    """
    taught = {name: a for name, a in shipped().items() if name.startswith("cej.")}
    for path, wild in ((tables, True), (random, False)):
        with np.load(path) as stored:
            use({name: stored[name] for name in taught if not name.endswith(".certainty")})
        yield measured([f for f in unseen if bool(f.domain) == wild], 1, False, seed=5)[0]
    use(taught)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folders", nargs="+")
    parser.add_argument("--scatters", type=int, default=4)
    parser.add_argument("--out", default="radmeasure/tracing/scorers.npz")
    parser.add_argument(
        "--other-make", nargs=2, metavar=("TABLES", "RANDOM"), help="scorers taught one make only"
    )
    parser.add_argument("--keep", nargs="*", default=[], help="fits to leave as they are")
    args = parser.parse_args()
    rng = np.random.default_rng(3)
    unseen = [redeveloped(rng, f) for f in films(*args.folders) for _ in range(args.scatters)]
    found = measured(unseen, 1, False, seed=5)[0]
    kept = {f"{name}.certainty" for name in args.keep}
    arrays = {n: a for n, a in shipped().items() if n in kept or not n.endswith(".certainty")}
    arrays = fits(found) | arrays
    if args.other_make:
        found = [m for m in chain(*other_make(unseen, *args.other_make)) if m.kind == "cej"]
        arrays.update(fits(found))
    np.savez_compressed(args.out, **arrays)
    print(f"fitted on {len(unseen)} developments of {len(unseen) // args.scatters} films")


if __name__ == "__main__":
    main()
