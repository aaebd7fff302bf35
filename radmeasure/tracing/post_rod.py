"""A post above a root filling: a straight rod with parallel sides that ends at once.

What tells it from a wide filling: a filling tapers without a step (5 % and the like), a
post is as wide at its end as above and the filling below it is narrower (common practice,
no source). A metal post shows by that step: what lies across the canal falls to half or
less within a fraction of a mm. A fibre post hardly shades the film; both its edges are
averaged along every straight line through the root above the filling (a Radon transform
of the slope across; Radon, Ber Verh Sächs Akad 1917;69:262-277, memory), where an edge of
a few grey levels stands out once it is 5 mm long.
"""

from dataclasses import dataclass

import numpy as np

from radmeasure.tracing.fading_tip import CELL, COLUMNS, ROW, find_end, sized

_STEP = 2.0  # share by which what lies across the canal falls at the end of a metal post
_STEP_SEEN = 1.7  # the same where the scorer of contents says post already
_BESIDE = (0.95, 1.2)  # mm beside the axis: dentine
_SHORTEST = 3.5  # mm of rod (common practice: posts are longer)
_EDGES = 5.0  # mm above the filling over which edges are averaged
_HALF = (0.32, 0.84)  # half width of posts, mm (practice: 0.7 to 1.7 mm thick)
_SLOPES = np.linspace(-0.15, 0.15, 13)  # a post leans against the traced canal by up to 9°
_ASIDE = 0.2  # mm its end may lie beside the traced canal
_RISE = 0.01  # least rise of an edge per column, of the film's range
_DEEP = 4.5  # mm below the cervix: a filling that starts so deep was cut back for a post
_OUT = 3.0  # mm below the cervix: a post reaches up to the root face at least
_SEAL = 1.2  # mm above the apex: what ends lower is no post
_GAP = 2.2  # mm: widest gap between post and filling that is looked into
_BRIGHTER = 0.06  # of the film's range: a filling against what lies above it
_U_BOUNDARY = 0.10  # mm


@dataclass(frozen=True)
class Post:
    """Where a post ends, rows of a strip.

    Attributes
    ----------
    apical, filling : float
        End of the post, start of the filling below it.
    u_apical : float
        Standard uncertainty of ``apical``, nominal mm.
    half : float or None
        Half its width where it was found by its edges, nominal mm.
    """

    apical: float
    filling: float
    u_apical: float
    half: float | None


def find_post(strip, bright, said, top, cervix, apex):
    """The post above a filling, or None.

    Parameters
    ----------
    strip : ndarray, shape (N, len(COLUMNS))
        Film values along the canal, coronal to apical.
    bright : (first, last)
        Rows between which something bright fills the canal.
    said : bool
        The scorer of contents says post.
    top : int
        Row where the filling starts by that scorer.
    cervix, apex : float
        Rows of the cervix and the apex.
    """
    fall, row = step_down(strip, bright[0], min(bright[1], apex - round(_SEAL / ROW)))
    rises, shortest = _rises(strip, top), _SHORTEST / ROW
    least = _STEP_SEEN if said and not rises else _STEP
    comes_out = bright[0] - cervix <= _OUT / ROW
    if fall >= least and comes_out and row - bright[0] >= shortest:
        if not rises or row - top >= shortest:
            return Post(float(row), float(row), _U_BOUNDARY, None)
        if -_GAP / ROW <= row - top <= 0.3 / ROW:
            return Post(float(row), float(top), _U_BOUNDARY, None)
    edges = edges_above(strip, top) if rises and top - cervix >= _DEEP / ROW else None
    return _above_gap(strip, top, edges[0]) if edges else None


def _rises(strip, top):
    """True when the middle of the canal turns brighter at row ``top``."""
    near, far = round(0.15 / ROW), round(1.0 / ROW)
    core = strip[:, np.abs(COLUMNS) <= 0.15].mean(axis=1)
    if top < far or top > len(core) - far:
        return False
    below, above = core[top + near : top + far], core[top - far : top - near]
    return float(np.median(below) - np.median(above)) > _BRIGHTER


def step_down(strip, first, last):
    """Largest fall of what lies across the canal, as a ratio, and its row."""
    from scipy.ndimage import gaussian_filter1d

    beside = np.abs(COLUMNS)
    ground = strip[:, (beside > _BESIDE[0]) & (beside < _BESIDE[1])].mean(axis=1)
    inside = strip[:, beside <= _BESIDE[0]] - ground[:, None]
    load = gaussian_filter1d(np.maximum(inside, 0.0).sum(axis=1) * CELL, 2.0)
    near, far, farther = (round(mm / ROW) for mm in (0.15, 1.2, 2.5))
    best, at = 1.0, first
    for row in range(first + farther, last - round(0.8 / ROW)):
        above = np.median(load[row - far : row - near])
        below = np.median(load[row + near : min(row + far, last)])
        higher = np.median(load[row - farther : row - far])
        # a taper falls above as it falls here; a step does not
        fall = above / max(below, 1e-6) / max(higher / max(above, 1e-6), 1.0)
        if fall > best:
            best, at = fall, row
    return best, _sharpest(load, at)


def _sharpest(load, row):
    """Row within 1 mm of ``row`` where two levels fit ``load`` best."""
    reach = round(1.0 / ROW)
    first = max(row - reach - reach // 2, 0)
    part = load[first : row + reach + reach // 2]
    options = range(reach // 2, len(part) - reach // 2)
    rest = [part[:k].var() * k + part[k:].var() * (len(part) - k) for k in options]
    return first + options[int(np.argmin(rest))]


def edges_above(strip, top):
    """Half width and rise of the weaker edge of a straight rod above row ``top``, or None."""
    from scipy.ndimage import gaussian_filter

    first = max(top - round(_EDGES / ROW), 0)
    soft = gaussian_filter(strip[max(first - 4, 0) : top + 4], (2.0, 1.5))
    rise = np.gradient(soft, axis=1)[min(first, 4) : -8]
    if len(rise) < _SHORTEST / ROW:
        return None
    rows = (np.arange(len(rise)) - len(rise)) * ROW
    half = len(rows) // 2
    middle, best = len(COLUMNS) // 2, (0.0, 0.0)
    aside = np.arange(-round(_ASIDE / CELL), round(_ASIDE / CELL) + 1)
    for slope in _SLOPES:
        column = np.clip(
            np.round(slope * rows / CELL)[:, None] + np.arange(len(COLUMNS)), 0, len(COLUMNS) - 1
        )
        leant = rise[np.arange(len(rise))[:, None], column.astype(int)]
        upper, lower = leant[:half].mean(axis=0), leant[half:].mean(axis=0)
        for cells in range(round(_HALF[0] / CELL), round(_HALF[1] / CELL) + 1):
            left, right = middle + aside - cells, middle + aside + cells
            weakest = np.minimum.reduce([upper[left], lower[left], -upper[right], -lower[right]])
            best = max(best, (float(weakest.max()), cells * CELL))
    return (best[1], best[0]) if best[0] >= _RISE else None


def _above_gap(strip, top, half):
    """The post whose edges were seen: down to the filling, or to a gap above it."""
    found = find_end(strip[: top - 3], top - 12.0, 0.6, sized(half))
    if found is None or found.stands_out < 2.0:
        return Post(float(top), float(top), 2 * _U_BOUNDARY, half)
    return Post(found.row, float(top), float(np.hypot(found.deviation, _U_BOUNDARY)), half)
