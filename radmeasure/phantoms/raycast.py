"""Rays through solids: how many mm of each material every ray crosses.

Each ray is cut at every surface it meets; each piece belongs to the innermost
solid, the one that stands last in the list.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from radmeasure.phantoms.solids import Solid

TILE_PX = 128
NOTHING = "nothing"  # material of a hollow


@dataclass(frozen=True)
class Part:
    """A solid made of one material.

    ``sharp`` parts (metal, filling) are cast with several rays per pixel.
    """

    solid: Solid
    material: str
    sharp: bool = False


def boxes(parts, view):
    """Pixel box (x0, y0, x1, y1) of every part; the whole film for unbounded ones."""
    found = np.empty((len(parts), 4))
    for i, part in enumerate(parts):
        points = part.solid.outline_points()
        if points is None:
            found[i] = (-np.inf, -np.inf, np.inf, np.inf)
            continue
        on_film = view.project(points)
        found[i, :2] = on_film.min(axis=0) - 2
        found[i, 2:] = on_film.max(axis=0) + 2
    return found


def thickness(parts, rays, materials):
    """mm of each material along each ray.

    Parameters
    ----------
    parts : sequence of Part
        Later ones lie inside, or replace, earlier ones.
    rays : Rays
        n rays.
    materials : sequence of str

    Returns
    -------
    ndarray, shape (len(materials), n), float64
    """
    count = rays.point[0].size
    enter, leave, kinds = [], [], []
    for part in parts:
        t_in, t_out = part.solid.crossed(rays)
        hit = t_out > t_in
        if hit.any():
            enter.append(np.where(hit, t_in, np.float32(0)))
            leave.append(np.where(hit, t_out, np.float32(0)))
            empty = part.material == NOTHING
            kinds.append(len(materials) if empty else materials.index(part.material))
    out = np.zeros((len(materials) + 1) * count)
    if kinds:
        _share(np.array(enter), np.array(leave), kinds, len(materials), count, out)
    return out.reshape(len(materials) + 1, count)[:-1]


def _share(enter, leave, kinds, nothing, count, out):
    cuts = np.sort(np.concatenate((enter, leave)), axis=0)
    ray = np.arange(count)
    for low, high in pairwise(cuts):
        length = high - low
        if not length.any():
            continue
        middle = np.float32(0.5) * (low + high)
        kind = np.full(count, nothing)
        for t_in, t_out, k in zip(enter, leave, kinds):
            np.copyto(kind, k, where=(t_in < middle) & (middle < t_out))
        # Every ray occurs once, so plain fancy indexing adds up rightly.
        out[kind * count + ray] += length


def tiles(shape, size=TILE_PX):
    """Yield (y0, y1, x0, x1) of square tiles that cover the film."""
    for y in range(0, shape[0], size):
        for x in range(0, shape[1], size):
            yield y, min(y + size, shape[0]), x, min(x + size, shape[1])


def sample(view, parts, found_boxes, tile, fine=2):
    """Rays of one tile with the parts that can be met there.

    Returns
    -------
    rays, here, split : Rays, list of Part, int
        ``split`` rays per pixel and direction, 1 where nothing sharp is near.
    """
    y0, y1, x0, x1 = tile
    b = found_boxes
    near = (b[:, 0] < x1) & (b[:, 2] > x0 - 1) & (b[:, 1] < y1) & (b[:, 3] > y0 - 1)
    here = [part for part, hit in zip(parts, near) if hit]
    split = fine if any(part.sharp for part in here) else 1
    offset = (np.arange(split) + 0.5) / split - 0.5
    x = (np.arange(x0, x1)[:, None] + offset).ravel()
    y = (np.arange(y0, y1)[:, None] + offset).ravel()
    grid_x, grid_y = np.meshgrid(x, y)
    return view.rays(grid_x, grid_y), here, split
