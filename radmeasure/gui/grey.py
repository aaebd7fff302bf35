"""From stored grey values to what the screen shows: window, gamma, inversion."""

from dataclasses import dataclass, replace

import numpy as np

GAMMA_RANGE = (0.3, 3.0)


@dataclass(frozen=True, eq=False)
class Grey:
    """How grey values are drawn.

    Attributes
    ----------
    bits : int
        Depth of the film.
    table : ndarray (2**bits,) uint8
        The film's own table, used until a window is chosen.
    window : (low, high) or None
        Grey values drawn black and white; None for the film's own table.
    gamma : float
        Above 1 darkens the middle tones.
    inverted : bool
    """

    bits: int
    table: np.ndarray
    window: tuple | None = None
    gamma: float = 1.0
    inverted: bool = False

    @property
    def bounds(self):
        """(low, high): the window, or what comes nearest to the film's own table."""
        if self.window:
            return self.window
        table = self.table.astype(int)
        rising = table[-1] >= table[0]
        black, white = (table.min(), table.max())
        low = float(np.argmax(table > black) if rising else np.argmax(table < white))
        high = float(len(table) - 1 - np.argmax(table[::-1] != (white if rising else black)))
        return (low, max(high, low + 1.0))

    def shifted(self, brighter, wider):
        """Window moved by ``brighter`` and stretched by the factor ``wider``."""
        low, high = self.bounds
        centre = 0.5 * (low + high) - brighter
        half = max(0.5 * (high - low) * wider, 0.5)
        top = float(2**self.bits)
        centre = min(max(centre, -0.5 * top), 1.5 * top)
        half = min(half, 2 * top)
        return replace(self, window=(centre - half, centre + half))

    def with_gamma(self, factor):
        low, high = GAMMA_RANGE
        return replace(self, gamma=min(max(self.gamma * factor, low), high))

    def fitted(self, pixels):
        """Window from the darkest to the brightest half per cent of ``pixels``."""
        low, high = np.percentile(pixels, (0.5, 99.5))
        return replace(self, window=(float(low), float(max(high, low + 1))))

    def levels(self):
        """Grey level 0-255 of every stored value, uint8."""
        if self.window is None and self.gamma == 1.0 and not self.inverted:
            return self.table
        if self.window is None:
            t = self.table.astype(np.float32) / 255
        else:
            low, high = self.window
            values = np.arange(2**self.bits, dtype=np.float32)
            t = np.clip((values - low) / (high - low), 0, 1)
        if self.gamma != 1.0:
            t = t**self.gamma
        if self.inverted:
            t = 1 - t
        return (t * 255 + 0.5).astype(np.uint8)

    def rgb(self):
        """The same as 0xffRRGGBB, uint32."""
        return self.levels().astype(np.uint32) * 0x010101 | 0xFF000000
