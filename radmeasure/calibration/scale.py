"""Known object + its points on the film -> mm per px along and across the tooth.

One film, one plane, one exposure: a scale is made from the film's own references
and never travels. A reference lying in the canal calibrates lengths *along* the
tooth, foreshortening included; a sphere, a wire across or the receptor's pitch
over the magnification calibrates *across*. Their ratio is the foreshortening
factor f (below 1 foreshortened, above 1 elongated). With one kind only, f is
unknown and enters as uncertainty by technique.

A tooth that leans against the receptor (bisecting technique) is magnified more
the further a level lies from the receptor: by g per mm across and 2 g per mm
along, g = sin(lean) / source distance. A file speaks for the level of its own
middle; a sphere, wire or pitch, whose depth is not the tooth's, for the tooth's
middle. All are carried to the level of the CEJ midpoint.

A file speaks for its own root; what it says of the crown and other roots depends on
how they lean (calibration/lean.py). The derivations stand in docs/method.md.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from radmeasure.calibration.combine import combine
from radmeasure.geometry.circle import ellipse_width, fit_circle
from radmeasure.model.landmarks import KnownLength, Sphere

_SOLVE_STEPS = 4


@dataclass(frozen=True)
class SampledScale:
    """Result of :meth:`ScaleModel.solve`: arrays of shape (K,), and what to say.

    Attributes
    ----------
    along, across : ndarray, shape (K,)
        mm per px along the tooth's height and across it, at the level of the CEJ midpoint.
    roots : mapping of root name to (coronal, apical)
        mm per px along that root, above and below the CEJ midpoint, each (K,).
    gradient : ndarray, shape (K,)
        Relative change of magnification per mm towards the apex.
    foreshortening : ndarray, shape (K,), or None when not measured
    calibrated : bool
        False: lengths are in arbitrary units, only ratios and angles count.
    notes : tuple of str
    """

    along: np.ndarray
    roots: dict
    across: np.ndarray
    gradient: np.ndarray
    foreshortening: np.ndarray | None
    calibrated: bool
    notes: tuple

    def equals(self, other):
        """True when every array is the same to the last bit."""
        mine, others = (
            (s.along, s.across, s.gradient, *(a for pair in s.roots.values() for a in pair))
            for s in (self, other)
        )
        return self.roots.keys() == other.roots.keys() and all(map(np.array_equal, mine, others))

    def at(self, depth_mm, root):
        """(along, across) mm per px of a root at a depth below the CEJ midpoint, arrays (K,)."""
        y = self.gradient * depth_mm
        return self.roots[root][1] * (1 - 2 * y), self.across * (1 - y)


@lru_cache(maxsize=16)  # a rim rests while other marks are dragged
def _circle_px(rim):
    """Diameter of the circle through a rim."""
    return 2 * float(fit_circle(np.array([rim], dtype=float))[1][0])


class ScaleModel:
    """Declares the inputs of a film's references, then solves the scale on a sampling.

    ``technique`` is 'paralleled', 'bisected' or 'unknown'.

    Parameters
    ----------
    entries : tuple of KnownLength, Sphere, Detector
    top, axis : ndarray, shape (2,)
        Level of the CEJ midpoint (px) and unit vector of the tooth's axis, coronal to apical.
    middle_px : float
        Level of the tooth's middle, px below ``top``.
    value : callable (rulebook id) -> number
        Default uncertainties.
    leans : RootLeans
    root_of : callable (KnownLength) -> str or None
        The root a file lies in.
    mm_per_px : float
        Rough scale, to express placement uncertainties in px.
    inputs : Inputs
    """

    def __init__(
        self,
        entries,
        top,
        axis,
        middle_px,
        value,
        technique,
        leans,
        root_of,
        mm_per_px,
        inputs,
    ):
        self._top, self._axis, self._middle = top, axis, middle_px
        self._value = value
        self._mm_per_px = mm_per_px
        self._inputs = inputs
        self._along, self._across, self._notes = [], [], []
        self._root_of = root_of
        self._leans = leans
        for i, entry in enumerate(entries):
            self._declare(entry, i + 1)
        self.technique = technique
        self._g = inputs.add(
            value(f"scale.gradient_{technique}"),
            value(f"scale.u_gradient_{technique}"),
            "change of magnification along the tooth",
        )
        u_f = value(f"scale.foreshortening_unknown_{technique}")
        self._f = inputs.add(1.0, u_f, "unknown foreshortening")

    def file_lengths(self, sampling):
        """Length (mm, (K,)) of the file in each root that has one as reference."""
        return {reference[7]: sampling[reference[3]] for reference in reversed(self._along)}

    # -- declaring ---------------------------------------------------------
    def _declare(self, entry, number):
        if isinstance(entry, KnownLength):
            self._declare_length(entry, number)
        elif isinstance(entry, Sphere):
            self._declare_sphere(entry, number)
        else:
            self._declare_detector(entry, number)

    def _depth_input(self, what):
        u = self._value("scale.reference_depth")
        return self._inputs.add(1.0, u, f"depth of {what} against the tooth")

    def _declare_length(self, entry, number):
        add, many = self._inputs.add, self._inputs.add_many
        what = {"tooth": "file", "across": "wire"}.get(entry.along, "reference")
        name = f"{what} of {entry.length_mm:g} mm"
        length = add(entry.length_mm, entry.u_mm, f"length of the {name}")
        u = self._value("placement.reference_end") / self._mm_per_px
        ends = many([*entry.points[0], *entry.points[-1]], u, f"ends of the {name}")
        middle = np.array(entry.points[1:-1], dtype=float).reshape(-1, 2)
        reference = ("length", number, name, length, ends, middle)
        # Square to the tooth, nothing of it lies along: it can only tell of the scale across.
        runs_along = np.any(np.diff(np.array(entry.points, dtype=float), axis=0) @ self._axis)
        if entry.along == "tooth" and runs_along:
            level, share = self._level(entry.points)
            self._along.append((*reference, level, self._root_of(entry), share))
        else:
            self._across.append((*reference, self._depth_input(f"the {name}")))

    def _declare_sphere(self, entry, number):
        name = f"sphere of {entry.diameter_mm:g} mm"
        diameter = self._inputs.add(entry.diameter_mm, entry.u_mm, f"diameter of the {name}")
        u = self._value("placement.sphere_diameter") / self._mm_per_px
        seen = self._inputs.add(0.0, u, f"rim of the {name}")
        across = ("sphere", number, name, diameter, seen, self._width(entry.points))
        self._across.append((*across, self._depth_input(f"the {name}")))

    def _width(self, rim):
        """Diameter of a sphere's image across the tooth, px: on an oblique film it is oval."""
        normal = np.array([self._axis[1], -self._axis[0]])
        circle, oval = _circle_px(rim), ellipse_width(rim, normal)
        # No film worth measuring makes a sphere more oval than this; then the rim is poor.
        return oval if oval is not None and abs(oval / circle - 1) < 0.1 else circle

    def _declare_detector(self, entry, number):
        m = entry.magnification or self._value("scale.magnification")
        u_m = entry.u_magnification
        if u_m is None:
            u_m = self._value("scale.u_magnification")
        if entry.magnification is None:
            self._notes.append(
                f"magnification not known: {m:g} ± {u_m:g} assumed (common practice)"
            )
        where = self._inputs.add(m, u_m, "magnification")
        self._across.append(("detector", number, "receptor pitch", where, entry.mm_per_px))

    # -- solving -----------------------------------------------------------
    def solve(self, sampling):
        """Scale on a sampling; uncalibrated (scale 1, f by technique) without references."""
        f, gradient = sampling[self._f], sampling[self._g]
        notes = list(self._notes)
        measured = None
        if self._along and self._across:
            along, across, notes_of_fit = self._two_axes(sampling)
            notes.extend(notes_of_fit)
            measured = across / along
        elif self._along:
            along = self._combined(self._along, self._along_scale, sampling, f, notes)
            across = along * f / self._along_over_across(gradient)
            notes.append(self._one_kind_words("along"))
        elif self._across:
            across = self._combined(self._across, self._across_scale, sampling, f, notes)
            along = across / f * self._along_over_across(gradient)
            notes.append(self._one_kind_words("across"))
        else:
            # Without a scale the gradient per mm means nothing; one pixel counts as one unit.
            across, along, gradient = np.ones(len(f)), 1 / f, gradient * self._mm_per_px
        return SampledScale(
            along,
            self._leans.along(along, sampling),
            across,
            gradient,
            measured,
            bool(self._along or self._across),
            tuple(notes),
        )

    def _two_axes(self, sampling):
        """Along and across solved together: each depends a little on their ratio."""
        f = np.ones(len(sampling))
        for _ in range(_SOLVE_STEPS):
            notes = []
            across = self._combined(self._across, self._across_scale, sampling, f, notes)
            along = self._combined(self._along, self._along_scale, sampling, f, notes, across)
            f = across / along
        return along, across, notes

    def _combined(self, references, scale_of, sampling, f, notes, *more):
        scales = [(r[1], r[2], scale_of(r, sampling, f, *more)) for r in references]
        value, remark = combine(scales, sampling)
        if remark:
            notes.append(remark)
        return value

    def _along_over_across(self, gradient):
        """Ratio of the scales at the CEJ's level when they are equal at the tooth's middle."""
        y = gradient * self._middle * self._mm_per_px
        return (1 - y) / (1 - 2 * y)

    def _at_cej(self, scale, level_px, times, sampling):
        """Carry a scale seen at a level (px below the CEJ midpoint) to the CEJ's level."""
        return scale / (1 - times * sampling[self._g] * level_px * self._mm_per_px)

    def _level(self, points):
        """Level of a line's middle, px below the CEJ midpoint, and its share below that."""
        levels = (np.asarray(points, dtype=float) - self._top) @ self._axis
        height = abs(levels[-1] - levels[0]) or 1.0
        return float(levels.mean()), float(np.clip(levels.max() / height, 0.0, 1.0))

    def _parts_px(self, reference, sampling):
        """(along, across) px of the reference's segments, each (K, M - 1)."""
        ends, middle = sampling[reference[4]], reference[5]
        k = len(ends)
        line = np.concatenate(
            [ends[:, None, :2], np.broadcast_to(middle, (k, *middle.shape)), ends[:, None, 2:]],
            axis=1,
        )
        d = line[:, 1:] - line[:, :-1]
        normal = np.array([self._axis[1], -self._axis[0]])
        return d @ self._axis, d @ normal

    def _across_scale(self, reference, sampling, f):
        kind = reference[0]
        if kind == "detector":
            scale = reference[4] / sampling[reference[3]]
            return self._at_cej(scale, self._middle, 1, sampling)
        depth = sampling[reference[6]]
        if kind == "sphere":
            scale = sampling[reference[3]] / (reference[5] + sampling[reference[4]])
        else:
            a, c = self._parts_px(reference, sampling)
            scale = sampling[reference[3]] / np.hypot(a / f[:, None], c).sum(axis=1)
        return self._at_cej(scale * depth, self._middle, 1, sampling)

    def _along_scale(self, reference, sampling, f, across=None):
        a, c = self._parts_px(reference, sampling)
        length = sampling[reference[3]]
        if across is None:
            scale = length / np.hypot(a, c * f[:, None]).sum(axis=1)
        else:
            scale = self._newton(a, np.square(c * across[:, None]), length)
        height = self._leans.height(scale, *reference[7:], sampling)
        return self._at_cej(height, reference[6], 2, sampling)

    @staticmethod
    def _newton(a, c2, length):
        """s with sum(hypot(a s, c)) = length, by Newton's method on each row."""
        s = length / np.abs(a).sum(axis=1)
        for _ in range(_SOLVE_STEPS):
            h = np.sqrt(np.square(a * s[:, None]) + c2)
            s = s - (h.sum(axis=1) - length) / (a * a * s[:, None] / h).sum(axis=1)
        return s

    def _one_kind_words(self, known):
        u = 100 * self._value(f"scale.foreshortening_unknown_{self.technique}")
        film = {"unknown": "a film of unknown technique"}.get(
            self.technique, f"a {self.technique} film"
        )
        other = "across" if known == "along" else "along"
        return (
            f"the scale is known {known} the tooth only; {other} the tooth it is taken as equal, "
            f"± {1.96 * u:.0f} % for {film}"
        )
