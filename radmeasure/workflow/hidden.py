"""What a projection hides of a tooth, by the rulebook: how far places lie off its axis.

One beam shows a whole film, so one input, its obliquity, moves all that usually lies on a
known side: places by their distance from the axis, roots by their lean. What a place or root
differs from the usual by is an input of its own. Derivation in docs/method.md.
"""

from dataclasses import dataclass

import numpy as np

_TOWARDS_CHEEK = ("buccal", "mesiobuccal", "distobuccal")
_TOWARDS_TONGUE = ("palatal", "lingual")
# A radiolucency is taken as 1.6 times as deep as it is high (bone is deeper than a tooth).
_DEEP = 1.6


@dataclass(frozen=True)
class Beam:
    """How obliquely a film was made, seen from the side.

    Attributes
    ----------
    index : int
        The input: tangent of the angle between the beam and the square to the tooth, positive
        when the beam comes from the apical side. Nominally 0.
    usual : float
        Its standard uncertainty.
    one_sided : bool
        True when it always comes from the apical side, as square to the bisector it must.
    """

    index: int
    usual: float
    one_sided: bool

    @property
    def square(self):
        """Root mean square of the tangent's square: from the normal law's fourth moment.

        sqrt(3) times ``usual`` squared about none, 1.3 times about a mean of 2.2 standard
        deviations, such as 18 ± 8 degrees (derived).
        """
        return (1.3 if self.one_sided else np.sqrt(3)) * self.usual**2


def beam_of(technique, value, inputs):
    """The :class:`Beam` of a technique, declared as input."""
    usual = float(np.tan(np.radians(value(f"hidden.obliquity_{technique}"))))
    index = inputs.add(0.0, usual, "obliquity of the beam")
    return Beam(index, usual, technique == "bisected")


def leans_of(landmarks, value):
    """{root: (usual lean towards the tongue, how far leans differ from that)}, degrees."""
    many = value("hidden.lean_many_roots")
    molar = landmarks.tooth.kind == "molar"
    tongue = value(f"hidden.lean_{'palatal' if molar else 'cheek'}")
    leans = {}
    for root in landmarks.roots:
        if root in _TOWARDS_CHEEK:
            leans[root] = (-value("hidden.lean_cheek"), many)
        elif root in _TOWARDS_TONGUE:
            leans[root] = (tongue, many)
        else:
            leans[root] = (0.0, value("hidden.lean_single") if root == "single" else many)
    return leans


def hidden_of(landmarks, value, beam):
    """What :class:`radmeasure.measurements.evidence.Evidence` is told."""
    kind = landmarks.tooth.kind
    part = kind if kind in ("premolar", "molar") else "anterior"
    roots = "many_roots" if len(landmarks.tooth.usual_roots) > 1 else "single_root"
    differs = value("hidden.spread") * beam.usual

    def to_cheek(mm, u):
        """What stands out to the cheek on a one-sided film, else to either side."""
        return (mm, u) if beam.one_sided else (0.0, float(np.hypot(mm * beam.usual, u)))

    def either(offset):
        return 0.0, value(f"hidden.offset_{offset}") * beam.usual

    def aside(root):
        return either(f"root_{'single' if root == 'single' else 'many_roots'}")

    # Edge and ridge run from cheek to tongue, and what stands out farthest shows.
    offset = value(f"hidden.offset_reference_{part}")
    reference = to_cheek(offset, differs) if part == "anterior" else (offset, differs)
    # A ridge of radius R is touched R sin o off its top and shown R (1 / cos o - 1) too high.
    ridge = 0.5 * value(f"hidden.ridge_{part}") * beam.square
    # Of its height h a radiolucency shows h sqrt(1 + 1.6^2 tan^2 o), never less than h.
    lesion = np.hypot(1.0, _DEEP * beam.usual) - 1
    return {
        "reference": reference,
        "cej": either(f"cej_{part}"),
        "crest": to_cheek(ridge / beam.usual, differs),
        "side": {
            "cej": either("level"),
            "crest": either("level_crest"),
            "margin": either("level"),
        },
        "root": {root: aside(root) for root in landmarks.roots},
        "canal": value(f"hidden.canal_{roots}"),
        "apical": value(f"hidden.apical_{roots}"),
        "lesion": float(lesion if beam.one_sided else np.sqrt(3) * lesion),
    }
