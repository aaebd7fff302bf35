"""Several references of one kind: weighted mean, and a test that they agree."""

import numpy as np


def combine(scales, sampling):
    """Weighted mean by 1/u^2 of scales from several references.

    Disagreement beyond chance (chi-square at 5 %) enlarges the uncertainty by the
    Birge ratio (R. T. Birge, Phys Rev 1932;40:207-227, from memory), by stretching
    each scale's spread about its nominal value.

    Parameters
    ----------
    scales : list of (number, name, ndarray of shape (K,))
    sampling : Sampling

    Returns
    -------
    scale : ndarray, shape (K,)
    remark : str
        Names the reference that disagrees, '' when they agree.
    """
    if len(scales) == 1:
        return scales[0][2], ""
    values = np.array([s[2] for s in scales])
    nominal = values[:, 0]
    u = np.array([_spread(v, sampling) for v in values])
    weights = 1 / u**2
    weights /= weights.sum()
    mean = weights @ nominal
    chi2 = float((((nominal - mean) / u) ** 2).sum())
    freedom = len(scales) - 1
    combined = weights @ values
    if chi2 <= chi2_95(freedom):
        return combined, ""
    birge = np.sqrt(chi2 / freedom)
    worst = int(np.argmax(np.abs(nominal - mean) / u))
    others = np.delete(np.arange(len(scales)), worst)
    rest = float((weights[others] @ nominal[others]) / weights[others].sum())
    rest_words = "the others" if len(others) > 1 else "the other"
    remark = (
        f"references disagree: the {scales[worst][1]} gives a scale "
        f"{100 * (nominal[worst] / rest - 1):+.1f} % off {rest_words}"
        f"; uncertainty enlarged {birge:.1f} times"
    )
    return combined[0] + birge * (combined - combined[0]), remark


def _spread(values, sampling):
    if sampling.drawn:
        return float(values[1:].std())
    return float(np.sqrt(np.square(sampling.contributions(values)).sum()))


def chi2_95(freedom):
    """95 % point of chi-square (table values, e.g. NIST/SEMATECH e-Handbook 1.3.6.7.4).

    Examples
    --------
    >>> chi2_95(1), chi2_95(2)
    (3.841, 5.991)
    """
    table = (3.841, 5.991, 7.815, 9.488, 11.070, 12.592, 14.067, 15.507, 16.919, 18.307)
    if freedom <= len(table):
        return table[freedom - 1]
    z = 1.6449  # Wilson-Hilferty beyond the table
    return freedom * (1 - 2 / (9 * freedom) + z * np.sqrt(2 / (9 * freedom))) ** 3
