"""The one bridge between a film's own pixels and the way it is shown.

Film frame: x right, y down, (0, 0) the centre of the top-left pixel, as stored.
Shown frame: the film after its quarter turns and mirroring; Qt draws pixel
(0, 0) over [0, 1) x [0, 1), so its centre is (0.5, 0.5) there.
"""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Turned:
    """How a film of ``width`` x ``height`` px is turned on the screen.

    Parameters
    ----------
    width, height : int
        Of the film as stored.
    turns : int
        Quarter turns clockwise.
    mirrored : bool
        Left to right, after turning.

    Examples
    --------
    >>> Turned(100, 50, turns=1).to_shown((0, 0))
    (49.5, 0.5)
    """

    width: int
    height: int
    turns: int = 0
    mirrored: bool = False

    @property
    def size(self):
        """(width, height) as shown."""
        return (self.width, self.height) if self.turns % 2 == 0 else (self.height, self.width)

    def to_shown(self, xy):
        x, y = xy[0] + 0.5, xy[1] + 0.5
        w, h = self.width, self.height
        for _ in range(self.turns % 4):
            x, y, w, h = h - y, x, h, w
        return (w - x, y) if self.mirrored else (x, y)

    def to_film(self, xy):
        x, y = xy
        w, h = self.size
        if self.mirrored:
            x = w - x
        for _ in range(self.turns % 4):
            x, y, w, h = y, w - x, h, w
        return (x - 0.5, y - 0.5)

    def direction_to_film(self, dx, dy):
        """A step on the screen as a step in film pixels."""
        a, b = self.to_film((0.0, 0.0)), self.to_film((dx, dy))
        return (b[0] - a[0], b[1] - a[1])

    def view(self, pixels):
        """``pixels`` (H, W) as shown, nothing copied."""
        turned = np.rot90(pixels, -self.turns % 4)
        return turned[:, ::-1] if self.mirrored else turned

    def array(self, pixels):
        """``pixels`` (H, W) as shown, contiguous."""
        return np.ascontiguousarray(self.view(pixels))

    # The shown film taken as a film itself: pixel centres at whole numbers.
    def to_shown_pixels(self, xy):
        x, y = self.to_shown(xy)
        return (x - 0.5, y - 0.5)

    def from_shown_pixels(self, xy):
        return self.to_film((xy[0] + 0.5, xy[1] + 0.5))
