"""The outline of one root: down one wall, round the tip, up the other.

Rays leave the root's centre line square to it and fan out around a point a little short
of the apex, so walls and apex are one smooth curve, one radius per ray.
"""

from dataclasses import dataclass

import numpy as np

from radmeasure.tracing import chain
from radmeasure.tracing.profiles import STEP
from radmeasure.tracing.rays import Rays, normals, resample, unit
from radmeasure.tracing.rough import wall_evidence

ROW = 0.2  # nominal mm between rays beside the root
FAN = 49  # rays around the tip
HUB = 2.6  # nominal mm from the rough apex to the hub of the fan
REACH = (-2.2, 2.6)


@dataclass(frozen=True, eq=False)
class OutlineRays:
    """Rays of an outline: left wall downwards, fan, right wall upwards.

    ``left`` is the side of +(-ty, tx) for the tangent t pointing to the apex.
    """

    rays: Rays
    slant: np.ndarray
    from_tip: np.ndarray
    beside: int  # rays on each side before the fan
    centre: np.ndarray  # where each ray leaves the centre line, px
    base: np.ndarray  # radius of the expected outline, nominal mm


def smoothed(line, window):
    """Polyline smoothed by a Gaussian over points, its end slopes kept."""
    from scipy.ndimage import gaussian_filter1d

    before = 2 * line[:1] - line[1 : window + 1][::-1]
    after = 2 * line[-1:] - line[-window - 1 : -1][::-1]
    padded = np.vstack([before, line, after])
    return gaussian_filter1d(padded, window / 2.0, axis=0)[window:-window]


def outline_rays(centre, half_width, apex, unit_px, reach=REACH):
    """Rays around a root from its rough centre line, half-widths and apex.

    Radii count from the expected outline: the rough walls, closed by half an ellipse
    that reaches the rough apex; so a good guess is a straight path of radius 0.

    Parameters
    ----------
    centre : ndarray, shape (K, 2)
        Film px, coronal to apical.
    half_width : ndarray, shape (K,)
        Nominal mm.
    """
    apex = np.asarray(apex, float)
    line, width = _evenly(centre, half_width, unit_px)
    keep = np.linalg.norm(line - apex, axis=1) >= HUB * unit_px
    count = max(4, int(np.argmin(keep)) if not keep.all() else len(line))
    line, width = line[:count], width[:count]
    tangent, normal = normals(line)
    hub, to_tip = line[-1], apex - line[-1]
    heading = unit(0.5 * unit(to_tip) + 0.5 * tangent[-1])
    length = np.linalg.norm(to_tip) / unit_px
    angle = np.linspace(0.5 * np.pi, -0.5 * np.pi, FAN + 2)[1:-1]
    side = np.array([-heading[1], heading[0]])
    fan = np.cos(angle)[:, None] * heading + np.sin(angle)[:, None] * side
    round_tip = 1.0 / np.hypot(np.cos(angle) / length, np.sin(angle) / width[-1])
    base = np.concatenate([width, round_tip, width[::-1]])
    direction = np.vstack([normal, fan, -normal[::-1]])
    centre = np.vstack([line, np.repeat(hub[None], FAN, axis=0), line[::-1]])
    slant = np.concatenate([np.zeros(count), np.cos(angle), np.zeros(count)])
    along = length + ROW * np.arange(count)[::-1]
    from_tip = np.concatenate([along, np.full(FAN, length), along[::-1]])
    radius = np.arange(round(reach[0] / STEP), round(reach[1] / STEP) + 1) * STEP
    origin = centre + base[:, None] * unit_px * direction
    rays = Rays(origin, direction, radius, unit_px)
    return OutlineRays(rays, slant, from_tip, count, centre, base)


def _evenly(centre, half_width, unit_px):
    """Centre line and half-widths at even steps, smoothed."""
    from scipy.ndimage import gaussian_filter1d

    line = resample(centre, ROW * unit_px)
    window = min(14, len(line) - 1)
    share = np.linspace(0.0, 1.0, len(half_width))
    width = np.interp(np.linspace(0.0, 1.0, len(line)), share, half_width)
    return smoothed(line, window), gaussian_filter1d(width, 4.0, mode="nearest")


@dataclass(frozen=True, eq=False)
class Outline:
    """A traced outline: radius and its standard deviation per ray, nominal mm."""

    frame: OutlineRays
    radius: np.ndarray
    deviation: np.ndarray
    share: np.ndarray

    def wall(self, side):
        """Film points of one wall, coronal to apical, deviations and shares; ``side`` +1 or -1."""
        middle = self.frame.beside + FAN // 2
        points = self.frame.rays.curve(self.radius)
        part = slice(0, middle + 1) if side > 0 else slice(len(points) - 1, middle - 1, -1)
        return points[part], self.deviation[part], self.share[part]

    def holds(self, points):
        """Which of ``points`` (film px) lie within the root, open at its coronal end.

        Even-odd rule on the outline, whose coronal ends are carried on straight.
        """
        rim = self.frame.rays.curve(self.radius)
        lead = 12.0 * self.frame.rays.unit_px
        head = unit(self.frame.centre[0] - self.frame.centre[min(15, self.frame.beside - 1)])
        rim = np.vstack([rim[0] + lead * head, rim, rim[-1] + lead * head])
        x, y = np.asarray(points, float).reshape(-1, 2).T[:, :, None]
        (ax, ay), (bx, by) = rim.T, np.roll(rim, -1, axis=0).T
        with np.errstate(divide="ignore", invalid="ignore"):
            left_of = x < ax + (y - ay) / (by - ay) * (bx - ax)
        return (((ay > y) != (by > y)) & left_of).sum(axis=1) % 2 == 1


def trace(scene, centre, half_width, apex, tip_mm=None, tempering=0.5, sigma=1.4):
    """Outline of the root around ``centre`` by dynamic programming along the rays.

    ``tip_mm`` says how far the expected outline may be off beyond the tip, as standard
    deviation; None leaves it free.
    """
    frame = outline_rays(centre, half_width, apex, scene.unit_px)
    score = wall_evidence(frame.rays, scene.film, frame.from_tip, 0.7, frame.slant)
    score -= score.max(axis=1, keepdims=True)
    score = np.maximum(score - np.log(np.exp(score).sum(1, keepdims=True)), -14.0)
    beyond_centre = frame.rays.radius[None] < 0.2 - frame.base[:, None]
    score = tempering * np.where(beyond_centre, -14.0, score)
    if tip_mm:
        score -= 0.3 * (frame.slant[:, None] * frame.rays.radius[None] / tip_mm) ** 2
    penalty = chain.step_penalty(8, sigma)
    path = chain.best_path(score, penalty)
    belief = chain.posterior(score, penalty)
    radius = frame.rays.radius
    mean, deviation, share = chain.moments(belief, radius, radius[path], 0.4)
    return Outline(frame, mean, deviation, share)


def tip(outline, cap=0.15):
    """Apex: the outline's farthest reach along the root, its deviation (px) and share.

    On a round tip the farthest single point wanders sideways; the middle of the cap
    within ``cap`` nominal mm of the farthest reach does not.
    """
    frame = outline.frame
    points = frame.rays.curve(outline.radius)
    n = frame.beside
    heading = unit(frame.centre[n] - frame.centre[max(0, n - 20)])
    points, deviation = points[n - 5 : n + FAN + 5], outline.deviation[n - 5 : n + FAN + 5]
    reach = points @ heading
    near = np.flatnonzero(reach >= reach.max() - cap * frame.rays.unit_px)
    first, last = points[near[0]], points[near[-1]]
    middle = 0.5 * (first + last)
    apex = middle + heading * (reach.max() - middle @ heading)
    half_cap = 0.5 * np.linalg.norm(last - first) / frame.rays.unit_px
    spread = np.hypot(deviation[near].mean(), 0.3 * half_cap)
    share = outline.share[n - 5 : n + FAN + 5][near].mean()
    return apex, spread * frame.rays.unit_px, float(share)


def middle(outline):
    """Centre line (film px) and half-width (nominal mm) half-way between the walls."""
    frame, n = outline.frame, outline.frame.beside
    points = frame.rays.curve(outline.radius)
    left, right = points[:n], points[::-1][:n]
    return 0.5 * (left + right), 0.5 * np.linalg.norm(left - right, axis=1) / frame.rays.unit_px
