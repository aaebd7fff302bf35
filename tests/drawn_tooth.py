"""Ideal teeth drawn as landmark sets: exact geometry in mm, no film needed.

A tooth is drawn upright in its own millimetres: ``across`` (mesial positive) and ``depth``
below the CEJ (apical positive), then carried to pixels for its quadrant. Depths *in a root*
count along the canal from the orifice, as everywhere in the program.
"""

import math
from dataclasses import dataclass, field

import numpy as np

from radmeasure.model.landmarks import Detector, Landmarks, Root
from radmeasure.model.tooth import Tooth

MM_PER_PX = 0.025
CENTRE_PX = (800.0, 900.0)


@dataclass(frozen=True)
class DrawnRoot:
    """One root around its canal: a straight part, then one arc to the apex.

    Attributes
    ----------
    length : float
        CEJ level to apex along the canal.
    orifice : float
        CEJ level to the root face.
    straight : float or None
        Depth at which the arc begins; None: straight to the apex.
    radius : float
        Radius of the arc; it turns mesially when ``turns`` is +1.
    width, canal : pair of floats
        Width of root and canal at the orifice and at the apex, linear between.
    off_centre : float
        How far the canal lies mesial of the root's middle.
    filling : pair or None
        Depth of the filling's coronal and apical end.
    post : pair or None
        Depth of the post's coronal and apical end.
    at : float
        Where the root begins, across from the tooth's middle.
    """

    length: float = 13.0
    orifice: float = 0.0
    straight: float | None = None
    radius: float = 10.0
    turns: int = 1
    width: tuple = (6.0, 3.0)
    canal: tuple = (1.0, 0.4)
    off_centre: float = 0.0
    filling: tuple | None = (0.0, 13.0)
    post: tuple | None = None
    at: float = 0.0

    @property
    def canal_length(self):
        return self.length - self.orifice

    def place(self, s):
        """(across, depth) and unit direction at depth ``s`` along the canal."""
        straight = self.canal_length if self.straight is None else self.straight
        u = max(s - straight, 0.0)
        turn = self.turns * u / self.radius
        depth = self.orifice + min(s, straight) + self.radius * math.sin(abs(turn))
        across = self.at + self.turns * self.radius * (1 - math.cos(turn))
        return (across, depth), (math.sin(turn), math.cos(turn))

    def beside(self, s, offset):
        """Place ``offset`` mm mesial of the canal's middle, square to the canal."""
        (x, y), (dx, dy) = self.place(s)
        return (x + offset * dy, y - offset * dx)

    def _line(self, offset_at, count=25):
        levels = np.linspace(0.0, self.canal_length, count)
        return tuple(self.beside(s, offset_at(s / self.canal_length)) for s in levels)

    def drawn(self):
        """Points and lines in mm."""
        apex, _ = self.place(self.canal_length)
        points = {"apex": apex, "orifice": self.place(0.0)[0]}
        for name, ends in (("filling", self.filling), ("post", self.post)):
            if ends is not None:
                points[f"{name}_coronal"] = self.place(ends[0])[0]
                points[f"{name}_apical"] = self.place(ends[1])[0]

        def half(pair):
            return lambda t: 0.5 * (pair[0] + t * (pair[1] - pair[0]))

        root, canal = half(self.width), half(self.canal)
        lines = {
            "canal": self._line(lambda t: 0.0),
            "root_wall_mesial": self._line(lambda t: root(t) - self.off_centre),
            "root_wall_distal": self._line(lambda t: -root(t) - self.off_centre),
            "canal_wall_mesial": self._line(canal),
            "canal_wall_distal": self._line(lambda t: -canal(t)),
        }
        return Root(points, lines)


@dataclass(frozen=True)
class DrawnTooth:
    """A tooth of plain geometry; ``crest`` and ``margin`` are (mesial, distal) depths.

    ``margin`` counts below the CEJ like the crest: negative lies coronal of it.
    ``mm_per_px``, ``turn_deg`` and ``given`` say how the film shows it.
    """

    fdi: str = "11"
    crown: float | None = 10.5
    crest: tuple | None = (0.0, 0.0)
    margin: tuple | None = None
    cej: bool = True
    roots: dict = field(default_factory=lambda: {"single": DrawnRoot()})
    given: dict = field(default_factory=dict)
    mm_per_px: float = MM_PER_PX
    u_magnification: float = 0.01
    turn_deg: float = 0.0
    u_px: dict = field(default_factory=dict)
    calibrated: bool = True

    def _points(self):
        half = 0.5 * max(r.width[0] for r in self.roots.values())
        points = {}
        if self.crown is not None:
            points["coronal_reference"] = (0.0, -self.crown)
        levels = {"cej": (0.0, 0.0) if self.cej else None}
        levels |= {"crest": self.crest, "margin": self.margin}
        for name, pair in levels.items():
            if pair is not None:
                points[f"{name}_mesial"] = (half, pair[0])
                points[f"{name}_distal"] = (-half, pair[1])
        return points

    def to_px(self, p):
        """A place in the tooth's millimetres as film pixels."""
        tooth = Tooth(self.fdi)
        x, y = tooth.mesial_sign * p[0], tooth.apical_sign * p[1]
        c, s = math.cos(math.radians(self.turn_deg)), math.sin(math.radians(self.turn_deg))
        return (
            CENTRE_PX[0] + (c * x - s * y) / self.mm_per_px,
            CENTRE_PX[1] + (s * x + c * y) / self.mm_per_px,
        )

    def landmarks(self):
        """The tooth as Landmarks, scaled by a receptor pitch of known magnification."""
        drawn = Landmarks(
            Tooth(self.fdi),
            points=self._points(),
            roots={name: root.drawn() for name, root in self.roots.items()},
            given={"technique": "paralleling", **self.given},
            u_px=self.u_px,
        ).mapped(self.to_px)
        if not self.calibrated:
            return drawn
        return drawn.with_scale(Detector(self.mm_per_px, 1.0, self.u_magnification))


def mirrored(landmarks, width_px=1600.0):
    """The same film seen from behind: x flipped, the tooth that of the other side."""
    fdi = landmarks.tooth.fdi
    other = {"1": "2", "2": "1", "3": "4", "4": "3"}[fdi[0]] + fdi[1]
    flipped = landmarks.mapped(lambda p: (width_px - 1 - p[0], p[1]))
    return Landmarks(
        Tooth(other),
        flipped.scale,
        flipped.points,
        flipped.roots,
        flipped.u_px,
        flipped.given,
    )
