"""The canal: the one consistent dark (empty) or bright (filled) path between the walls.

Searched only inside the traced outline, so the ligament line outside cannot capture it.
"""

from dataclasses import dataclass

import numpy as np

from radmeasure.tracing import chain
from radmeasure.tracing.network import trained
from radmeasure.tracing.profiles import STEP
from radmeasure.tracing.rays import Rays, normals, unit

ROW = 0.2
FINE = np.arange(-20, 21, 2)  # samples: -1.0 .. 1.0 mm
COARSE = np.arange(-60, 61, 10)  # samples: -3 .. 3 mm
PAD = 3.0
LEAST_DENTINE = 0.1  # nominal mm between a canal and the root's outline
WALL_FINE = np.arange(-16, 17, 2)  # samples: -0.8 .. 0.8 mm
CANAL_FEATURES = len(FINE) + len(COARSE) + 5
CANAL_WALL_FEATURES = len(WALL_FINE) + 5


@dataclass(frozen=True, eq=False)
class CanalFrame:
    """Rays square to the root's centre line, with its half-width and distance from the tip."""

    rays: Rays
    half_width: np.ndarray
    from_tip: np.ndarray


def canal_frame(centre, half_width, apex, unit_px, above=0.0, reach=3.0):
    """Frame along the centre line, continued to the apex and ``above`` mm coronally."""
    from radmeasure.tracing.outline import smoothed

    centre = np.asarray(centre, float)
    head = unit(centre[0] - centre[min(len(centre) - 1, 15)])
    more = round(above / ROW)
    lead = centre[0] + head * ROW * unit_px * np.arange(more, 0, -1)[:, None]
    centre = np.vstack([lead, centre])
    half_width = np.concatenate([np.full(more, half_width[0]), half_width])
    end = np.asarray(apex, float)
    gap = np.linalg.norm(end - centre[-1]) / unit_px
    count = max(2, round(gap / ROW))
    tail = centre[-1] + np.linspace(0, 1, count + 1)[1:, None] * (end - centre[-1])
    line = smoothed(np.vstack([centre, tail]), 10)
    step = np.linalg.norm(np.diff(line, axis=0), axis=1) / unit_px
    from_tip = np.concatenate([np.cumsum(step[::-1])[::-1], [0.0]])
    narrowing = np.interp(np.linspace(0, 1, count + 1)[1:], [0, 1], [half_width[-1], 0.15])
    width = np.concatenate([half_width, narrowing])
    _, normal = normals(line)
    radius = np.arange(-round(reach / STEP), round(reach / STEP) + 1) * STEP
    return CanalFrame(Rays(line, normal, radius, unit_px), width, from_tip)


def cut(frame, keep):
    """The rays of ``frame`` where ``keep`` holds."""
    rays = frame.rays
    part = Rays(rays.origin[keep], rays.direction[keep], rays.radius, rays.unit_px)
    return CanalFrame(part, frame.half_width[keep], frame.from_tip[keep])


def canal_features(frame, film):
    """Features of every place of the frame, shape (N, M, CANAL_FEATURES), float32."""
    from scipy.ndimage import gaussian_filter1d

    values = frame.rays.sample(film, PAD, PAD)
    values = gaussian_filter1d(values, 1.2, axis=0, mode="nearest")
    soft = gaussian_filter1d(values, 4.0, axis=1, mode="nearest")
    count, start = len(frame.rays.radius), round(PAD / STEP)
    fine = np.stack([values[:, start + o : start + o + count] for o in FINE], axis=-1)
    mean = fine.mean(axis=-1, keepdims=True)
    deviation = fine.std(axis=-1, keepdims=True)
    fine = (fine - mean) / (deviation + 0.01)
    coarse = np.stack([soft[:, start + o : start + o + count] for o in COARSE], axis=-1) - mean
    shape = (*mean.shape[:2], 1)
    half = np.maximum(frame.half_width, 0.3)[:, None]
    place = (frame.rays.radius[None] / half)[..., None]
    extra = (
        np.log(deviation + 0.003),
        np.clip(place, -2, 2),
        np.clip(place, -2, 2) ** 2,
        np.broadcast_to(half[..., None], shape),
        np.broadcast_to(np.minimum(frame.from_tip, 12.0)[:, None, None] / 6.0, shape),
    )
    return np.concatenate([fine, coarse, *extra], axis=-1, dtype=np.float32)


@dataclass(frozen=True, eq=False)
class CanalPath:
    """Radius, deviation (nominal mm) and certainty per ray of a canal frame."""

    frame: CanalFrame
    radius: np.ndarray
    deviation: np.ndarray
    share: np.ndarray

    @property
    def points(self):
        return self.frame.rays.curve(self.radius)


def find_canal(scene, frame, through=(), tempering=0.5, sigma=1.2):
    """Most consistent canal path; rough points it passes ``through`` (film px) pull it."""
    rays = frame.rays
    score = trained("canal")(canal_features(frame, scene.film))
    outside = np.abs(rays.radius[None]) > np.maximum(frame.half_width - 0.2, 0.15)[:, None]
    score = np.where(outside, -30.0, score)
    score -= score.max(axis=1, keepdims=True)
    score -= np.log(np.exp(score).sum(axis=1, keepdims=True))
    score = tempering * np.maximum(score, -10.0) - 20.0 * outside
    for click in through:
        row = int(np.argmin(np.linalg.norm(rays.origin - click, axis=1)))
        where = (np.asarray(click) - rays.origin[row]) @ rays.direction[row] / rays.unit_px
        near = np.exp(-0.5 * ((np.arange(len(score)) - row) * ROW / 1.5) ** 2)
        pull = -0.5 * ((rays.radius - where) / 0.7) ** 2
        score += 0.3 * near[:, None] * pull[None]
    penalty = chain.step_penalty(5, sigma, heavy=0.005)
    path = chain.best_path(score, penalty)
    belief = chain.posterior(score, penalty)
    mean, deviation, share = chain.moments(belief, rays.radius, rays.radius[path], 0.3)
    return CanalPath(frame, mean, deviation, share)


def wall_rays(path):
    """Two frames square to the canal, outward to the left (+1) and to the right (-1)."""
    from radmeasure.tracing.outline import smoothed

    line = smoothed(path.points, 6)
    _, normal = normals(line)
    radius = np.arange(2, round(1.3 / STEP) + 1) * STEP
    unit_px = path.frame.rays.unit_px
    return Rays(line, normal, radius, unit_px), Rays(line, -normal, radius, unit_px)


def wall_features(rays, frame, film):
    """Features of every place as a canal wall, shape (N, M, CANAL_WALL_FEATURES)."""
    from scipy.ndimage import gaussian_filter1d

    pad = 0.8
    values = gaussian_filter1d(rays.sample(film, pad, pad), 2.0, axis=0, mode="nearest")
    count, start = len(rays.radius), round(pad / STEP)
    fine = np.stack([values[:, start + o : start + o + count] for o in WALL_FINE], axis=-1)
    mean = fine.mean(axis=-1, keepdims=True)
    deviation = fine.std(axis=-1, keepdims=True)
    shape = (*mean.shape[:2], 1)
    half = np.maximum(frame.half_width, 0.3)
    extra = (
        np.log(deviation + 0.003),
        np.broadcast_to(rays.radius[None, :, None], shape),
        np.broadcast_to(rays.radius[None, :, None] ** 2, shape),
        np.broadcast_to(half[:, None, None], shape),
        np.broadcast_to(np.minimum(frame.from_tip, 12.0)[:, None, None] / 6.0, shape),
    )
    return np.concatenate([(fine - mean) / (deviation + 0.01), *extra], -1, dtype=np.float32)


def find_walls(scene, path, tempering=0.4, sigma=0.45):
    """Half-width of the canal and its deviation per ray, nominal mm; both sides at once."""
    sides = wall_rays(path)
    net = trained("canal_wall")
    score = sum(net(wall_features(side, path.frame, scene.film)) for side in sides)
    score -= score.max(axis=1, keepdims=True)
    score = tempering * np.maximum(score, -10.0)
    room = np.maximum(path.frame.half_width - np.abs(path.radius) - LEAST_DENTINE, 0.15)
    score = np.where(sides[0].radius[None] > room[:, None], -60.0, score)
    belief = chain.posterior(score, chain.step_penalty(2, sigma, heavy=1e-4))
    width, deviation, _ = chain.moments(belief, sides[0].radius)
    return sides, width, deviation
