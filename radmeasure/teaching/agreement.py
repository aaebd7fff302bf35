"""How far two sets of measurements agree, and one observer with himself."""

import numpy as np

from radmeasure.model.observers import Limits

# Limits of agreement lie this many standard deviations from the bias; the paper of 1986 uses 2.
FACTOR = 1.96


def dahlberg(repeats):
    """Error of one observer who measured the same things again.

    The root of sum d^2 / 2 n for two readings each (Dahlberg, Statistical Methods for Medical
    and Biological Students, 1940, from memory); for more, the within-subject standard
    deviation, of which that is the case of two.

    Parameters
    ----------
    repeats : array_like, shape (n, m)
        Readings of n subjects; NaN where one is missing.

    Returns
    -------
    float
        In the unit of the readings; NaN when nothing was measured twice.

    Examples
    --------
    >>> round(dahlberg([[10.0, 10.2], [11.0, 10.8]]), 4)
    0.1414
    """
    rows, counts, means = _means(repeats)
    free = float(np.sum(counts - 1))
    if free <= 0:
        return float("nan")
    return float(np.sqrt(np.nansum((rows - means[:, None]) ** 2) / free))


def _means(repeats):
    """Rows that hold anything, how many readings each, and their means."""
    rows = np.asarray(repeats, dtype=float)
    rows = rows[:, None] if rows.ndim == 1 else rows
    rows = rows[~np.isnan(rows).all(axis=1)]
    counts = (~np.isnan(rows)).sum(axis=1)
    return rows, counts, np.nansum(rows, axis=1) / np.maximum(counts, 1)


def limits_of_agreement(first, second, factor=FACTOR):
    """Bias and limits of agreement of two observers or methods, first minus second.

    Bland & Altman, Lancet 1986;327:307-310: the bias has the standard error s / sqrt(n); a
    limit k standard deviations away that of sqrt(s^2 / n + k^2 s^2 / 2 n), which is their
    sqrt(3 s^2 / n) for k = 2. Means of repeated readings scatter less than single ones, so
    (1 - 1/m) of each within-subject variance is added back (for two readings, a quarter of
    the variance of their difference, as there); the standard error of a limit then follows
    Bland & Altman, Stat Methods Med Res 1999;8:135-160 (from memory).

    Parameters
    ----------
    first, second : array_like, shape (n,) or (n, m)
        Readings of the same n subjects, m of each; NaN where one is missing.
    factor : float
        2 as in the paper of 1986, or 1.96.

    Returns
    -------
    Limits
    """
    parts = [np.asarray(part, dtype=float) for part in (first, second)]
    parts = [part[:, None] if part.ndim == 1 else part for part in parts]
    both = ~np.isnan(parts[0]).all(axis=1) & ~np.isnan(parts[1]).all(axis=1)
    parts = [part[both] for part in parts]
    means = [_means(part)[2] for part in parts]
    difference = means[0] - means[1]
    n = len(difference)
    nan = float("nan")
    if n < 2:
        bias = float(difference[0]) if n else nan
        pair = (nan, nan)
        return Limits(n, bias, nan, nan, pair, factor, pair, nan, (pair, pair))
    bias, between = float(difference.mean()), float(difference.var(ddof=1))
    added = [_added_back(part) for part in parts]
    variance = between + sum(a for a, _ in added)
    # variance of the variance: 2 s^4 / n of the means, and that of what is added back
    doubt = 2 * between**2 / n + sum(d for _, d in added)
    sd = variance**0.5
    se = (between / n) ** 0.5
    of_sd = doubt / (4 * variance) if variance > 0 else 0.0
    se_limit = (between / n + factor**2 * of_sd) ** 0.5
    limits = (bias - factor * sd, bias + factor * sd)
    t = student_t(n - 1)
    around = [(at - t * s, at + t * s) for at, s in zip((bias, *limits), (se, se_limit, se_limit))]
    return Limits(n, bias, sd, se, around[0], factor, limits, se_limit, tuple(around[1:]))


def _added_back(part):
    """(variance to add to that of the means, variance of this variance) of one side."""
    rows, counts, _ = _means(part)
    free = float(np.sum(counts - 1))
    if free <= 0:
        return 0.0, 0.0
    share = 1 - float(np.mean(1 / counts))
    within = dahlberg(rows) ** 2
    return share * within, share**2 * 2 * within**2 / free


def student_t(free, certainty=0.95):
    """Two-sided quantile of Student's t with ``free`` degrees of freedom.

    Examples
    --------
    >>> round(float(student_t(16)), 2)
    2.12
    """
    from scipy.special import stdtrit

    return float(stdtrit(free, 0.5 + certainty / 2))
