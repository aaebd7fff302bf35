"""Pulling at a drawn line."""

import itertools
import math


def pulled(line, index, step, reach, closed=False):
    """``line`` with vertex ``index`` moved by ``step`` and its neighbours following.

    A neighbour at distance d along the line moves by a share that falls as half
    a cosine from 1 to 0 at ``reach`` px; ``reach`` 0 moves the vertex alone.

    Examples
    --------
    >>> pulled(((0, 0), (0, 1), (0, 2)), 1, (1, 0), 0)
    ((0, 0), (1, 1), (0, 2))
    """
    away = _along(line, index, closed)
    moved = []
    for i, (x, y) in enumerate(line):
        if i == index:
            share = 1.0
        elif reach <= 0 or away[i] >= reach:
            share = 0.0
        else:
            share = 0.5 * (1 + math.cos(math.pi * away[i] / reach))
        moved.append((x + share * step[0], y + share * step[1]))
    return tuple(moved)


def round_across(one, other, count=12):
    """The circle between two opposite points, as ``count`` vertices.

    Examples
    --------
    >>> [(round(x), round(y)) for x, y in round_across((0, 0), (4, 0), 4)]
    [(0, 0), (2, -2), (4, 0), (2, 2)]
    """
    cx, cy = (one[0] + other[0]) / 2, (one[1] + other[1]) / 2
    dx, dy = one[0] - cx, one[1] - cy
    turns = (2 * math.pi * i / count for i in range(count))
    spokes = ((math.cos(t), math.sin(t)) for t in turns)
    return tuple((cx + c * dx - s * dy, cy + c * dy + s * dx) for c, s in spokes)


def _along(line, index, closed):
    """Distance of every vertex from vertex ``index``, along the line."""
    lengths = [0.0]
    for a, b in itertools.pairwise(line):
        lengths.append(lengths[-1] + math.dist(a, b))
    away = [abs(length - lengths[index]) for length in lengths]
    if closed:
        round_trip = lengths[-1] + math.dist(line[-1], line[0])
        away = [min(d, round_trip - d) for d in away]
    return away
