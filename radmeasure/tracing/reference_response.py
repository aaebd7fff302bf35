"""A receptor's response, read off a metal rod that runs from air into a tooth.

A rod takes away the same share of the beam wherever it lies. A receptor whose grey level
follows the logarithm of the beam shows it everywhere as much brighter than its two sides; one
that follows the beam itself shows it strongly over air and ever more faintly over crown, root
and bone (derived from Beer-Lambert). So the response is the one of the family

    depth = -log(1 - b grey)        b = 0: grey as it is; b -> 1: grey linear in the beam

in which the rod's step over its sides changes most evenly along it, for a file gets thinner
evenly.
"""

import numpy as np

from radmeasure.tracing.reference_edge import depth
from radmeasure.tracing.reference_plate import evened, sample
from radmeasure.tracing.reference_rods import robust_line

_BENDS = (0.0, 0.2, 0.4, 0.6, 0.7, 0.8, 0.85, 0.9, 0.93, 0.95, 0.97, 0.985)
_STEP_MM, _INSIDE_MM = 0.1, 0.3
_BESIDE_MM = (0.12, 0.35)  # of the rod's flank: where its sides are read
_CORE = 0.25  # of the half width
# Films made for looking at lie near the logarithm (hardening of the beam makes 0.6 of some);
# those are left as they are. So are those on which no bend makes the step much more even.
_LEAST, _BETTER = 0.75, 0.7
_LEAST_STATIONS = 15
_MOST_MM, _CLEAR = 1.1, 0.3  # width and contrast (spans) of a rod clearly of metal
_MOST_PLATES = 1


def even_plate(plate, rod):
    """The film as a logarithmic receptor would show it; the plate itself where it is one.

    Parameters
    ----------
    plate : Plate
    rod : Rod

    Returns
    -------
    Plate
    """
    bend = bend_of(plate, rod)
    return evened(plate, bend) if bend else plate


def even_plates(plate, rods):
    """Evened films, as the clearest rods beside open ground ask for; none on a logarithmic film.

    Parameters
    ----------
    plate : Plate
    rods : sequence of Rod

    Returns
    -------
    list of Plate
    """
    dark = float(np.quantile(plate.coarse, 0.02)) + 0.3 * plate.span
    bends = []
    for rod in sorted(rods, key=lambda rod: -rod.contrast):
        in_open = rod.stations[:, 4:6].max(axis=1) < dark
        slim = rod.width_px < _MOST_MM * plate.mm_px
        if slim and in_open.any() and rod.contrast > _CLEAR * plate.span:
            bends.append(bend_of(plate, rod))
    return [evened(plate, bend) for bend in dict.fromkeys(b for b in bends if b)][:_MOST_PLATES]


def bend_of(plate, rod):
    """b of the film's response, 0 for a logarithmic one."""
    core, left, right = _read(plate, rod)
    seen = np.isfinite(core + left + right) & (core < plate.clip - 1e-3)
    if seen.sum() < _LEAST_STATIONS:
        return 0.0
    core, left, right = core[seen], left[seen], right[seen]
    uneven = [_uneven(core, left, right, bend) for bend in _BENDS]
    best = int(np.argmin(uneven))
    if _BENDS[best] < _LEAST or uneven[best] > _BETTER * uneven[0]:
        return 0.0
    return _BENDS[best]


def _read(plate, rod):
    """Grey levels of the rod's core and of either side, every tenth of a mm along it."""
    mm, half = plate.mm_px, 0.5 * rod.width_px
    normal = np.array([-rod.direction[1], rod.direction[0]])
    s = np.arange(_INSIDE_MM * mm, rod.length_px - _INSIDE_MM * mm, _STEP_MM * mm)
    axis = (rod.start + s[:, None] * rod.direction)[:, None]

    def mean(low, high):
        at = axis + np.linspace(low, high, 5)[None, :, None] * normal
        return sample(plate.grey, at[..., 0], at[..., 1]).mean(axis=1)

    inner, outer = (half + d * mm for d in _BESIDE_MM)
    return mean(-_CORE * half, _CORE * half), mean(-outer, -inner), mean(inner, outer)


def _uneven(core, left, right, bend):
    """How far the step departs from one that changes evenly along the rod, relative."""
    core, left, right = (depth(grey, bend) for grey in (core, left, right))
    step = core - 0.5 * (left + right)
    k = np.arange(len(step))
    fit, _ = robust_line(k, step)
    rest = step - np.polyval(fit, k)
    return float(np.sqrt(np.mean(rest**2)) / max(np.median(np.abs(step)), 1e-9))
