"""Lays an earlier film over a later one on landmarks that stay where they are."""

import numpy as np

from radmeasure.model.comparison import Alignment, NotAligned

# What neither disease nor healing moves on the tooth; bone and lesion are what is looked at.
STABLE = (
    "cej_mesial",
    "cej_distal",
    "orifice",
    "apex",
    "filling_apical",
    "post_coronal",
    "post_apical",
)
# Lost when the crown is rebuilt, so only taken where there is little else.
SPARE = ("coronal_reference", "foramen")
# Fewer leave nothing over to tell how well the films fit.
ENOUGH = 3
_GRID = 64


def align(earlier, later, sizes, mm_per_px=None):
    """Similarity (one size, one rotation) that lays ``earlier`` over ``later``.

    Least squares over the stable landmarks both films have, all of one weight, with
    neither film mirrored against the other. What another angulation does to the tooth
    stays in the residual.

    Parameters
    ----------
    earlier, later : Landmarks
    sizes : ((int, int), (int, int))
        (width, height) of both films, px.
    mm_per_px : float, optional
        Scale of the later film.

    Returns
    -------
    Alignment or NotAligned
    """
    shared = _shared(earlier, later, STABLE)
    if len(shared) < ENOUGH:
        shared |= _shared(earlier, later, SPARE)
    if len(shared) < 2:
        return NotAligned("the films share fewer than two landmarks that stay in place")
    a, b = (np.array([complex(*pair[i]) for pair in shared.values()]) for i in (0, 1))
    from_middle = a - a.mean()
    spread = float(np.vdot(from_middle, from_middle).real)
    if spread == 0:
        return NotAligned("the landmarks of the earlier film coincide")
    factor = complex(np.vdot(from_middle, b - b.mean()) / spread)
    if factor == 0:
        return NotAligned("the landmarks of the later film coincide")
    shift = complex(b.mean() - factor * a.mean())
    residual = float(np.sqrt(np.mean(np.abs(factor * a + shift - b) ** 2)))
    return Alignment(
        factor=factor,
        shift=shift,
        residual_px=residual,
        residual_mm=None if mm_per_px is None else residual * mm_per_px,
        overlap=_overlap(factor, shift, *sizes),
        landmarks=tuple(shared),
    )


def _shared(earlier, later, names):
    """(name, root) -> places on both films, of the landmarks that both have."""
    found = {}
    for root, name, place in earlier.placed():
        other = later.get(name, root)
        if name in names and other is not None:
            found[name, root] = (place, other)
    return found


def _overlap(factor, shift, earlier, later):
    """Share of a grid over the earlier film that falls on the later one."""
    x = (np.arange(_GRID) + 0.5) / _GRID * earlier[0] - 0.5
    y = (np.arange(_GRID) + 0.5) / _GRID * earlier[1] - 0.5
    on = factor * (x + 1j * y[:, None]) + shift
    inside = (np.abs(on.real - (later[0] - 1) / 2) <= later[0] / 2) & (
        np.abs(on.imag - (later[1] - 1) / 2) <= later[1] / 2
    )
    return float(inside.mean())
