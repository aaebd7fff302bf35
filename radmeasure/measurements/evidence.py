"""Everything placed on one film, as sampled inputs, in each root's own frame.

Tooth frame of a root: ``depth`` runs along its axis from coronal to apical,
``across`` is perpendicular to it with mesial positive. The axis runs from the
midpoint of the two CEJ points to the apex (Brezniak et al., Angle Orthod
2004;74:786-791: the CEJ midpoint is the most dependable reference); without CEJ
points from the coronal reference, then from the orifice, to the apex.
"""

from functools import cached_property, lru_cache
from types import MappingProxyType

import numpy as np

from radmeasure.geometry.bends import BEGINS, BEGINS_U
from radmeasure.geometry.polyline import cumulative, normals, thin
from radmeasure.measurements.kept import Kept
from radmeasure.model.landmarks import ROOT_LINES

# More vertices than this add nothing to a smooth line's length (15 mm at 32 points:
# chord error below 3e-4 for a 6 mm radius).
MOST_VERTICES = 32
# A person drawing a line errs in waves of about this length.
WAVE_MM = 3.0
_ALL = slice(None)


@lru_cache(maxsize=64)
def _waves(value, closed, mm_per_px):
    """(line (M, 2), weights (M, waves), normals (M, 2)) of a line; not to be changed."""
    line = np.asarray(value, dtype=float)
    if closed and np.allclose(line[0], line[-1]):
        line = line[:-1]
    line = thin(line, MOST_VERTICES)
    s = cumulative(line)
    count = int(np.clip(round(s[-1] * mm_per_px / WAVE_MM) + 1, 2, min(len(line), 9)))
    if closed:
        count = max(min(4, len(line)), count)
        knots = np.linspace(0, s[-1], count, endpoint=False)
        spacing = s[-1] / count
        gap = np.abs(s[:, None] - knots[None, :])
        gap = np.minimum(gap, s[-1] - gap)
    else:
        knots = np.linspace(0, s[-1], count)
        spacing = s[-1] / (count - 1)
        gap = np.abs(s[:, None] - knots[None, :])
    return line, np.clip(1 - gap / spacing, 0, None), normals(line, closed)


def _waved(declared, waves):
    """A declared line moved by its waves (K, W), shape (K, M, 2) px."""
    line, weights, normal, _ = declared
    return line + (waves @ weights.T)[..., None] * normal


class Evidence:
    """Declares all placed points and lines as inputs, then reads them from a sampling.

    Parameters
    ----------
    landmarks : Landmarks
    u_px : callable (name, root) -> float
        Standard uncertainty of placement along each axis, px.
    mm_per_px : float
        Rough scale, only used to space the waves of a drawn line.
    hidden : mapping
        What the projection hides. 'reference', 'cej', 'crest' (both sides alike), each level
        of 'side' (one side of CEJ, crest, margin) and each root of 'root' (it may stand
        aside of the crown) hold (distance from the axis towards the cheek that follows the
        beam, standard uncertainty of the rest), mm; 'canal' and 'apical' a standard
        uncertainty, mm, of length out of the film's plane; 'lesion' that of its height
        seen, as a share.
    beam : Beam
        The obliquity of the beam.
    inputs : Inputs
    """

    def __init__(self, landmarks, u_px, mm_per_px, hidden, beam, inputs):
        self.landmarks, self.mm_per_px, self.beam = landmarks, mm_per_px, beam
        self._hidden, self._cheek_mm = {}, {}

        def declare(part, root, of_part, words):
            self._cheek_mm[root, part], u = of_part
            self._hidden[root, part] = inputs.add(0.0, u, words)

        words = "coronal reference off the film's plane"
        declare("reference", None, hidden["reference"], words)
        for level, words in (("cej", "CEJ"), ("crest", "bone's edge")):
            declare(level, None, hidden[level], f"{words} off the film's plane, both sides")
        for side in ("mesial", "distal"):
            for level in ("cej", "crest", "margin"):
                words = level.replace("cej", "CEJ")
                of_side = hidden["side"][level]
                declare(level, side, of_side, f"{side} {words} off the film's plane")
        for root in landmarks.roots:
            for part in ("canal", "apical"):
                declare(part, root, (0.0, hidden[part]), "canal off the film's plane")
            words = f"{root} root standing aside of the crown".replace("single ", "")
            declare("root", root, hidden["root"][root], words)
            words = "where a slight bend begins"
            self._hidden[root, "bend"] = inputs.add(BEGINS, BEGINS_U, words)
            self._hidden[root, "lesion"] = inputs.add(1.0, hidden["lesion"], "depth of the lesion")
        self._points, self._lines = {}, {}
        many = len(landmarks.roots) > 1
        for root, name, value in landmarks.placed():
            words = name.replace("_", " ") + (f" ({root})" if root and many else "")
            source = f"placement of {words}"
            if name in ROOT_LINES:
                line, weights, normal = _waves(value, name == "lesion", mm_per_px)
                where = inputs.add_many(np.zeros(weights.shape[1]), u_px(name, root), source)
                self._lines[root, name] = (line, weights, normal, where)
            else:
                u = u_px(name, root)
                self._points[root, name] = inputs.add_many(value, u, source)

    def at(self, sampling, scale, check=None):
        """The evidence on one sampling with its scale (a SampledScale).

        ``check`` is asked before each result is made; it raises what is to end the work.
        """
        return Sight(self, sampling, scale, check)

    def declared_hidden(self, part, root):
        return self._hidden[root, part]

    def cheek_mm(self, part, root):
        """Distance from the axis towards the cheek at which a place usually lies, mm."""
        return self._cheek_mm[root, part]

    def declared_point(self, name, root=None):
        return self._points.get((root, name))

    def declared_line(self, name, root):
        return self._lines.get((root, name))

    def places_of(self, names):
        """Indices of the inputs of points, by (root or None, name); lines move none."""
        where = (self._points[name] for name in names if name in self._points)
        return {i for span in where for i in (span.start, span.start + 1)}

    @cached_property
    def all_points(self):
        """Index of the inputs of every point, shape (P, 2)."""
        return np.array([[w.start, w.start + 1] for w in self._points.values()])

    @cached_property
    def _columns(self):
        return {key: i for i, key in enumerate(self._points)}

    def column(self, name, root):
        """Row of :attr:`all_points` of a point of this root or of the tooth, or None."""
        return self._columns.get((root, name), self._columns.get((None, name)))


class Sight:
    """Points, lines and root frames of one sampling; all arrays start with the batch axis K.

    Attributes
    ----------
    scale : SampledScale
    tooth : Tooth
    given : mapping
        Values entered.
    roots : tuple of str
    once : callable (name, make) -> object
        ``make()`` the first time ``name`` is asked for, the same object afterwards.
    file_lengths : mapping of root name to ndarray, shape (K,)
        Length of the file in the canal, mm, sharing its uncertainty with the scale.
    """

    file_lengths = MappingProxyType({})

    def __init__(self, evidence, sampling, scale, check=None):
        self._evidence = evidence
        self._sampling = sampling
        self._kept = Kept(check)
        self._once_per_batch = {}
        self._scale = scale
        self._landmarks = evidence.landmarks
        self.tooth, self.given = self._landmarks.tooth, self._landmarks.given
        self.roots = tuple(self._landmarks.roots)
        self.once = self._kept.once

    def take_over(self, before, changed):
        """Keep what ``before``, a Sight of the same film, made of nothing that is ``changed``.

        Parameters
        ----------
        before : Sight
            On a batch declared alike: same inputs in the same order.
        changed : set
            (root or None, name) of every place and line that differs; 'scale' where that does.
        """
        self._kept.take_over(before._kept, changed)

    @property
    def scale(self):
        self._kept.note("scale")
        return self._scale

    def has(self, name, root=None):
        """True when a point or line is placed."""
        return self._landmarks.get(name, root) is not None

    def placed(self, name, root=None):
        """A point or line as placed, px; None when it is not."""
        self._kept.note((root, name))
        return self._landmarks.get(name, root)

    @property
    def drawn(self):
        """True on random draws, False on the stencil."""
        return self._sampling.drawn

    def point(self, name, root=None):
        """Shape (K, 2) px, or None when not placed."""
        where = self._evidence.declared_point(name, root)
        self._kept.note((root, name))
        return None if where is None else self._sampling[where]

    def depth(self, name, root):
        """mm of a point of a root or the tooth along the root's axis, (K,); None if not placed.

        None too when the axis cannot be drawn. What the projection hides is not in it.
        """
        return self._of_points(name, root, "depths", lambda frame, points: frame.depth(points))

    def canal_xy(self, name, root):
        """(across, along) mm of a point with the scale of the canal, (K, 2); else as depth."""
        return self._of_points(name, root, "xy", lambda frame, points: frame.canal_xy(points))

    def _of_points(self, name, root, what, measure):
        column = self._evidence.column(name, root)
        frame = self.frame(root)
        if column is None or frame is None:
            return None
        self._kept.note((root, name))
        self._kept.note((None, name))
        # All points in one step: a step costs the same for one as for twenty. What is made of
        # one of them does not rest on the others.
        every = self._once_per_batch.get((what, root))
        if every is None:
            every = measure(frame, self._sampling[self._evidence.all_points])
            self._once_per_batch[what, root] = every
        return every[:, column]

    def line(self, name, root):
        """Shape (K, M, 2) px, or None when not placed."""
        declared = self._evidence.declared_line(name, root)
        self._kept.note((root, name))
        if declared is None:
            return None
        return _waved(declared, self._sampling[declared[3]])

    def nominal_line(self, name, root):
        """The line as placed, shape (1, M, 2) px, or None; for drawing."""
        declared = self._evidence.declared_line(name, root)
        self._kept.note((root, name))
        return None if declared is None else declared[0][None]

    def moving_line(self, name, root):
        """A line only on the rows on which it, or the root's frame, is not the nominal one.

        Returns
        -------
        xy : ndarray, shape (R, M, 2)
            (across, along) mm, the nominal row first.
        rows : ndarray, shape (K,)
            Which of the R rows stands for each row of the batch.
        """
        declared = self._evidence.declared_line(name, root)
        self._kept.note((root, name))
        waves, frame = self._sampling[declared[3]], self.frame(root)
        moves = frame.moves | (waves != waves[0]).any(axis=1)
        moves[0] = True
        kept = np.flatnonzero(moves)
        px = _waved(declared, waves[kept])
        return frame.canal_xy(px, kept), (np.cumsum(moves) - 1) * moves

    def hidden(self, part, root=None):
        """Shift (nominally 0) of what the projection hides, in the scale's unit, shape (K,).

        What lies b towards the cheek is shown b tan o too far coronal by a beam that comes
        from the apical side by o; o is one for the whole film.
        """
        evidence = self._evidence
        shift = self._sampling[evidence.declared_hidden(part, root)]
        cheek = evidence.cheek_mm(part, root)
        if cheek:
            shift = shift + cheek * self._sampling[evidence.beam.index]
        return shift if self._scale.calibrated else shift / evidence.mm_per_px

    def share(self, part, root):
        """A plain factor or share of what the film hides, shape (K,)."""
        return self._sampling[self._evidence.declared_hidden(part, root)]

    def frame(self, root):
        """Frame of a root, or None when its axis cannot be drawn."""
        return self.once(("frame", root), lambda: self._make_frame(root))

    def _make_frame(self, root):
        apex = self.point("apex", root)
        if apex is None:
            return None
        cej = [self.point(f"cej_{side}") for side in ("mesial", "distal")]
        if cej[0] is not None and cej[1] is not None:
            top, used = 0.5 * (cej[0] + cej[1]), "CEJ midpoint to apex"
        elif (reference := self.point("coronal_reference")) is not None:
            top, used = reference, "coronal reference to apex"
        elif (orifice := self.point("orifice", root)) is not None:
            top, used = orifice, "orifice to apex"
        else:
            return None
        if not (apex - top)[0].any():  # both on one pixel, by a slip of the hand
            return None
        scale = (*self.scale.roots[root], self.scale.across, self.scale.gradient)
        return Frame(top, apex, scale, used, self._mesial(root, apex - top))

    def _mesial(self, root, vector):
        """+1 or -1: on which side of the axis mesial lies, by what was placed and named so.

        The names hold however the file stores the picture, mirrored or turned; only
        where no side is named does the quadrant decide, for the usual view from the front.
        """
        left = np.array([-vector[0, 1], vector[0, 0]])
        for name in ("cej", "crest", "margin", "root_wall", "canal_wall"):
            of = root if name.endswith("wall") else None
            sides = [self.placed(f"{name}_{side}", of) for side in ("mesial", "distal")]
            if all(side is not None for side in sides):
                mesial, distal = (np.reshape(side, (-1, 2)).mean(axis=0) for side in sides)
                across = float((mesial - distal) @ left)
                if across:
                    return 1.0 if across > 0 else -1.0
        tooth = self.tooth
        return float(tooth.mesial_sign * -tooth.apical_sign)


class Frame:
    """Tooth frame of one root on a batch.

    Depth counts from the frame's coronal end (the CEJ midpoint where placed). The
    scale holds at that level; along, it differs above and below by the root's lean.
    It changes by ``gradient`` per mm towards the apex: once for what lies across,
    twice for what lies along (derivation in docs/method.md).

    Parameters
    ----------
    top, apex : ndarray, shape (K, 2)
        px.
    scale : tuple of ndarray, shape (K,)
        mm per px along above and below the coronal end, across, and the gradient per mm.
    axis_used : str
    mesial : float
        +1 or -1: on which side of the axis mesial lies.
    """

    def __init__(self, top, apex, scale, axis_used, mesial):
        vector = apex - top
        length = np.hypot(vector[:, 0], vector[:, 1])
        self.axis = vector / length[:, None]
        self.normal = self.axis[:, ::-1] * (-mesial, mesial)
        self.top, self.axis_used = top, axis_used
        self._scale = scale

    @cached_property
    def moves(self):
        """True for the rows on which the frame is not the nominal one, shape (K,)."""
        made_of = np.column_stack([self.top, self.axis, *self._scale])
        return (made_of != made_of[0]).any(axis=1)

    @property
    def from_nominal(self):
        """How each row's frame lies in the nominal one: turn (K, 2, 2) and shift (K, 2), mm.

        ``nominal xy = turn @ xy + shift``, but for the change of scale between them.
        """
        basis = np.stack([self.normal, self.axis], axis=1)
        _, along, across, _ = self._scale
        shift = (self.top - self.top[0]) @ basis[0].T * np.column_stack([across, along])
        return basis[0] @ basis.transpose(0, 2, 1), shift

    def _px(self, p, rows=_ALL):
        """(along, across) px of places (K, 2) or (K, M, 2), and the scale's arrays to match."""
        at = rows if p.ndim == 2 else (rows, None)
        top, axis, normal = self.top[at], self.axis[at], self.normal[at]
        scale = tuple(s[at] for s in self._scale)
        x, y = p[..., 0] - top[..., 0], p[..., 1] - top[..., 1]
        along, across = x * axis[..., 0], x * normal[..., 0]
        along += y * axis[..., 1]
        across += np.multiply(y, normal[..., 1], out=y)
        return along, across, scale

    def depth(self, p):
        """mm along the axis from its coronal end, apical positive; shape (K,) or (K, M)."""
        along, _, (coronal, apical, _, gradient) = self._px(p)
        y = along * np.where(along > 0, apical, coronal)
        return y * (1 - gradient * y)

    def canal_xy(self, p, rows=_ALL):
        """(across, along) in mm with the scale of the canal, shape (..., 2).

        ``rows`` says to which rows of the batch those of ``p`` belong.
        """
        along, across, (_, apical, wide, gradient) = self._px(p, rows)
        along *= apical
        across *= wide
        less = 1 - gradient * along
        xy = np.empty((*along.shape, 2))
        np.multiply(across, less, out=xy[..., 0])
        np.multiply(along, less, out=xy[..., 1])
        return xy
