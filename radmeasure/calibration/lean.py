"""Roots that lean towards cheek or tongue, which the film does not show.

A root of length L leaning by phi has the height h = L cos(phi), and under a beam off
the square by o the film shows h (1 + tan(phi) tan(o)) on the scale of the crown. Two
inputs per root, both nominally 1: its *slant* L / h and its *stretch*. A slant is never
below 1: of leans that are normal about none, the root mean square of L / h - 1 is
sqrt(3) (1 / cos(phi) - 1). A file in the canal measures L itself, so for the part of it
that lies in the root both cancel. Derivation in docs/method.md.
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
            self._slant[root] = inputs.add(1.0, np.sqrt(3) * (1 / np.cos(lean) - 1), words)
            self._stretch[root] = inputs.add(1.0, seen, f"{words}, seen obliquely")

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
        slant, stretch = sampling[self._slant[root]], sampling[self._stretch[root]]
        return scale * (1 + share * (stretch - 1)) / (1 + share * (slant - 1))

    def along(self, height, sampling):
        """{root: (coronal, apical)} mm per px along each root, each (K,)."""
        slanted = {root: height * sampling[where] for root, where in self._slant.items()}
        return {root: (s, s / sampling[self._stretch[root]]) for root, s in slanted.items()}
