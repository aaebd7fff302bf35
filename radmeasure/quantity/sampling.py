"""Propagation of uncertainty: one formula, evaluated on a batch of perturbed inputs.

Every formula of the program is written once, on arrays whose first axis runs
over a *sampling* of the inputs. Two samplings exist:

- the **stencil**: the nominal inputs, then each input alone moved up and down by
  its standard uncertainty. Half the difference is that input's contribution
  (JCGM 100:2008, 5.1.3 note 2), so shared inputs (a scale, a landmark) are
  correlated by construction and cancel in a ratio;
- **draws**: the nominal inputs, then random draws of all of them (JCGM 101:2008).

The stencil also shows how bent a formula is over ±1 standard uncertainty; where
it is too bent for the linear law, :meth:`Sampling.too_bent` says so and the same
formula is run on draws.
"""

import math

import numpy as np

from radmeasure.quantity.quantity import K95, Quantity

# Second-order part over linear part from which the linear law is not trusted: a ratio b
# changes u by about b**2 / 4, so 0.15 keeps the error near half a per cent.
BENT = 0.15


class Inputs:
    """Independent inputs: nominal value, standard uncertainty, named source.

    Examples
    --------
    >>> inputs = Inputs()
    >>> a = inputs.add(10.0, 0.1, "length of the file")
    >>> x = inputs.stencil()
    >>> q = x.quantity(2 * x[a])
    >>> q.value, round(q.u, 3)
    (20.0, 0.2)
    """

    def __init__(self):
        self._values, self._u, self._sources = [], [], []

    def add(self, value, u, source):
        """Add one input and return its index."""
        self._values.append(float(value))
        self._u.append(float(u))
        self._sources.append(source)
        return len(self._values) - 1

    def add_many(self, values, u, source):
        """Add inputs that share uncertainty and source; returns a slice of indices."""
        first = len(self._values)
        count = len(values)
        self._values.extend(map(float, values))
        self._u.extend([float(u)] * count)
        self._sources.extend([source] * count)
        return slice(first, first + count)

    def __len__(self):
        return len(self._values)

    def moved_from(self, other):
        """Indices whose nominal value differs from that of inputs declared alike.

        Returns
        -------
        set of int, or None
            None when number, sources or standard uncertainties differ.
        """
        if self._sources != other._sources or self._u != other._u:
            return None
        both = zip(self._values, other._values, strict=True)
        return {i for i, (now, was) in enumerate(both) if now != was}

    def stencil(self):
        """Sampling of shape (2 N + 1, N): nominal, each input up, each input down."""
        x0, u = np.array(self._values), np.array(self._u)
        n = len(x0)
        rows = np.tile(x0, (2 * n + 1, 1))
        rows[1 : n + 1] += np.diag(u)
        rows[n + 1 :] -= np.diag(u)
        return Sampling(rows, self._sources)

    def draws(self, count, seed=0):
        """Sampling of shape (count + 1, N): nominal, then normal draws of all inputs."""
        x0, u = np.array(self._values), np.array(self._u)
        rng = np.random.default_rng(seed)
        rows = x0 + u * rng.standard_normal((count + 1, len(x0)))
        rows[0] = x0
        return Sampling(rows, self._sources, drawn=True)


class Sampling:
    """A batch of input rows, and what a formula evaluated on them says."""

    def __init__(self, rows, sources, drawn=False):
        self.rows = rows
        self.sources = tuple(sources)
        self.drawn = drawn

    def __getitem__(self, index):
        """Column(s) of the batch: shape (K,) for an index, (K, n) for a slice."""
        return self.rows[:, index]

    def __len__(self):
        return len(self.rows)

    def contributions(self, values):
        """Signed contribution of each input to ``values`` (K,) or (K, ...)."""
        n = self.rows.shape[1]
        return 0.5 * (values[1 : n + 1] - values[n + 1 :])

    def too_bent(self, values):
        """True where the linear law is not good enough for ``values`` (K, ...) of a stencil."""
        n = self.rows.shape[1]
        linear = np.square(0.5 * (values[1 : n + 1] - values[n + 1 :])).sum(axis=0)
        second = np.square(values[1 : n + 1] + values[n + 1 :] - 2 * values[0]).sum(axis=0)
        return second > BENT**2 * linear

    def quantity(self, values):
        """Quantity of ``values``, shape (K,), on this sampling."""
        if self.drawn:
            return self._from_draws(values)
        parts = self.contributions(values)
        value, u = float(values[0]), math.sqrt(parts @ parts)
        return Quantity(value, u, (value - K95 * u, value + K95 * u), parts, self.sources)

    def quantities(self, values):
        """Quantities of many formulas at once, ``values`` of shape (Q, K); a list of Q."""
        if self.drawn:
            return [self._from_draws(row) for row in values]
        parts = self.contributions(values.T).T
        spread = np.sqrt(np.einsum("qn,qn->q", parts, parts)).tolist()
        return [
            Quantity(value, u, (value - K95 * u, value + K95 * u), part, self.sources)
            for value, u, part in zip(values[:, 0].tolist(), spread, parts, strict=True)
        ]

    def _from_draws(self, values):
        draws = values[1:][np.isfinite(values[1:])]
        low, high = np.quantile(draws, (0.025, 0.975))
        # Heavy tails (the radius of a nearly straight canal) have no standard deviation;
        # the interval then says what there is to say.
        u = min(float(draws.std(ddof=1)), 1.2 * float(high - low) / (2 * K95))
        # An angle near zero is drawn away from its value; the interval holds it all the same.
        value = float(values[0])
        interval = (min(float(low), value), max(float(high), value))
        return Quantity(value, u, interval, draws=draws)
