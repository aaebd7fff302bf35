"""The study of a table of readings: who is biased which way, and how far observers agree."""

from collections import Counter, defaultdict
from itertools import combinations

import numpy as np

from radmeasure.errors import InputError
from radmeasure.model.observers import Classes, Observer, ReadingStudy, Reliability, Study
from radmeasure.teaching.agreement import FACTOR, dahlberg, limits_of_agreement
from radmeasure.teaching.kappa import crossed, kappa
from radmeasure.teaching.reliability import intraclass


def study(measurements, factor=FACTOR, order=()):
    """Observer statistics of a table of readings.

    Readings of one kind and side are looked at together; a subject is a film, or one root on
    it. Each observer is held against the truth where it is given, else against the mean of
    all observers over the subjects all of them read.

    Parameters
    ----------
    measurements : list of Measurement
    factor : float
        Of the limits of agreement.
    order : sequence of str
        Classes from least to most, for weighted kappa.

    Returns
    -------
    Study

    Raises
    ------
    InputError
        There is nothing to compare: one observer, no truth, nothing measured twice.
    """
    groups = defaultdict(list)
    for m in measurements:
        groups[m.key].append(m)
    make = {True: _of_classes, False: _of_numbers}
    found = tuple(
        make[isinstance(rows[0].value, str)](rows, factor, order) for rows in groups.values()
    )
    if not any(_says(reading) for reading in found):
        raise InputError(
            "one observer, no truth and nothing measured twice: there is nothing to compare",
            "add another observer, a column truth, or a column occasion with a second reading",
        )
    return Study(
        observers=_in_order(m.observer for m in measurements),
        films=_in_order(m.film for m in measurements),
        factor=factor,
        readings=found,
    )


def _in_order(items):
    return tuple(dict.fromkeys(items))


def _says(reading):
    return reading.against or any(
        o.error is not None or o.again is not None for o in reading.observers
    )


class _Table:
    """Rows of one reading as arrays by subject and observer."""

    def __init__(self, rows):
        self.rows = rows
        self.names = _in_order(m.observer for m in rows)
        self.subjects = _in_order(m.subject for m in rows)
        self.truth = {m.subject: m.truth for m in rows if m.truth is not None}
        self.values = defaultdict(list)  # by (observer, subject), one an occasion
        for m in sorted(rows, key=lambda m: (len(m.occasion), m.occasion)):
            self.values[m.observer, m.subject].append(m.value)
        self.complete = [s for s in self.subjects if all((n, s) in self.values for n in self.names)]

    def against(self):
        """What observers are held against: 'truth', 'mean' or ''."""
        if self.truth:
            return "truth"
        return "mean" if len(self.names) > 1 and self.complete else ""

    def study(self, against, observers, **more):
        first = self.rows[0]
        return ReadingStudy(
            first.reading,
            first.side,
            first.unit,
            len(self.subjects),
            against,
            tuple(observers),
            without_truth=len(self.subjects) - len(self.truth) if self.truth else 0,
            **more,
        )


# -- numbers -------------------------------------------------------------------------------------


def _of_numbers(rows, factor, _):
    table = _Table(rows)
    most = max(map(len, table.values.values()))

    def repeats(name):
        """Readings of one observer, (subjects, occasions), NaN where there is none."""
        found = np.full((len(table.subjects), most), np.nan)
        for i, subject in enumerate(table.subjects):
            values = table.values.get((name, subject), ())
            found[i, : len(values)] = values
        return found

    by_name = {name: repeats(name) for name in table.names}
    against = table.against()
    reference = np.full(len(table.subjects), np.nan)
    if against == "truth":
        reference = np.array([table.truth.get(s, np.nan) for s in table.subjects])
    elif against == "mean":
        whole = np.array([s in table.complete for s in table.subjects])
        reference[whole] = np.mean([np.nanmean(x[whole], axis=1) for x in by_name.values()], axis=0)
    observers = [_observer(name, x, against, reference, factor) for name, x in by_name.items()]
    pairs = ()
    if against != "truth":
        pairs = tuple(
            (a, b, limits_of_agreement(by_name[a], by_name[b], factor))
            for a, b in combinations(table.names, 2)
        )
    return table.study(against, observers, pairs=pairs, reliability=_reliability(table, by_name))


def _observer(name, readings, against, reference, factor):
    error = dahlberg(readings)
    return Observer(
        name,
        limits_of_agreement(readings, reference, factor) if against else None,
        None if np.isnan(error) else error,
        int(((~np.isnan(readings)).sum(axis=1) > 1).sum()),
    )


def _reliability(table, by_name):
    whole = np.array([s in table.complete for s in table.subjects])
    count = int(whole.sum())
    if len(table.names) < 2 or count < 2:
        return None
    ratings = np.column_stack([np.nanmean(x[whole], axis=1) for x in by_name.values()])
    return Reliability(intraclass(ratings), count, len(table.names), len(table.subjects) - count)


# -- classes -------------------------------------------------------------------------------------


def _of_classes(rows, _, order):
    table = _Table(rows)
    used = {m.value for m in rows} | set(table.truth.values())
    ordered = bool(order) and used <= set(order)
    classes = tuple(order) if ordered else tuple(sorted(used))

    def compared(first, second):
        pairs = [(a, b) for a, b in zip(first, second) if a is not None and b is not None]
        return _classes(pairs, classes, ordered) if pairs else None

    def said(name, occasion=0):
        values = (table.values.get((name, s), ()) for s in table.subjects)
        return [v[occasion] if len(v) > occasion else None for v in values]

    truth = [table.truth.get(s) for s in table.subjects]
    observers = []
    for name in table.names:
        again = [s for s in table.subjects if len(table.values.get((name, s), ())) > 1]
        observers.append(
            Observer(
                name,
                compared(said(name), truth),
                repeats=len(again),
                again=compared(said(name), said(name, 1)),
            )
        )
    pairs = ()
    if not table.truth:
        found = [(a, b, compared(said(a), said(b))) for a, b in combinations(table.names, 2)]
        pairs = tuple(pair for pair in found if pair[2] is not None)
    # A mean of classes there is none: without truth, observers are compared in pairs only.
    against = "truth" if table.truth else ("pairs" if pairs else "")
    return table.study(against, observers, pairs=pairs, classes=classes)


def _classes(pairs, classes, ordered):
    table = crossed(*zip(*pairs), classes)
    counts = Counter(a == b for a, b in pairs)
    weighted = [kappa(table, w) if ordered else None for w in ("linear", "quadratic")]
    return Classes(len(pairs), counts[True] / len(pairs), kappa(table), *weighted)
