"""Where a ray enters and leaves a body: by formula, by parabola and Newton step, by search.

Every function answers with two arrays (t_in, t_out), mm along the ray; a ray that
misses has t_in >= t_out.
"""

import numpy as np

FAR = np.float32(1e4)
_THIN_MM = np.float32(0.03)
_NEAR_MM2 = np.float32(0.2)  # misses closer than this are looked at again
SEARCH_MM, _SEARCH_POINTS = 9.0, 33


def quadratic(a, b, c):
    """Interval on which ``a t² + b t + c < 0`` with ``a > 0``."""
    disc = b * b - 4 * a * c
    hit = disc > 0
    root = np.sqrt(np.where(hit, disc, 0))
    half = 0.5 / a
    return (
        np.where(hit, (-b - root) * half, FAR),
        np.where(hit, (-b + root) * half, -FAR),
    )


def below(slope, value):
    """Interval on which ``slope t + value < 0``."""
    flat = np.abs(slope) < 1e-7
    t = -value / np.where(flat, np.float32(1), slope)
    t = np.clip(t, -FAR, FAR)
    inside = value < 0
    low = np.where(flat, np.where(inside, -FAR, FAR), np.where(slope > 0, -FAR, t))
    high = np.where(flat, np.where(inside, FAR, -FAR), np.where(slope > 0, t, FAR))
    return low, high


def crossing(value, rays, half, bow, trust=0.05, middle=0):
    """Interval on which ``value`` is negative along rays, for bodies met once.

    A parabola through three values gives the entry and the exit, a Newton step
    brings them onto the surface: exact for oval sections crossed squarely. Rays
    on which it does not settle (slanting, grazing, a waist) get a second
    parabola, and what still does not settle is searched.

    Parameters
    ----------
    value : callable
        Of local (m, li, s), mm; negative inside.
    rays : Rays
        In the body's frame.
    half : float
        Half the depth expected, mm.
    bow : float
        Least curvature of the value along a ray.
    trust : float
        Longest Newton step that is believed, mm.
    middle : ndarray, shape (n,), or 0
        li at which each ray is expected to pass the body's middle, mm.
    """
    start = (middle - rays.point[1]) / rays.direction[1]
    spread = np.full_like(start, half)
    t_in, t_out, settled, centre, spread = _parabola(value, rays, start, spread, bow, trust)
    left = np.flatnonzero(~settled)
    if left.size:
        again = rays.some(left)
        found = _parabola(value, again, centre[left], spread[left], bow, trust)
        t_in[left], t_out[left] = found[:2]
        left = left[~found[2]]
    if left.size:
        t_in[left], t_out[left] = _searched(value, rays.some(left), start[left], half)
    return t_in, t_out


def _parabola(value, rays, centre, half, bow, trust):
    """One parabola and one Newton step; where they settle, and a better start for the next."""
    low, mid, high = (value(*rays.at(t)) for t in (centre - half, centre, centre + half))
    a = np.maximum((low + high - 2 * mid) / (2 * half * half), np.float32(bow))
    b = (high - low) / (2 * half)
    disc = b * b - 4 * a * mid
    hit = disc > 0
    steep = np.sqrt(np.where(hit, disc, 0))
    reach = steep / (2 * a)
    vertex = centre + np.clip(-b / (2 * a), -3 * half, 3 * half)
    spread = np.clip(reach, _THIN_MM, 2 * half + _THIN_MM)
    # Least value the parabola reaches: far above zero the ray misses for certain.
    settled = ~hit & (mid - b * b / (4 * a) > _NEAR_MM2) & (low > 0) & (high > 0)
    t_in, t_out = np.full_like(centre, FAR), np.full_like(centre, -FAR)
    met = np.flatnonzero(hit)
    if met.size:
        some, up = rays.some(met), np.maximum(steep[met], np.float32(1e-6))
        enter, leave = vertex[met] - reach[met], vertex[met] + reach[met]
        in_step = value(*some.at(enter)) / up
        out_step = value(*some.at(leave)) / up
        settled[met] = np.maximum(np.abs(in_step), np.abs(out_step)) < trust
        t_in[met], t_out[met] = enter + in_step, leave - out_step
    return t_in, t_out, settled, vertex, spread


def _searched(value, rays, start, half):
    """First entry and last exit of each ray, by sampling and halving."""
    reach = np.clip(4 * half, 1.5, SEARCH_MM)
    t = start + np.linspace(-reach, reach, _SEARCH_POINTS, dtype=np.float32)[:, None]
    point = tuple(p + t * v for p, v in zip(rays.point, rays.direction))
    inside = value(*point) < 0
    t_in, t_out = np.full(start.shape, FAR), np.full(start.shape, -FAR)
    met = np.flatnonzero(inside.any(axis=0))
    if not met.size:
        return t_in, t_out
    rays, t, inside = rays.some(met), t[:, met], inside[:, met]
    first = np.argmax(inside, axis=0)
    last = len(t) - 1 - np.argmax(inside[::-1], axis=0)
    step = np.float32(2 * reach / (_SEARCH_POINTS - 1))
    for ends, index, sign in ((t_in, first, 1), (t_out, last, -1)):
        inner = np.take_along_axis(t, index[None], axis=0)[0]
        outer = inner - sign * step
        for _ in range(13):
            middle = np.float32(0.5) * (inner + outer)
            within = value(*rays.at(middle)) < 0
            inner, outer = np.where(within, middle, inner), np.where(within, outer, middle)
        ends[met] = inner
    return t_in, t_out
