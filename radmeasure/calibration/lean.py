"""Roots that lean towards cheek or tongue, which the film does not show.

A root of length L leaning by phi has the height h = L cos(phi), and under a beam off
the square by o the film shows h (1 + tan(phi) tan(o)) on the scale of the crown. Two
inputs per root, both nominally 1: its *slant* L / h and its *stretch*. A file in the
canal measures L itself, so in its own root both cancel. Derivation in docs/method.md.
"""

import numpy as np


class RootLeans:
    """Declares slant and stretch of every root, then carries scales between root and height.

    Parameters
    ----------
    leans_deg : mapping of root name to float
        Usual lean of each root towards cheek or tongue, degrees.
    obliquity_deg : float
        Usual angle between the beam and the square to the tooth, seen from the side.
    inputs : Inputs
    """

    def __init__(self, leans_deg, obliquity_deg, inputs):
        self._slant, self._stretch = {}, {}
        for root, lean_deg in leans_deg.items():
            lean = np.radians(lean_deg)
            words = f"lean of the {root} root towards cheek or tongue".replace("single ", "")
            seen = np.tan(lean) * np.tan(np.radians(obliquity_deg))
            self._slant[root] = inputs.add(1.0, 1 / np.cos(lean) - 1, words)
            self._stretch[root] = inputs.add(1.0, seen, f"{words}, seen obliquely")

    def height(self, scale, root, sampling):
        """mm of height per px from mm along a root per px; unchanged where ``root`` is None."""
        if root is None:
            return scale
        return scale * sampling[self._stretch[root]] / sampling[self._slant[root]]

    def along(self, height, sampling):
        """{root: (coronal, apical)} mm per px along each root, each (K,)."""
        slanted = {root: height * sampling[where] for root, where in self._slant.items()}
        return {root: (s, s / sampling[self._stretch[root]]) for root, s in slanted.items()}
