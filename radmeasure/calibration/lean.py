"""Roots that lean towards cheek or tongue, which the film does not show.

A root of length L leaning by phi has the height h = L cos(phi), and under a beam off
the square by o the film shows h (1 + tan(phi) tan(o)) on the scale of the crown. Two
factors per root: its *slant* L / h and its *stretch*. A usual lean is known for some roots
(a palatal root leans towards the palate): its slant is a nominal value, and its stretch
follows the film's one obliquity. What a lean differs from the usual by is an input of its
own. A file in the canal measures L itself, so for the part of it that lies in the root both
cancel. Derivation in docs/method.md.
"""

import numpy as np


class RootLeans:
    """Declares slant and stretch of every root, then carries scales between root and height.

    Parameters
    ----------
    leans_deg : mapping of root name to (float, float)
        Usual lean of each root, towards the tongue positive, and how far a lean usually
        differs from that; degrees.
    beam : Beam
        The obliquity of the beam, an input shared with all that a projection hides.
    inputs : Inputs
    """

    def __init__(self, leans_deg, beam, inputs):
        self._slant, self._stretch, self._beam = {}, {}, beam
        for root, of_root in leans_deg.items():
            lean, differs = np.radians(of_root)
            words = f"lean of the {root} root towards cheek or tongue".replace("single ", "")
            slant = 1 / np.cos(lean)
            # First and second order of the slant in a normal difference.
            u = np.hypot(slant * np.tan(lean) * differs, np.sqrt(0.75) * differs**2)
            self._slant[root] = inputs.add(slant, u, words)
            own = inputs.add(1.0, np.tan(differs) * beam.usual, f"{words}, seen obliquely")
            self._stretch[root] = own, np.tan(lean)

    def _stretched(self, root, sampling):
        own, seen = self._stretch[root]
        if not seen:
            return sampling[own]
        return sampling[own] + seen * sampling[self._beam.index]

    def height(self, scale, root, share, sampling):
        """mm of height per px of crown, from mm per px along a file.

        Parameters
        ----------
        scale : ndarray, shape (K,)
        root : str or None
            The root the file lies in; None leaves the scale unchanged.
        share : float
            How much of the file's height lies in the root, 0 to 1.
        """
        if root is None:
            return scale
        slant, stretch = sampling[self._slant[root]], self._stretched(root, sampling)
        return scale * (1 + share * (stretch - 1)) / (1 + share * (slant - 1))

    def along(self, height, sampling):
        """{root: (coronal, apical)} mm per px along each root, each (K,)."""
        slanted = {root: height * sampling[where] for root, where in self._slant.items()}
        return {root: (s, s / self._stretched(root, sampling)) for root, s in slanted.items()}
