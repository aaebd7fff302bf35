"""Suggestions as they gather: nothing off the film, every one with its uncertainty."""

import numpy as np

from radmeasure.model.landmarks import Landmarks, Root


class Collected:
    """Collects what is found and what is left out.

    Parameters
    ----------
    shape : tuple
        Rows and columns of the film.
    several : bool
        The tooth has more than one clicked root, so keys also carry the root's name.
    """

    def __init__(self, shape, several):
        self.high = np.array(shape[1::-1], float) - 1.0
        self.several = several
        self.points, self.roots = {}, {}
        self.u_px, self.confidence, self.left_out = {}, {}, {}

    def add(self, name, point, u_px, confidence, root=None):
        """A point, film px; left out when it would lie off the film."""
        point = np.asarray(point, float)
        if not ((point >= 0) & (point <= self.high)).all():
            self.leave(name, "it would lie off the film", root)
            return
        kept = self.points if root is None else self.roots.setdefault(root, ({}, {}))[0]
        kept[name] = _pair(point)
        self._state(name, u_px, confidence, root)

    def add_line(self, name, points, u_px, confidence, root):
        """A line of a root; the part off the film is cut away."""
        points = np.asarray(points, float)
        points = points[((points >= 0) & (points <= self.high)).all(axis=1)]
        if len(points) < 5:
            self.leave(name, "it lies off the film", root)
            return
        self.roots.setdefault(root, ({}, {}))[1][name] = tuple(map(_pair, points))
        self._state(name, u_px, confidence, root)

    def _state(self, name, u_px, confidence, root):
        u_px, confidence = float(max(u_px, 0.3)), float(np.clip(confidence, 0.0, 1.0))
        if root is not None and self.several:
            self.u_px[f"{root}.{name}"] = u_px
            self.confidence[f"{root}.{name}"] = confidence
        self.u_px[name] = max(u_px, self.u_px.get(name, 0.0))
        self.confidence[name] = min(confidence, self.confidence.get(name, 1.0))

    def leave(self, name, reason, root=None):
        """Say why there is no ``name``."""
        self.left_out[f"{root}.{name}" if root else name] = reason

    def landmarks(self, hints):
        """Everything as Landmarks of the hinted tooth."""
        return Landmarks(
            hints.tooth,
            scale=hints.scale,
            points=self.points,
            roots={name: Root(*kept) for name, kept in self.roots.items()},
            u_px=self.u_px,
            given=hints.given,
            confidence=self.confidence,
            left_out=self.left_out,
        )


def _pair(xy):
    return (float(xy[0]), float(xy[1]))
