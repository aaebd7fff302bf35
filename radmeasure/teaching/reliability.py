"""How well observers tell subjects apart: intraclass correlation, its form always named."""

import numpy as np

# First figure: 1 each subject has other observers, 2 the observers stand for others,
# 3 these observers only. Second: one observer's reading, or the mean of all k.
FORMS = ("1,1", "2,1", "3,1", "1,k", "2,k", "3,k")


def intraclass(ratings):
    """Intraclass correlation in the six forms of Shrout & Fleiss.

    Shrout & Fleiss, Psychol Bull 1979;86:420-428: from the mean squares between subjects
    (BMS), within subjects (WMS), between observers (JMS) and of the rest (EMS).

    Parameters
    ----------
    ratings : array_like, shape (n, k)
        n subjects, each read by the same k observers; n and k at least 2.

    Returns
    -------
    dict of form to float
        NaN where nothing varies.

    Raises
    ------
    ValueError
        Fewer than two subjects or observers, or a reading is missing.
    """
    x = np.asarray(ratings, dtype=float)
    if x.ndim != 2 or min(x.shape) < 2 or not np.isfinite(x).all():
        raise ValueError("needs a full table of two or more subjects and observers")
    n, k = x.shape
    grand = x.mean()
    between = k * np.sum((x.mean(axis=1) - grand) ** 2)
    judges = n * np.sum((x.mean(axis=0) - grand) ** 2)
    within = np.sum((x - x.mean(axis=1, keepdims=True)) ** 2)
    bms, wms = between / (n - 1), within / (n * (k - 1))
    jms, ems = judges / (k - 1), (within - judges) / ((n - 1) * (k - 1))
    tops = {"1": bms - wms, "2": bms - ems, "3": bms - ems}
    singles = {
        "1": bms + (k - 1) * wms,
        "2": bms + (k - 1) * ems + k * (jms - ems) / n,
        "3": bms + (k - 1) * ems,
    }
    means = {"1": bms, "2": bms + (jms - ems) / n, "3": bms}
    return {
        form: _ratio(tops[form[0]], (singles if form[2] == "1" else means)[form[0]])
        for form in FORMS
    }


def _ratio(top, bottom):
    return float(top / bottom) if bottom > 0 else float("nan")
