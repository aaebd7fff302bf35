"""The film as pixels on the screen: pyramid, grey table on the visible tile, cached.

Only what is visible is drawn through the table, at the coarsest level that
still has a level pixel for each screen pixel. Measurements never look here:
they use the film's own pixels.
"""

import math

import numpy as np
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter

SMALLEST = 512
MARGIN = 128
STRIP = 64
_SPARE = 8  # times the room needed that is kept


def half(a):
    """2 x 2 means, rounded half up; an odd edge is repeated."""
    if a.shape[0] & 1 or a.shape[1] & 1:
        a = np.pad(a, ((0, a.shape[0] & 1), (0, a.shape[1] & 1)), mode="edge")
    out = np.empty((a.shape[0] // 2, a.shape[1] // 2), a.dtype)
    for top in range(0, len(out), STRIP):  # sums of a strip stay in the cache
        four = a[2 * top : 2 * (top + STRIP)]
        total = four[0::2, 0::2].astype(np.uint32)
        total += four[1::2, 0::2]
        total += four[0::2, 1::2]
        total += four[1::2, 1::2]
        total += 2
        total >>= 2
        out[top : top + STRIP] = total
    return out


def pyramid(pixels):
    """Levels of ``pixels``; pixel (i, j) of level k covers [j 2^k, (j+1) 2^k) of level 0."""
    levels = [np.ascontiguousarray(pixels)]
    while min(levels[-1].shape) > SMALLEST:
        levels.append(half(levels[-1]))
    return levels


def coloured(rgb, values, out):
    """Write the colours of ``values`` to ``out``: in strips, whose indices stay in the cache."""
    for top in range(0, len(values), STRIP):
        rows = slice(top, top + STRIP)
        np.take(rgb, values[rows], out=out[rows], mode="clip")


class Picture:
    """One film, ready to be drawn.

    Parameters
    ----------
    pixels : ndarray (H, W), as shown
    rgb : ndarray uint32
        Colour of every stored value.
    room : ndarray uint32, optional
        The ``room`` of a picture no longer drawn: fresh memory is slow to come by.
    """

    def __init__(self, pixels, rgb, room=None):
        self.levels = [pixels]
        self.rgb = rgb
        self.coarse = False
        self._tile = None
        self.room = np.empty(0, np.uint32) if room is None else room  # of the tile's image
        self.version = 0

    @property
    def deepest(self):
        return max(0, math.ceil(math.log2(max(min(self.levels[0].shape) / SMALLEST, 1))))

    def set_levels(self, levels):
        """The means, once they are worked out; until then every n-th pixel is drawn."""
        self.levels = levels
        self._changed()

    def set_rgb(self, rgb):
        self.rgb = rgb
        self._changed()

    def set_coarse(self, coarse):
        """One level coarser, while the grey values are being dragged."""
        if coarse != self.coarse:
            self.coarse = coarse
            self._changed()

    def _changed(self):
        self._tile = None
        self.version += 1

    def _level(self, zoom):
        level = math.floor(math.log2(1 / zoom) + 1e-6) if zoom < 1 else 0
        return min(level + self.coarse, self.deepest)

    def _array(self, level):
        if level < len(self.levels):
            return self.levels[level]
        return self.levels[0][:: 1 << level, :: 1 << level]

    def draw(self, painter, zoom, left, top, width, height):
        """Draw onto [0, width) x [0, height) device px with film point (left, top) at (0, 0)."""
        level = self._level(zoom)
        a, f = self._array(level), 1 << level
        x0, y0 = max(0, math.floor(left / f) - 1), max(0, math.floor(top / f) - 1)
        x1 = min(a.shape[1], math.ceil((left + width / zoom) / f) + 1)
        y1 = min(a.shape[0], math.ceil((top + height / zoom) / f) + 1)
        if x1 <= x0 or y1 <= y0:
            return
        image, tx, ty = self._tile_for(level, a, x0, y0, x1, y1, zoom)
        # Smoothing every n-th pixel would be wasted: the means follow at once.
        rough = level >= len(self.levels) or (self.coarse and zoom >= 1)
        smooth = zoom != f and zoom < 4 and not rough
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, smooth)
        k = f * zoom
        target = QRectF(x0 * k - left * zoom, y0 * k - top * zoom, (x1 - x0) * k, (y1 - y0) * k)
        painter.drawImage(target, image, QRectF(x0 - tx, y0 - ty, x1 - x0, y1 - y0))

    def _tile_for(self, level, a, x0, y0, x1, y1, zoom):
        t = self._tile
        if t and t[0] == level and t[1] <= x0 and t[2] <= y0 and t[3] >= x1 and t[4] >= y1:
            return t[5], t[1], t[2]
        m = 0 if self.coarse else MARGIN if zoom <= 2 else 16
        x0, y0 = max(0, x0 - m), max(0, y0 - m)
        x1, y1 = min(a.shape[1], x1 + m), min(a.shape[0], y1 + m)
        needed = (y1 - y0) * (x1 - x0)
        if not needed <= self.room.size <= _SPARE * needed:
            self.room = np.empty(needed, np.uint32)
        buffer = self.room[:needed].reshape(y1 - y0, x1 - x0)
        coloured(self.rgb, a[y0:y1, x0:x1], buffer)
        image = QImage(buffer.data, x1 - x0, y1 - y0, 4 * (x1 - x0), QImage.Format.Format_RGB32)
        self._tile = (level, x0, y0, x1, y1, image)
        return image, x0, y0

    def patch(self, centre, side):
        """QImage of ``side`` x ``side`` film pixels round ``centre`` (shown frame), 1:1.

        Returns
        -------
        image : QImage
        left, top : int
            Shown-frame position of its corner; what lies off the film is black.
        """
        a = self.levels[0]
        left, top = math.floor(centre[0] - side / 2), math.floor(centre[1] - side / 2)
        buffer = np.full((side, side), 0xFF000000, np.uint32)
        x0, y0 = max(left, 0), max(top, 0)
        x1, y1 = min(left + side, a.shape[1]), min(top + side, a.shape[0])
        if x1 > x0 and y1 > y0:
            part = np.take(self.rgb, a[y0:y1, x0:x1], mode="clip")
            buffer[y0 - top : y1 - top, x0 - left : x1 - left] = part
        image = QImage(buffer.data, side, side, 4 * side, QImage.Format.Format_RGB32)
        return image.copy(), left, top
