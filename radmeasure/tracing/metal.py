"""Bright things in the canal: a file, a filling, a post, and where they end.

The canal is followed beyond both its ends. A trained scorer says for every level what
lies there; dynamic programming keeps only sequences that exist (a post lies above a
filling, a file comes from outside the tooth).
"""

from dataclasses import dataclass

import numpy as np

from radmeasure.tracing import chain
from radmeasure.tracing.network import trained
from radmeasure.tracing.rays import Rays, normals, resample, unit

ROW = 0.1  # nominal mm between levels
CELL = 0.1
ACROSS = np.arange(-16, 17, 2)
ALONG = np.array([-40, -25, -15, -10, -6, -3, 3, 6, 10, 15, 25, 40])
SHORTEST_POST = 4.0  # nominal mm; what is shorter is a wide filling (common practice, no source)
TRACK_FEATURES = len(ACROSS) + len(ALONG) * 3 + 2
EMPTY, FILE, POST, FILLING = range(4)
ENDS = (
    "file_stop",
    "file_tip",
    "post_coronal",
    "post_apical",
    "filling_coronal",
    "filling_apical",
)
ABOVE, BELOW = 5.0, 1.5  # nominal mm followed beyond the coronal click and the apex


@dataclass(frozen=True, eq=False)
class Track:
    """A line along the canal and the film across it, coronal to apical.

    Attributes
    ----------
    points : ndarray, shape (N, 2)
        Film px.
    across : ndarray, shape (N, 33)
        Film values, -1.6 .. 1.6 mm.
    core : ndarray, shape (N,)
        Brightness on the line, above that of the sides.
    from_tip : ndarray, shape (N,)
        Nominal mm above the apex.
    """

    points: np.ndarray
    across: np.ndarray
    core: np.ndarray
    from_tip: np.ndarray

    def at(self, row):
        """Film position of a fractional row."""
        index = np.arange(len(self.points))
        return np.array([np.interp(row, index, self.points[:, i]) for i in (0, 1)])

    def row_of(self, point):
        """Row nearest to a film position."""
        return int(np.linalg.norm(self.points - np.asarray(point), axis=1).argmin())


def track(scene, canal_points, coronal):
    """Follow the brightest path along the canal, beyond the coronal end and the apex."""
    from scipy.ndimage import gaussian_filter, gaussian_filter1d

    step = ROW * scene.unit_px
    line = resample(canal_points, step)
    head = unit(line[0] - line[min(len(line) - 1, 30)])
    tail = unit(line[-1] - line[max(0, len(line) - 15)])
    more = np.linalg.norm(line[0] - coronal) / scene.unit_px + ABOVE
    above = line[0] + head * step * np.arange(round(more / ROW), 0, -1)[:, None]
    below = line[-1] + tail * step * np.arange(1, round(BELOW / ROW) + 1)[:, None]
    path = gaussian_filter1d(np.vstack([above, line, below]), 3.0, axis=0, mode="nearest")
    _, normal = normals(path)
    radius = CELL * np.arange(-36, 37)
    rays = Rays(path, normal, radius, scene.unit_px)
    values = rays.sample(scene.film)
    soft = gaussian_filter(values, (1.5, 0.8), mode="nearest")
    around = gaussian_filter(values, (4.0, 6.0), mode="nearest")
    reach = np.full(len(path), 0.4)
    reach[: len(above)] = np.linspace(1.8, 0.4, len(above))
    score = 12.0 * np.clip(soft - around, 0.0, 0.6)
    score = np.where(np.abs(radius)[None] > reach[:, None], -30.0, score)
    column = chain.best_path(score, chain.step_penalty(2, 0.6, heavy=1e-3))
    place = gaussian_filter1d(radius[column], 3.0, mode="nearest")
    index = (place[:, None] - radius[0]) / CELL + np.arange(-16, 17)[None]
    index = np.clip(np.round(index).astype(int), 0, len(radius) - 1)
    across = values[np.arange(len(place))[:, None], index]
    core = across[:, 15:18].mean(axis=1)
    from_tip = ROW * (len(place) - len(below) - np.arange(len(place)))
    sides = np.concatenate([across[:, 4:8], across[:, 25:29]], axis=1).mean(axis=1)
    return Track(rays.curve(place), across, core - sides, from_tip)


def track_features(track):
    """Features of every level, shape (N, TRACK_FEATURES), float32."""
    from scipy.ndimage import gaussian_filter1d

    soft = gaussian_filter1d(track.across, 1.0, axis=0, mode="nearest")
    level = np.median(soft, axis=1, keepdims=True)
    here = soft[:, 16 + ACROSS] - level
    core = soft[:, 15:18].mean(axis=1)
    left, right = soft[:, 5:9].mean(axis=1), soft[:, 24:28].mean(axis=1)
    rows = np.clip(np.arange(len(core))[:, None] + ALONG, 0, len(core) - 1)
    near = [(part[rows] - level) for part in (core, left, right)]
    tip = np.clip(track.from_tip[:, None] / 6.0, -0.5, 4.0)
    return np.concatenate([2.0 * here, *near, level, tip], axis=1, dtype=np.float32)


# States of the sequence, coronal to apical; nothing comes twice.
_STATES = (
    (EMPTY, "start"),
    (FILE, "file"),
    (POST, "post"),
    (EMPTY, "after post"),
    (FILLING, "filling"),
    (EMPTY, "end"),
)
_MOVES = {0: (0, 2, 4, 5), 1: (1, 5), 2: (2, 3, 4, 5), 3: (3, 4, 5), 4: (4, 5), 5: (5,)}


def contents(track, change=4.0):
    """Kind of every level (EMPTY, FILE, POST, FILLING), and how sure, each shape (N,)."""
    score = trained("contents")(track_features(track)).astype(float)
    score -= score.max(axis=1, keepdims=True)
    score -= np.log(np.exp(score).sum(axis=1, keepdims=True))
    evidence = 0.5 * np.maximum(score, -8.0)[:, [kind for kind, _ in _STATES]]
    kinds = _best_kinds(evidence, change)
    if 0 < (kinds == POST).sum() * ROW < SHORTEST_POST:
        evidence[:, 2:4] = -1e3
        kinds = _best_kinds(evidence, change)
    return kinds, np.exp(score)[np.arange(len(kinds)), kinds]


def _best_kinds(evidence, change):
    """Viterbi over the states of the sequence; kind of every level, shape (N,)."""
    move = np.full((6, 6), -np.inf)
    for i, targets in _MOVES.items():
        for j in targets:
            move[i, j] = 0.0 if i == j else -change
    best = evidence[0] + np.array([0.0, 0.0, -np.inf, -np.inf, -np.inf, -np.inf])
    back = np.zeros((len(evidence), 6), int)
    for row in range(1, len(evidence)):
        options = best[:, None] + move
        back[row] = options.argmax(axis=0)
        best = options.max(axis=0) + evidence[row]
    state = np.empty(len(evidence), int)
    state[-1] = best.argmax()
    for row in range(len(evidence) - 1, 0, -1):
        state[row - 1] = back[row, state[row]]
    return np.array([kind for kind, _ in _STATES])[state]


@dataclass(frozen=True, eq=False)
class Bright:
    """What lies along a track.

    Attributes
    ----------
    track : Track
    kinds : ndarray of int, shape (N,)
        EMPTY, FILE, POST or FILLING at every level.
    sure : ndarray, shape (N,)
        Probability of that kind at every level.
    """

    track: Track
    kinds: np.ndarray
    sure: np.ndarray

    def start(self, kind):
        """Film point where ``kind`` begins, or None."""
        rows = np.flatnonzero(self.kinds == kind)
        return self.track.points[rows[0]] if len(rows) else None

    def end(self, kind):
        """Film point where ``kind`` ends, or None."""
        rows = np.flatnonzero(self.kinds == kind)
        return self.track.points[rows[-1]] if len(rows) else None

    def confidence(self, kind):
        """Mean probability of ``kind`` where it was found."""
        return float(self.sure[self.kinds == kind].mean())


def found_in(line):
    """Everything radiopaque along a Track."""
    return Bright(line, *contents(line))
