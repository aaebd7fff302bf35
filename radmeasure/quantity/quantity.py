"""A value with its standard uncertainty, its coverage interval and its budget."""

import math
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np

# Coverage factor of a normal distribution at 95 % (JCGM 100:2008, table G.1).
K95 = 1.959963984540054


@dataclass(frozen=True, eq=False)
class Quantity:
    """A measured value and how far to trust it.

    Attributes
    ----------
    value : float
        Best estimate, in the unit its reading states.
    u : float
        Standard uncertainty, same unit.
    interval95 : tuple of two floats
        95 % coverage interval.
    contributions : ndarray, shape (N,)
        Signed contribution of each independent input; correlations between two
        quantities of one evaluation are the products of these.
    sources : tuple of str
        Named source of each input.
    draws : ndarray or None
        Monte Carlo draws (JCGM 101:2008) when linear propagation is not good
        enough; the interval is then taken from them.
    """

    value: float
    u: float
    interval95: tuple
    contributions: np.ndarray = field(default_factory=lambda: np.zeros(0), repr=False)
    sources: tuple = field(default=(), repr=False)
    draws: np.ndarray | None = field(default=None, repr=False)

    @property
    def by_monte_carlo(self):
        return self.draws is not None

    @property
    def expanded(self):
        """Half the width of the 95 % interval, the figure shown after ±."""
        return 0.5 * (self.interval95[1] - self.interval95[0])

    @property
    def budget(self):
        """Standard uncertainty of each named source, largest first.

        The squares sum to ``u**2`` for a linear quantity.
        """
        squares = {}
        dust = 1e-9 * self.u  # rounding where an input cancels
        for source, part in zip(self.sources, self.contributions, strict=True):
            if abs(part) > dust:
                squares[source] = squares.get(source, 0.0) + float(part) ** 2
        ordered = sorted(squares.items(), key=lambda item: -item[1])
        return MappingProxyType({source: math.sqrt(square) for source, square in ordered})

    def probability(self, low=-math.inf, high=math.inf):
        """Probability that the true value lies in [low, high] (JCGM 106:2012, 7.2).

        Examples
        --------
        >>> round(normal(1.0, 0.5).probability(high=1.0), 3)
        0.5
        """
        if self.draws is not None:
            return float(np.mean((self.draws >= low) & (self.draws <= high)))
        if self.u == 0:
            return float(low <= self.value <= high)
        return _phi((high - self.value) / self.u) - _phi((low - self.value) / self.u)


def _phi(z):
    return 0.5 * math.erfc(-z / math.sqrt(2))


def normal(value, u, source="stated"):
    """A quantity that was not derived here: value, standard uncertainty, one source."""
    interval = (value - K95 * u, value + K95 * u)
    return Quantity(value, u, interval, np.array([u]), (source,))


def correlation(a, b):
    """Correlation coefficient of two quantities of one evaluation (JCGM 100:2008, 5.2)."""
    return float(a.contributions @ b.contributions) / (a.u * b.u)


def difference(a, b):
    """``a - b`` of two quantities of one evaluation; what they share cancels.

    Linear (JCGM 100:2008, 5.2); draws are not carried on.
    """
    parts = a.contributions - b.contributions
    value, u = a.value - b.value, float(np.sqrt(parts @ parts))
    return Quantity(value, u, (value - K95 * u, value + K95 * u), parts, a.sources)


def difference_of_two(a, b):
    """``a - b`` of quantities from two evaluations, taken as independent.

    Examples
    --------
    >>> d = difference_of_two(normal(7.6, 0.3), normal(8.0, 0.4))
    >>> round(d.value, 3), round(d.u, 3)
    (-0.4, 0.5)
    """
    value, u = a.value - b.value, math.hypot(a.u, b.u)
    interval = (value - K95 * u, value + K95 * u)
    return Quantity(value, u, interval, np.array([a.u, b.u]), ("later film", "earlier figure"))
