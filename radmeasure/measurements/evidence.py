"""Everything placed on one film, as sampled inputs, in each root's own frame.

Tooth frame of a root: ``depth`` runs along its axis from coronal to apical,
``across`` is perpendicular to it with mesial positive. The axis runs from the
midpoint of the two CEJ points to the apex (Brezniak et al., Angle Orthod
2004;74:786-791: the CEJ midpoint is the most dependable reference); without CEJ
points from the coronal reference, then from the orifice, to the apex.
"""

import numpy as np

from radmeasure.geometry.polyline import cumulative, normals, thin
from radmeasure.model.landmarks import ROOT_LINES

# More vertices than this add nothing to a smooth line's length (15 mm at 32 points:
# chord error below 3e-4 for a 6 mm radius).
MOST_VERTICES = 32
# A person drawing a line errs in waves of about this length.
WAVE_MM = 3.0


class Evidence:
    """Declares all placed points and lines as inputs, then reads them from a sampling.

    Parameters
    ----------
    landmarks : Landmarks
    u_px : callable (name, root) -> float
        Standard uncertainty of placement along each axis, px.
    mm_per_px : float
        Rough scale, only used to space the waves of a drawn line.
    hidden_mm : mapping of str to float
        Standard uncertainty of what the projection hides: 'reference' (a cusp or edge
        before or behind the axis is shifted along it by a vertical beam angle),
        'level' (the same for CEJ, crest and margin),
        'canal' and 'apical' (length out of the film's plane).
    inputs : Inputs
    """

    def __init__(self, landmarks, u_px, mm_per_px, hidden_mm, inputs):
        self.landmarks, self.mm_per_px = landmarks, mm_per_px
        self._hidden = {
            (None, "reference"): inputs.add(
                0.0, hidden_mm["reference"], "coronal reference off the film's plane"
            )
        }
        for side in ("mesial", "distal"):
            for level in ("cej", "crest", "margin"):
                words = level.replace("cej", "CEJ")
                self._hidden[side, level] = inputs.add(
                    0.0, hidden_mm["level"], f"{side} {words} off the film's plane"
                )
        for root in landmarks.roots:
            for part in ("canal", "apical"):
                u = hidden_mm[part]
                self._hidden[root, part] = inputs.add(0.0, u, "canal off the film's plane")
        self._points, self._lines = {}, {}
        many = len(landmarks.roots) > 1
        for root, name, value in landmarks.placed():
            words = name.replace("_", " ") + (f" ({root})" if root and many else "")
            source = f"placement of {words}"
            if name in ROOT_LINES:
                self._lines[root, name] = self._declare_line(
                    value, name == "lesion", u_px(name, root), mm_per_px, inputs, source
                )
            else:
                u = u_px(name, root)
                self._points[root, name] = inputs.add_many(value, u, source)

    @staticmethod
    def _declare_line(value, closed, u, mm_per_px, inputs, source):
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
        weights = np.clip(1 - gap / spacing, 0, None)
        where = inputs.add_many(np.zeros(count), u, source)
        return line, weights, normals(line, closed), where

    def at(self, sampling, scale):
        """The evidence on one sampling with its scale (a SampledScale)."""
        return Sight(self, sampling, scale)

    def declared_hidden(self, part, root):
        return self._hidden[root, part]

    def declared_point(self, name, root=None):
        return self._points.get((root, name))

    def declared_line(self, name, root):
        return self._lines.get((root, name))


class Sight:
    """Points, lines and root frames of one sampling; all arrays start with the batch axis K.

    Attributes
    ----------
    scale : SampledScale
    file_length : ndarray, shape (K,), or None
        Length of the file in the canal, mm, sharing its uncertainty with the scale.
    """

    file_length = None

    def __init__(self, evidence, sampling, scale):
        self._evidence = evidence
        self._sampling = sampling
        self._made = {}
        self.scale = scale
        self.landmarks = evidence.landmarks

    @property
    def roots(self):
        return tuple(self.landmarks.roots)

    def point(self, name, root=None):
        """Shape (K, 2) px, or None when not placed."""
        where = self._evidence.declared_point(name, root)
        return None if where is None else self._sampling[where]

    def line(self, name, root):
        """Shape (K, M, 2) px, or None when not placed."""
        declared = self._evidence.declared_line(name, root)
        if declared is None:
            return None
        line, weights, normal, where = declared
        offset = self._sampling[where] @ weights.T
        return line + offset[..., None] * normal

    def hidden(self, part, root=None):
        """Shift (nominally 0) of what the projection hides, in the scale's unit, shape (K,)."""
        shift = self._sampling[self._evidence.declared_hidden(part, root)]
        return shift if self.scale.calibrated else shift / self._evidence.mm_per_px

    def once(self, what, make):
        """``make()`` the first time ``what`` is asked for, the same object afterwards."""
        if what not in self._made:
            self._made[what] = make()
        return self._made[what]

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
        return Frame(top, apex, self.scale, used, self._mesial(root, apex - top))

    def _mesial(self, root, vector):
        """+1 or -1: on which side of the axis mesial lies, by what was placed and named so.

        The names hold however the file stores the picture, mirrored or turned; only
        where no side is named does the quadrant decide, for the usual view from the front.
        """
        left = np.array([-vector[0, 1], vector[0, 0]])
        for name in ("cej", "crest", "margin", "root_wall", "canal_wall"):
            of = root if name.endswith("wall") else None
            sides = [self.landmarks.get(f"{name}_{side}", of) for side in ("mesial", "distal")]
            if all(side is not None for side in sides):
                mesial, distal = (np.reshape(side, (-1, 2)).mean(axis=0) for side in sides)
                across = float((mesial - distal) @ left)
                if across:
                    return 1.0 if across > 0 else -1.0
        tooth = self.landmarks.tooth
        return float(tooth.mesial_sign * -tooth.apical_sign)


class Frame:
    """Tooth frame of one root on a batch.

    Depth counts from the frame's coronal end (the CEJ midpoint where placed). The
    scale holds at that level and changes by ``scale.gradient`` per mm towards the
    apex: once for what lies across, twice for what lies along (derivation in
    docs/method.md).
    """

    def __init__(self, top, apex, scale, axis_used, mesial):
        vector = apex - top
        length = np.hypot(vector[:, 0], vector[:, 1])
        self.axis = vector / length[:, None]
        n = np.stack([-self.axis[:, 1], self.axis[:, 0]], axis=-1)
        self.normal = n * mesial
        self.top, self.scale, self.axis_used = top, scale, axis_used

    def _px(self, p):
        """(along, across) px and the scale's arrays shaped to match."""
        if p.ndim == 2:
            d, grow = p - self.top, slice(None)
            return (d * self.axis).sum(-1), (d * self.normal).sum(-1), grow
        d, grow = p - self.top[:, None], (slice(None), None)
        return (d @ self.axis[..., None])[..., 0], (d @ self.normal[..., None])[..., 0], grow

    def depth(self, p):
        """mm along the axis from its coronal end, apical positive; shape (K,) or (K, M)."""
        along, _, grow = self._px(p)
        y = along * self.scale.along_axis[grow]
        return y - self.scale.gradient[grow] * y * y

    def across(self, p):
        """mm from the axis, mesial positive; shape (K,) or (K, M)."""
        return self.canal_xy(p)[..., 0]

    def canal_xy(self, p):
        """(across, along) in mm with the scale of the canal, shape (..., 2)."""
        along, across, grow = self._px(p)
        gradient = self.scale.gradient[grow]
        y = along * self.scale.along[grow]
        c = across * self.scale.across[grow] * (1 - gradient * y)
        return np.stack([c, y - gradient * y * y], axis=-1)
