"""First look: where the root runs and how wide it is, both walls at once.

Dynamic programming over (centre, half-width) per level of the straightened tooth. A wall
that fits badly on one side is carried by the other and by the usual width of the tooth.
"""

from dataclasses import dataclass

import numpy as np

from radmeasure.tracing.network import trained
from radmeasure.tracing.profiles import STEP, wall_features
from radmeasure.tracing.rays import Rays, unit

ROW = 0.4  # nominal mm between levels
CELL = 0.2  # nominal mm, grid of centre and half-width
CENTRES = CELL * np.arange(-13, 14)
HALF_WIDTHS = CELL * np.arange(2, 25)


@dataclass(frozen=True, eq=False)
class RoughRoot:
    """Centre line (film px, coronal to apical) and half-width (nominal mm) per level."""

    centre: np.ndarray
    half_width: np.ndarray


def usual_half_width(from_tip, proportions):
    """Half-width of a root at a distance from its tip, nominal mm (own fit, derived)."""
    share = np.clip(from_tip / proportions.root, 0.0, 1.0)
    return 0.5 * proportions.cervix * (0.38 + 0.62 * share**0.8)


def across_rays(coronal, apex, unit_px, side, reach=(-2.7, 6.0)):
    """Rays square to the line coronal -> apex, one per level; ``side`` is +1 or -1."""
    coronal, apex = np.asarray(coronal, float), np.asarray(apex, float)
    length = np.linalg.norm(apex - coronal) / unit_px
    along = unit(apex - coronal)
    across = side * np.array([-along[1], along[0]])
    level = np.arange(0.0, length, ROW)
    origin = coronal + level[:, None] * unit_px * along
    radius = np.arange(round(reach[0] / STEP), round(reach[1] / STEP) + 1) * STEP
    rays = Rays(origin, np.broadcast_to(across, origin.shape), radius, unit_px)
    return rays, length - level


def wall_evidence(rays, film, from_tip, spread=0.5, slant=None):
    """Score of a wall at every place of the frame, outward along the rays."""
    slant = np.zeros(len(rays.origin)) if slant is None else slant
    return trained("wall")(wall_features(rays, film, spread, slant, from_tip))


def _pooled(evidence, radius, wanted):
    """Best evidence within half a cell of each wanted radius."""
    half = round(0.5 * CELL / STEP)
    padded = np.pad(evidence, ((0, 0), (half, half)), constant_values=-12.0)
    best = np.lib.stride_tricks.sliding_window_view(padded, 2 * half + 1, axis=1).max(axis=-1)
    index = np.round((wanted - radius[0]) / STEP).astype(int)
    inside = (index >= 0) & (index < len(radius))
    return np.where(inside, best[:, np.clip(index, 0, len(radius) - 1)], -12.0)


def rough_root(scene, coronal, apex, proportions, guide=None, short_of_tip=1.0):
    """Centre line and widths between the clicks, ending ``short_of_tip`` before the apex."""
    guide = guide or Guide()
    tables = []
    centre, half = np.meshgrid(CENTRES, HALF_WIDTHS, indexing="ij")
    for side in (1, -1):
        rays, from_tip = across_rays(coronal, apex, scene.unit_px, side)
        score = wall_evidence(rays, scene.film, from_tip)
        score -= np.log(np.exp(score).sum(axis=1, keepdims=True))
        tables.append(_pooled(np.maximum(score, -12.0), rays.radius, half + side * centre))
    rows = from_tip >= short_of_tip
    joint = 0.5 * (tables[0] + tables[1])[rows]
    usual = usual_half_width(from_tip[rows], proportions)
    joint -= 0.15 * (np.log(half / usual[:, None, None]) / 0.3) ** 2
    joint -= 0.15 * (centre / 1.2) ** 2
    forward = Rays(rays.origin[rows], -rays.direction[rows], rays.radius, scene.unit_px)
    joint -= guide.pull(forward, centre)
    joint -= guide.trespass(forward, centre, half)
    path = _joint_path(joint)
    return RoughRoot(forward.curve(CENTRES[path[:, 0]]), HALF_WIDTHS[path[:, 1]])


@dataclass(frozen=True, eq=False)
class Guide:
    """What else is known of a root before it is traced.

    Attributes
    ----------
    through : tuple of ndarray, shape (2,)
        Rough clicks on its canal, film px.
    others : tuple of (ndarray, ndarray), shape (2,) each
        Where the tooth's other roots leave the trunk and end, roughly; film px.
    """

    through: tuple = ()
    others: tuple = ()

    def pull(self, rays, centre, sd_mm=1.0, near_mm=2.5):
        """Penalty of centres far from a click on the canal, by row."""
        total = np.zeros((len(rays.origin), *centre.shape))
        for click in self.through:
            row = int(np.linalg.norm(rays.origin - click, axis=1).argmin())
            where = (click - rays.origin[row]) @ rays.direction[row] / rays.unit_px
            near = np.exp(-0.5 * ((np.arange(len(total)) - row) * ROW / near_mm) ** 2)
            total += 0.25 * near[:, None, None] * ((centre - where) / sd_mm) ** 2
        return total

    def trespass(self, rays, centre, half, penalty=2.0, room_mm=0.4):
        """Penalty of walls beyond the middle of a neighbouring root, by row."""
        total = np.zeros((len(rays.origin), *centre.shape))
        share = np.linspace(0.0, 1.0, len(total))[:, None]
        for start, tip in self.others:
            line = start + share * (tip - start)
            offset = ((line - rays.origin) @ rays.direction[0] / rays.unit_px)[:, None, None]
            reach = np.sign(offset) * centre + half
            total += penalty * ((np.abs(offset) > 1.5) & (reach > np.abs(offset) + room_mm))
        return total


def _joint_path(joint, sigma=0.55):
    """Viterbi over (centre, half-width), one cell per level each way."""
    rows, n, m = joint.shape
    moves = [(i, j) for i in (-1, 0, 1) for j in (-1, 0, 1)]
    cost = np.array([-0.5 * (i * i + j * j) / sigma**2 for i, j in moves])
    score = joint[0]
    back = np.zeros(joint.shape, np.int8)
    for row in range(1, rows):
        padded = np.pad(score, 1, constant_values=-np.inf)
        options = np.stack([padded[1 + i : 1 + i + n, 1 + j : 1 + j + m] for i, j in moves])
        options += cost[:, None, None]
        back[row] = options.argmax(axis=0)
        score = options.max(axis=0) + joint[row]
    path = np.empty((rows, 2), int)
    path[-1] = np.unravel_index(score.argmax(), score.shape)
    for row in range(rows - 1, 0, -1):
        move = moves[back[row][tuple(path[row])]]
        path[row - 1] = path[row] + move
    return path
