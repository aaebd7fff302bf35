"""Where a bright rod along a line ends, though it fades before it ends.

A file tapers: hand files grow 0.02 mm in diameter per mm from the tip (ISO 3630-1,
memory), so what it takes from the beam falls towards its end. A tip of 0.1 mm, blurred by
the receptor, may stand out from bone no more than the bone's own pattern does. Where the
brightness falls below a threshold is then above the true end. Instead the whole stretch
is fitted: a rod thinner than the blur takes away in proportion to its section, that is

    signal(z) = a (1 + z / x)² for z > 0, and nothing beyond its end,

with z the way up from the end and x = D0 / 0.02 where the taper would come to a point
(derived); D0 of 0.06 to 0.8 mm makes x 3 to 40 mm, a parallel post x infinite. The step is
blurred along the rod too. What noise there is is read off the film beside the rod through
the same filter, level by level, for dentine and bone have patterns of unlike strength;
it is alike over some distance (a first-order autoregression: Box & Jenkins, Time Series
Analysis, 1970, memory). Every end is as probable as the rest it leaves, over all tapers
and heights; mean and deviation of that distribution are the end and its uncertainty.
"""

from dataclasses import dataclass

import numpy as np

from radmeasure.tracing import chain

ROW, CELL = 0.05, 0.04  # nominal mm between rows and columns of a strip
REACH = 1.8  # nominal mm to either side of the line
COLUMNS = CELL * np.arange(-round(REACH / CELL), round(REACH / CELL) + 1)
# Where the taper would come to a point, mm beyond the end.
_VERTEX = np.array([3.0, 4.5, 7.0, 11.0, 18.0, 40.0, 1e3])
_BLUR = 0.08  # of the step along the rod, mm
_ALIKE = 0.3  # mm over which the pattern beside the rod is alike
_SLOWER = 1.5  # the pattern with its slow part over without it (own films, derived)
_PATTERN = 0.006  # least deviation of the pattern, of the film's range
_UNEVEN = 0.04  # of the signal: how evenly a rod of one taper shows
_FAR = 0.9  # mm beside the rod over which the pattern is that at the rod
_ABOVE, _BEYOND = 3.0, 1.0  # mm of rod and of film beyond it that are fitted
_DRIFT = 0.4  # mm a line may lie beside the rod
_PASSES = (2.0, 1.2)  # mm searched around the guess, then around what was found
_ASTRAY = 0.2  # how often a guess is worth nothing
# The tip of a file is a cone: most of its length is too thin to be seen (a tip of 75°, ISO
# 3630-1, memory, is 0.05 to 0.25 mm long; others are longer).
POINT_MM, U_POINT_MM = 0.13, 0.07


@dataclass(frozen=True)
class Filter:
    """Bright middle against both its sides, mm: half width, gap and width of the sides."""

    half: float
    gap: float
    side: float


FINE = Filter(0.06, 0.08, 0.16)  # a file is no wider than the blur


@dataclass(frozen=True)
class Ending:
    """Where a rod ends on a strip.

    Attributes
    ----------
    row : float
        Fractional row of the strip.
    deviation : float
        Standard deviation, nominal mm.
    share : float
        Probability within 1 mm of ``row``.
    stands_out : float
        Height of the step over the pattern beside it.
    half : float
        Half width of the rod, nominal mm.
    beside : float
        How far beside the strip's middle it ends, nominal mm.
    """

    row: float
    deviation: float
    share: float
    stands_out: float
    half: float
    beside: float


def find_end(strip, guess, u_guess, fine=None):
    """The end of a rod that comes from row 0 along the middle of ``strip``.

    Parameters
    ----------
    strip : ndarray, shape (N, len(COLUMNS))
        Film values, a row every ``ROW``, a column every ``CELL`` nominal mm.
    guess : float
        Row near which it ends.
    u_guess : float
        Standard uncertainty of ``guess``, nominal mm; one guess in five may be worth nothing.
    fine : Filter, optional
        Of the rod's width, ``FINE`` for a file; measured if not given.

    Returns
    -------
    Ending or None
        None where no rod leads up to ``guess``.
    """
    found = None
    for reach in _PASSES:
        around = guess if found is None else found.row
        found = _end_near(strip, around, reach, lambda row: _prior(row, guess, u_guess), fine)
        if found is None:
            return None
    return found


def _prior(row, guess, u_guess):
    """Probability of an end at ``row``, from the guess alone."""
    apart = (row - guess) * ROW / u_guess
    near = np.exp(-0.5 * apart**2) / (u_guess * np.sqrt(2 * np.pi))
    return (1 - _ASTRAY) * near + _ASTRAY / (2 * _PASSES[0])


def _end_near(strip, around, reach, prior, fine):
    """The Ending within ``reach`` mm of row ``around``."""
    first = int(max(around - max(_ABOVE, reach + 1.0) / ROW, 0))
    last = int(min(around + (reach + _BEYOND) / ROW, len(strip)))
    part, around = strip[first:last], around - first
    low, high = max(around - reach / ROW, 8.0), min(around + reach / ROW, len(part) - 4.0)
    if high - low < 10:
        return None
    part, fine, shift = followed(part, around, fine)
    signal, pattern = seen_through(part, fine)
    ends = np.arange(low, high, 0.5)
    log, height = _fitted(signal, pattern, ends)
    weight = np.exp(log - log.max()) * prior(ends + first)[:, None]
    weight /= weight.sum()
    share = weight.sum(axis=1)
    row = float(share @ ends)
    spread = float(np.sqrt(share @ (ends - row) ** 2)) * ROW
    near = float(share[np.abs(ends - row) * ROW <= 1.0].sum())
    stands_out = float((weight * height).sum() / pattern[int(row)])
    beside = float(np.median(shift[max(int(row) - 8, 0) : max(int(row) - 2, 1)]))
    return Ending(row + first, spread, near, stands_out, fine.half, beside)


def followed(part, around, fine):
    """The strip shifted so that the rod lies in its middle, the filter of its width, the shift."""
    if fine is FINE:  # bends to its very tip
        part, shift = _straightened(part, FINE, len(part))
        return part, FINE, shift
    body = slice(int(max(around - 2.0 / ROW, 0)), int(max(around - 0.2 / ROW, 10)))
    part, shift = _straightened(part, fine or sized(half_width(part[body])), body.stop)
    return part, fine or sized(half_width(part[body])), shift


def sized(half):
    """The filter of a filling or a post."""
    return Filter(half, 0.1, 0.25)


def half_width(body, most=0.5):
    """Half the width of a rod in the middle of ``body`` at half its height, nominal mm."""
    profile = np.median(body, axis=0)
    middle = len(COLUMNS) // 2
    top = profile[middle - 1 : middle + 2].mean()
    beside = CELL * np.arange(middle + 1)
    widths = []
    for way in (1, -1):
        flank = profile[middle::way]
        ground = flank[(beside > 0.1) & (beside < most + 0.3)].min()
        below = np.flatnonzero(flank < 0.5 * (top + ground))
        widths.append(beside[below[0]] if len(below) else most)
    return float(np.clip(min(widths), 0.06, most))


def _straightened(part, fine, last):
    """``part`` with the brightest smooth path along it moved to its middle, and by how much.

    From row ``last`` on the path goes straight on.
    """
    from scipy.ndimage import gaussian_filter1d

    lanes = np.arange(-round(_DRIFT / CELL), round(_DRIFT / CELL) + 1)
    middle = len(COLUMNS) // 2
    # above the brighter side: the edge of a root is no rod
    ridge = filtered(part, fine, np.maximum)[:, middle + lanes]
    ridge = gaussian_filter1d(ridge, 1.5, axis=0)
    seen = np.arange(len(part))[:, None] < last
    scale = np.clip(0.15 * np.median(ridge[:last].max(axis=1)), 0.004, 0.02)
    evidence = np.where(seen, np.clip(ridge / scale, -1.0, 40.0), 0.0)
    path = chain.best_path(evidence, chain.step_penalty(2, 0.8))
    shift = _no_sharp_bend(lanes[path], evidence[np.arange(len(part)), path])
    column = np.clip(shift[:, None] + np.arange(len(COLUMNS)), 0, len(COLUMNS) - 1)
    low = np.minimum(column.astype(int), len(COLUMNS) - 2)
    share, row = column - low, np.arange(len(part))[:, None]
    return part[row, low] * (1 - share) + part[row, low + 1] * share, shift * CELL


def _no_sharp_bend(lane, evidence):
    """A cubic through the lanes of a path, led by those where much evidence lies."""
    row = np.linspace(-1.0, 1.0, len(lane))
    weight = np.maximum(evidence, 0.0) + 1e-3
    return np.polyval(np.polyfit(row, lane, 3, w=weight), row)


def filtered(part, fine, sides=np.add):
    """Middle above both sides, for every place across; ``sides`` joins them."""
    total = np.cumsum(np.pad(part, ((0, 0), (1, 0))), axis=1, dtype=float)
    last = len(COLUMNS) - 1

    def mean(low, high):
        a, b = (np.clip(np.arange(last + 1) + round(d / CELL), 0, last) for d in (low, high))
        return (total[:, b + 1] - total[:, a]) / (b - a + 1)

    inner, outer = fine.half + fine.gap, fine.half + fine.gap + fine.side
    beside = sides(mean(-outer, -inner), mean(inner, outer))
    return mean(-fine.half, fine.half) - (0.5 * beside if sides is np.add else beside)


def seen_through(part, fine):
    """Signal of the rod, and deviation of the pattern beside it, per row."""
    from scipy.ndimage import gaussian_filter1d

    ridge = filtered(part, fine)
    signal = ridge[:, len(COLUMNS) // 2]
    nearest = min(2 * fine.half + fine.gap + fine.side, REACH - 0.2)
    beside = np.abs(COLUMNS)
    lanes = (beside >= nearest) & (beside <= max(_FAR, nearest + 0.2))
    # what is alike all along, as the curve of a root, is no pattern; nor is an edge that runs
    # through, hence the median
    change = ridge[:, lanes] - gaussian_filter1d(ridge[:, lanes], 0.6 / ROW, axis=0)
    usual = _SLOWER * 1.48 * np.median(np.abs(change), axis=1)
    square = gaussian_filter1d(usual**2, 0.5 / ROW, mode="nearest")
    uneven = _UNEVEN * np.maximum(gaussian_filter1d(signal, 10.0), 0.0)
    return signal, np.sqrt(np.maximum(square, _PATTERN**2) + uneven**2)


def _fitted(signal, pattern, ends):
    """Log-likelihood and height of the step of every (end, taper), each shape (E, T).

    Height and ground are linear in the model and summed over in closed form.
    """
    from scipy.special import erf

    up = (ends[None] - np.arange(len(signal))[:, None]) * ROW
    step = 0.5 * (1 + erf(up / (_BLUR * np.sqrt(2))))
    shape = step[..., None] * (1 + np.maximum(up, 0.0)[..., None] / _VERTEX) ** 2
    shape = _whitened(shape, pattern)
    flat = _whitened(np.ones_like(signal), pattern)
    seen = _whitened(signal, pattern)
    # the ground is that of the sides, give or take twice the pattern
    ff, fg = (shape**2).sum(axis=0), np.einsum("i...,i->...", shape, flat)
    gg = flat @ flat + 1.0 / (2 * np.median(pattern)) ** 2
    fy, gy = np.einsum("i...,i->...", shape, seen), flat @ seen
    det = ff * gg - fg**2
    height = (gg * fy - fg * gy) / det
    ground = (ff * gy - fg * fy) / det
    log = 0.5 * (height * fy + ground * gy) - 0.5 * np.log(det)
    return np.where(height > 0, log, -1e9), np.maximum(height, 0.0)


def _whitened(values, pattern):
    """``values`` along axis 0 in units of independent noise."""
    tie = np.exp(-ROW / _ALIKE)
    values = values / pattern.reshape(-1, *[1] * (values.ndim - 1))
    rest = (values[1:] - tie * values[:-1]) / np.sqrt(1 - tie**2)
    return np.concatenate([values[:1], rest])
