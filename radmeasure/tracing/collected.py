"""Suggestions as they gather: nothing off the film, every one with its certainty."""

from dataclasses import dataclass

import numpy as np

from radmeasure.model.landmarks import ROOT_LINES, Landmarks, Root
from radmeasure.tracing.certainty import judged, worth_showing

_UNSURE = {
    "canal": "not sure where the canal runs; click once on it, half-way down",
    "canal_wall": "the canal's wall does not stand out",
    "root_wall": "the root's wall does not stand out",
    "cej": "where the enamel ends does not stand out; click it",
    "apex": "the end of the root does not stand out; click it closely",
    "foramen": "the end of the canal does not stand out",
}


@dataclass(frozen=True, eq=False)
class Proposal:
    """One found landmark.

    Attributes
    ----------
    name : str
    root : str or None
    value : ndarray, shape (2,) or (K, 2)
        Film px.
    deviation_mm, share : float
        Spread of the trace and share of the probability near it, before calibration.
    overlay : float
        How much else lies over it on the film, 0 to 1.
    u_mm, confidence : float
        After calibration.
    """

    name: str
    root: str | None
    value: np.ndarray
    deviation_mm: float
    share: float
    overlay: float
    u_mm: float
    confidence: float

    @property
    def shown(self):
        """Sure enough to be worth a person's look."""
        return worth_showing(self.name, self.u_mm, self.confidence)


class Collected:
    """Collects what is found and what is left out.

    Parameters
    ----------
    shape : tuple
        Rows and columns of the film.
    unit_px : float
        Px per nominal mm.
    overlay : mapping of root name (None: the tooth) to float
        How much lies over each on the film, 0 to 1.
    """

    def __init__(self, shape, unit_px, overlay):
        self.high = np.array(shape[1::-1], float) - 1.0
        self.unit_px, self.overlay = unit_px, overlay
        self.proposals, self.left_out = [], {}

    def add(self, name, value, deviation_mm, share, root=None, certain=None):
        """A point or line, film px; what lies off the film is left out or cut away.

        ``certain``: its standard uncertainty (mm) and confidence where a fit knows them.
        """
        value = np.asarray(value, float)
        on_film = ((value >= 0) & (value <= self.high)).all(axis=-1)
        if value.ndim == 2:
            value = value[on_film]
        if (value.ndim == 1 and not on_film) or (value.ndim == 2 and len(value) < 5):
            self.leave(name, "it would lie off the film", root)
            return
        spread, share, overlay = float(deviation_mm), float(share), self.overlay[root]
        certain = certain or judged(name, spread, share, overlay)
        self.proposals.append(Proposal(name, root, value, spread, share, overlay, *certain))

    def leave(self, name, reason, root=None):
        """Say why there is no ``name``."""
        self.left_out[f"{root}.{name}" if root else name] = reason

    def part_sides(self, mesial):
        """Leave out every pair whose mesial one does not lie on the mesial side of the other.

        Parameters
        ----------
        mesial : ndarray, shape (2,)
            Film direction of the mesial side.
        """
        middle = {
            (p.root, p.name): np.atleast_2d(p.value).mean(axis=0) @ mesial for p in self.proposals
        }
        for root, name in list(middle):
            kind = name.removesuffix("_mesial")
            other = middle.get((root, f"{kind}_distal"))
            if kind == name or other is None or middle[root, name] > other:
                continue
            for side in (name, f"{kind}_distal"):
                self.proposals = [p for p in self.proposals if (p.root, p.name) != (root, side)]
                self.leave(side, "the tooth's two sides were not told apart", root)

    def landmarks(self, hints):
        """Everything sure enough, as Landmarks of the hinted tooth."""
        points, roots, u_px, confidence = {}, {}, {}, {}
        several = len({p.root for p in self.proposals} - {None}) > 1
        for found in self.proposals:
            if not found.shown:
                self._leave_unsure(found)
                continue
            u, sure = max(found.u_mm * self.unit_px, 0.3), found.confidence
            if found.root is None:
                points[found.name] = _pair(found.value)
            else:
                kept = roots.setdefault(found.root, ({}, {}))
                line = found.name in ROOT_LINES
                value = tuple(map(_pair, found.value)) if line else _pair(found.value)
                kept[line][found.name] = value
                if several:
                    u_px[f"{found.root}.{found.name}"] = u
                    confidence[f"{found.root}.{found.name}"] = sure
            u_px[found.name] = max(u, u_px.get(found.name, 0.0))
            confidence[found.name] = min(sure, confidence.get(found.name, 1.0))
        return Landmarks(
            hints.tooth,
            scale=hints.scale,
            points=points,
            roots={name: Root(*kept) for name, kept in roots.items()},
            u_px=u_px,
            given=hints.given,
            confidence=confidence,
            left_out=self.left_out,
        )

    def _leave_unsure(self, found):
        plain = found.name.removesuffix("_mesial").removesuffix("_distal")
        reason = _UNSURE.get(plain, "it does not stand out; place it by hand")
        self.leave(found.name, reason, found.root)


def _pair(xy):
    return (float(xy[0]), float(xy[1]))
