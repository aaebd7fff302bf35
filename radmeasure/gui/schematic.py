"""A small schematic tooth that shows what a reading or rule speaks of."""

from dataclasses import dataclass
from math import cos, hypot, pi, sin

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

# Heights on the drawing, 0 incisal edge, 100 apex.
LEVELS = {
    "reference": 0.0,
    "margin": 30.0,
    "cej": 36.0,
    "attachment": 38.0,
    "face": 44.0,
    "crest": 48.0,
    "bend": 62.0,
    "post_end": 68.0,
    "filling_top": 72.0,
    "half_bone": 74.0,
    "two_thirds": 81.0,
    "tip": 90.0,
    "short": 91.0,
    "filling_end": 93.0,
    "apex": 100.0,
}
# (height, half width) of root and crown, and of the canal; the apex points up.
_WALL = (
    *((0, 14), (2, 15), (12, 18), (20, 19), (28, 18.5), (33, 16.2), (37, 15), (48, 14.2)),
    *((58, 12.8), (68, 11), (80, 8.4), (90, 5.8), (96, 3.8), (99, 2), (100, 0)),
)
_CANAL = ((44, 3.4), (66, 2.4), (93, 1.3), (100, 0.6))
_POST = 2.6  # half width
_BEND = 0.011  # how far the bent root turns aside, per squared height
_SIZE, _AXIS = QSize(100, 140), 31.0


@dataclass(frozen=True)
class Picture:
    """What the schematic shows.

    Attributes
    ----------
    spans : tuple of (from, to)
        Lengths along the tooth, by names of :data:`LEVELS`.
    across : tuple of (part, level)
        Widths: 'root', 'canal', 'post', 'dentine'.
    shows : tuple of str
        Besides the tooth: 'filling', 'post', 'file', 'lesion', 'bend', 'thirds', 'two roots'.
    special : str
        'angle', 'arc', 'radius', 'area', 'diameter' or 'extent'.
    """

    spans: tuple = ()
    across: tuple = ()
    shows: tuple = ()
    special: str = ""

    @property
    def empty(self):
        return not (self.spans or self.across or self.shows or self.special)


class Schematic(QWidget):
    """Draws a tooth, crown down, and what one explanation measures on it."""

    def __init__(self, picture, theme, parent=None):
        super().__init__(parent)
        self.picture, self.theme = picture, theme
        self.setFixedSize(_SIZE)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)

    # -- places ----------------------------------------------------------------------------------
    def _y(self, height):
        return self.height() - 10 - (self.height() - 30) * height / 100

    def _x(self, height):
        """The tooth's axis: straight, or bent apically of 'bend'."""
        bent = "bend" in self.picture.shows
        over = max(0.0, height - LEVELS["bend"])
        return _AXIS + (_BEND * over * over if bent else 0.0)

    def _at(self, height, aside=0.0):
        return QPointF(self._x(height) + aside, self._y(height))

    def _outline(self, table, low, high):
        """Polygon of a body of given half widths between two heights."""
        steps = 41 if "bend" in self.picture.shows or table is _WALL else 3
        heights = np.linspace(low, high, steps)
        if table is _WALL:
            heights = np.union1d(heights, [h for h, _ in table if low <= h <= high])
        halves = np.interp(heights, *zip(*table, strict=True))
        left = [self._at(h, -w) for h, w in zip(heights, halves, strict=True)]
        right = [self._at(h, w) for h, w in zip(heights, halves, strict=True)]
        return QPolygonF([*left, *reversed(right)])

    @staticmethod
    def _half(table, height):
        return float(np.interp(height, *zip(*table, strict=True)))

    # -- drawing ---------------------------------------------------------------------------------
    def paintEvent(self, event):
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._quiet = QColor(self.theme.ink_quiet)
        self._mark = QColor(self.theme.link)
        shows = self.picture.shows
        if "two roots" in shows:
            self._two_roots(painter)
            return
        painter.setPen(QPen(self._quiet, 1.2))
        painter.drawPolygon(self._outline(_WALL, 0, 100))
        painter.setPen(QPen(self._quiet, 0.8, Qt.PenStyle.DotLine))
        painter.drawPolygon(self._outline(_CANAL, LEVELS["face"], 100))
        self._bone(painter)
        for part in ("filling", "post", "file", "lesion", "thirds"):
            if part in shows:
                getattr(self, f"_{part}")(painter)
        for part, level in self.picture.across:
            self._width(painter, part, LEVELS[level])
        for i, (start, end) in enumerate(self.picture.spans):
            self._span(painter, 68 + 13 * i, start, end)
        if self.picture.special:
            getattr(self, f"_{self.picture.special}")(painter)

    def _bone(self, painter):
        painter.setPen(QPen(self._quiet, 1.0, Qt.PenStyle.DashLine))
        crest = LEVELS["crest"]
        for side in (-1, 1):
            edge = self._at(crest, side * (self._half(_WALL, crest) + 2))
            painter.drawLine(edge, edge + QPointF(side * 11, -2))

    def _filled(self, painter, polygon, colour, alpha):
        fill = QColor(colour)
        fill.setAlpha(alpha)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(fill)
        painter.drawPolygon(polygon)
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def _filling(self, painter):
        top = LEVELS["face"]
        if "post" in self.picture.shows:
            names = {name for span in self.picture.spans for name in span}
            top = LEVELS["filling_top" if "filling_top" in names else "post_end"]
        self._filled(
            painter, self._outline(_CANAL, top, LEVELS["filling_end"]), self.theme.ink_quiet, 170
        )

    def _post(self, painter):
        table = ((0, _POST), (100, _POST))
        post = self._outline(table, LEVELS["margin"], LEVELS["post_end"])
        self._filled(painter, post, self.theme.ink, 230)

    def _file(self, painter):
        painter.setPen(QPen(QColor(self.theme.ink), 1.6))
        line = [self._at(h) for h in np.linspace(-8, LEVELS["tip"], 30)]
        painter.drawPolyline(QPolygonF(line))
        painter.drawLine(self._at(0, -5), self._at(0, 5))

    def _round(self):
        """The radiolucency: (centre, half its length, half its width)."""
        return self._at(102), 13.0, 9.0

    def _lesion(self, painter):
        at, long, wide = self._round()
        painter.setPen(QPen(self._mark, 1.2, Qt.PenStyle.DashLine))
        painter.drawEllipse(at, wide, long)

    def _thirds(self, painter):
        painter.setPen(QPen(self._quiet, 0.8, Qt.PenStyle.DotLine))
        for part in (0, 1, 2, 3):
            y = LEVELS["face"] + part / 3 * (100 - LEVELS["face"])
            painter.drawLine(self._at(y, -22), self._at(y, 22))

    def _two_roots(self, painter):
        """A lower molar: the distal root carries the post, the curved mesial one none."""
        y = self._y
        painter.setPen(QPen(self._quiet, 1.2))
        crown = [(12, 0), (8, 22), (14, 36), (62, 36), (68, 22), (64, 0)]
        painter.drawPolyline(QPolygonF([QPointF(x, y(h)) for x, h in [*crown, crown[0]]]))
        for x, bend, width in ((24, -9, 9), (52, 2, 10)):
            heights = np.linspace(36, 94, 25)
            axis = x + bend * ((heights - 36) / 58) ** 2
            halves = width * np.sqrt(np.clip((94 - heights) / 58, 0, 1)) + 0.2
            wall = [QPointF(a + w, y(h)) for a, w, h in zip(axis, halves, heights, strict=True)]
            wall += [
                QPointF(a - w, y(h))
                for a, w, h in reversed(list(zip(axis, halves, heights, strict=True)))
            ]
            painter.drawPolyline(QPolygonF(wall))
        post = QRectF(QPointF(49.6, y(64)), QPointF(54.8, y(22)))
        painter.fillRect(post, QColor(self.theme.ink))
        painter.setPen(QPen(self._mark, 1.6))
        for s in (-1, 1):
            painter.drawLine(QPointF(16, y(58) + 6 * s), QPointF(28, y(58) - 6 * s))

    # -- measures ----------------------------------------------------------------------------------
    def _span(self, painter, x, start, end):
        top, bottom = self._y(LEVELS[start]), self._y(LEVELS[end])
        painter.setPen(QPen(self._mark, 1.7))
        painter.drawLine(QPointF(x, top), QPointF(x, bottom))
        for y in (top, bottom):
            painter.drawLine(QPointF(x - 4, y), QPointF(x + 4, y))
        painter.setPen(QPen(self._mark, 0.8, Qt.PenStyle.DotLine))
        for name, y in ((start, top), (end, bottom)):
            painter.drawLine(QPointF(self._x(LEVELS[name]), y), QPointF(x - 5, y))

    def _width(self, painter, part, height):
        wall, canal = self._half(_WALL, height), self._half(_CANAL, height)
        inner = _POST if "post" in self.picture.shows else canal
        ends = {
            "root": ((-wall, wall),),
            "canal": ((-canal, canal),),
            # Two strokes that point at it from outside: it is too narrow to be drawn over.
            "post": ((-12, -_POST), (_POST, 12)),
            "dentine": ((-wall, -inner), (inner, wall)),
            "dentine mesial": ((inner, wall),),
            "dentine distal": ((-wall, -inner),),
        }[part]
        painter.setPen(QPen(self._mark, 1.7))
        for left, right in ends:
            a, b = self._at(height, left), self._at(height, right)
            painter.drawLine(a, b)
            for p in (a, b):
                painter.drawLine(p + QPointF(0, -4), p + QPointF(0, 4))

    def _angle(self, painter):
        """Line 1 along the straight part, line 2 from its end to the foramen."""
        a, end = self._at(LEVELS["bend"]), self._at(100)
        painter.setPen(QPen(self._mark, 1.5))
        painter.drawLine(self._at(LEVELS["face"]), QPointF(_AXIS, 6))
        way = end - a
        painter.drawLine(a, end + way * 0.12)
        reach = 26.0
        box = QRectF(a.x() - reach, a.y() - reach, 2 * reach, 2 * reach)
        turn = np.degrees(np.arctan2(way.x(), -way.y()))
        painter.drawArc(box, round((90 - turn) * 16), round(turn * 16))

    def _arc_points(self):
        """Centre and radius of the circle through the bent part, and its ends."""
        points = [self._at(h) for h in (LEVELS["bend"], 81.0, 100.0)]
        (ax, ay), (bx, by), (cx, cy) = ((p.x(), p.y()) for p in points)
        rows = [[2 * (bx - ax), 2 * (by - ay)], [2 * (cx - ax), 2 * (cy - ay)]]
        right = [bx * bx - ax * ax + by * by - ay * ay, cx * cx - ax * ax + cy * cy - ay * ay]
        x, y = np.linalg.solve(rows, right)
        return QPointF(x, y), hypot(ax - x, ay - y), points[0], points[2]

    def _arc(self, painter):
        """The arc itself, and the radii at its ends shortened."""
        centre, radius, start, end = self._arc_points()
        painter.setPen(QPen(self._mark, 2.2))
        a, b = (np.arctan2(p.y() - centre.y(), p.x() - centre.x()) for p in (start, end))
        b = b - 2 * pi * round((b - a) / (2 * pi))
        line = [
            QPointF(centre.x() + radius * cos(t), centre.y() + radius * sin(t))
            for t in np.linspace(a, b, 20)
        ]
        painter.drawPolyline(QPolygonF(line))

    def _radius(self, painter):
        centre, radius, start, end = self._arc_points()
        self._arc(painter)
        painter.setPen(QPen(self._mark, 1.0, Qt.PenStyle.DashLine))
        for p in (start, end):
            way = centre - p
            painter.drawLine(p, p + way * (min(radius, 60) / radius))

    def _area(self, painter):
        at, long, wide = self._round()
        fill = QColor(self._mark)
        fill.setAlpha(90)
        painter.setBrush(fill)
        painter.setPen(QPen(self._mark, 1.2))
        painter.drawEllipse(at, wide, long)
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def _diameter(self, painter):
        at, long, _ = self._round()
        self._lesion(painter)
        self._arrow(painter, at + QPointF(0, -long), at + QPointF(0, long))

    def _extent(self, painter):
        at, _, wide = self._round()
        self._lesion(painter)
        self._arrow(painter, at + QPointF(-wide, 0), at + QPointF(wide, 0))

    def _arrow(self, painter, a, b):
        painter.setPen(QPen(self._mark, 1.7))
        painter.drawLine(a, b)
        across = QPointF(b.y() - a.y(), a.x() - b.x())
        across *= 4 / max(hypot(across.x(), across.y()), 1e-6)
        for p in (a, b):
            painter.drawLine(p - across, p + across)
