"""Agreement on classes beyond chance."""

import numpy as np

from radmeasure.errors import InputError

# Landis & Koch, Biometrics 1977;33:159-174: words for kappa, by the upper end
# of each band; below zero it is poor.
_WORDS = (
    (0.20, "slight"),
    (0.40, "fair"),
    (0.60, "moderate"),
    (0.80, "substantial"),
    (1.0, "almost perfect"),
)


def crossed(first, second, classes):
    """How often the one said class i and the other class j, shape (k, k).

    Examples
    --------
    >>> crossed(["a", "b", "b"], ["a", "b", "a"], ["a", "b"])
    array([[1, 0],
           [1, 1]])
    """
    where = {name: i for i, name in enumerate(classes)}
    table = np.zeros((len(classes), len(classes)), dtype=int)
    np.add.at(table, ([where[a] for a in first], [where[b] for b in second]), 1)
    return table


def kappa(table, weights=None):
    """Cohen's kappa, or weighted kappa.

    kappa = 1 - sum v p_o / sum v p_e with disagreement weights v (Cohen, Psychol Bull
    1968;70:213-220); 0 on the diagonal and 1 elsewhere gives the kappa of Cohen, Educ Psychol
    Meas 1960;20:37-46.

    Parameters
    ----------
    table : array_like, shape (k, k)
        Counts or shares: rows one observer's class, columns the other's.
    weights : {None, 'linear', 'quadratic'} or array_like, shape (k, k)
        Weight of each disagreement; the named ones need classes in order.

    Returns
    -------
    float
        NaN when chance alone leaves nothing to disagree about (one class only).

    Raises
    ------
    InputError
        Own weights that do not fit the table, are negative, or weigh agreement.

    Examples
    --------
    >>> round(kappa([[20, 5], [10, 15]]), 12)
    0.4
    """
    p = np.asarray(table, dtype=float)
    v = _weights(weights, len(p))
    p = p / p.sum()
    chance = np.outer(p.sum(axis=1), p.sum(axis=0))
    expected = float(np.sum(v * chance))
    return 1 - float(np.sum(v * p)) / expected if expected > 0 else float("nan")


def _weights(weights, k):
    apart = np.abs(np.subtract.outer(np.arange(k), np.arange(k))).astype(float)
    if weights is None:
        return (apart > 0).astype(float)
    if isinstance(weights, str):
        return apart ** {"linear": 1, "quadratic": 2}[weights]
    v = np.asarray(weights, dtype=float)
    if v.shape != (k, k) or not np.isfinite(v).all() or (v < 0).any() or np.diag(v).any():
        raise InputError(
            f"weights do not fit {k} classes", "give a square table from 0 up, 0 on the diagonal"
        )
    return v


def kappa_words(value):
    """What Landis & Koch call a kappa; '' when there is none.

    Examples
    --------
    >>> kappa_words(0.4), kappa_words(0.41), kappa_words(-0.1)
    ('fair', 'moderate', 'poor')
    """
    if np.isnan(value):
        return ""
    # The bands are printed with two decimals (0.21-0.40), so the figure is taken so, too.
    shown = round(value, 2)
    if shown < 0:
        return "poor"
    return next(word for most, word in _WORDS if shown <= most)
