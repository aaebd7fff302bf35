"""Everything drawn over the film: lines, marks, their labels, scale objects."""

import math
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPen, QPolygonF, QRegion

from radmeasure.gui.labels import place_labels
from radmeasure.gui.looks import CLOSED, LOOKS, SCALE_LOOK, mark_label
from radmeasure.gui.marks import draw_mark, extent, line_pens
from radmeasure.gui.tooth_axis import axis_of
from radmeasure.gui.truth_marks import draw_truth, truth_of
from radmeasure.model.landmarks import ROOT_LINES, Detector, Sphere

CHOSEN = 32.0  # half the side of what a chosen mark covers, turned any way; px
PLATE = 225  # opacity of the plate under a label: letters stand out over a white filling, too


@dataclass(frozen=True)
class Item:
    """A placed or suggested landmark, in shown-frame coordinates."""

    name: str
    root: str | None
    points: tuple
    suggested: bool

    @property
    def key(self):
        return (self.name, self.root)

    @property
    def is_line(self):
        return self.name in ROOT_LINES


def items_of(marks, suggested, turned, known=()):
    """Items of a chart: what is placed, then suggestions for what is not.

    ``known`` maps (name, root) to (value, Item): what did not move is the same Item again.

    Returns
    -------
    dict
        (name, root) -> (value, Item), to be given as ``known`` next time.
    """
    found, known = {}, dict(known)
    for source, is_suggested in ((marks, False), (suggested, True)):
        if source is None:
            continue
        for root, name, value in source.placed():
            key = (name, root)
            if key in found:
                continue
            before, item = known.get(key, (None, None))
            if before is not value or item.suggested != is_suggested:
                points = value if name in ROOT_LINES else (value,)
                shown = tuple(turned.to_shown(p) for p in points)
                item = Item(name, root, shown, is_suggested)
            found[key] = (value, item)
    return found


class Overlay:
    """Draws the items of a desk through a camera.

    The label layout is kept until marks, camera or size change.
    """

    def __init__(self):
        self.items, self.axis, self.scale = [], (0.0, -1.0), ()
        self._axis_at_rest = self.axis  # the other marks turn when the one dragged is let go
        self.truth = []
        self.show_labels = True
        self._layout_key, self._layout = None, []
        self._around, self._own, self._own_key = [], [], None
        self._known, self._known_turned = {}, None
        self.version = 0

    def take(self, desk):
        """Take in the chart of the desk."""
        self.version += 1
        marks, suggested, turned = desk.landmarks, desk.suggested, desk.turned
        self.truth = truth_of(desk)
        if turned is None:
            self.items, self.scale = [], ()
            return
        if turned != self._known_turned:
            self._known, self._known_turned = {}, turned
        self._known = items_of(marks, suggested, turned, self._known)
        self.items = [item for _, item in self._known.values()]
        self.axis = axis_of(marks, suggested, turned, desk.upper)
        if desk.preview is None:
            self._axis_at_rest = self.axis
        scale = list(_scale_items(marks, suggested, turned))
        if desk.pending is not None:
            shown = tuple(turned.to_shown(p) for p in desk.pending.points)
            scale.append((desk.pending.kind, shown, True))
        self.scale = tuple(scale)

    @property
    def angle(self):
        """Direction of a mark's strokes: across the tooth, apical to the mark's +y."""
        return _across(self.axis)

    # -- finding ------------------------------------------------------------------------
    def hit(self, camera, at, radius):
        """The point mark nearest to widget position ``at`` within ``radius``, or None."""
        best, nearest = None, radius
        for item in self.items:
            if item.is_line:
                continue
            x, y = camera.to_widget(item.points[0])
            distance = math.hypot(x - at[0], y - at[1])
            if distance <= nearest:
                best, nearest = item, distance
        return best

    def hit_line(self, camera, at, radius):
        """(item, index of its nearest vertex) of the line under ``at``, or (None, None)."""
        best, nearest, index = None, radius, None
        for item in self.items:
            if not item.is_line:
                continue
            line = (np.array(item.points) - (camera.left, camera.top)) * camera.zoom
            if item.name in CLOSED:
                line = np.vstack([line, line[:1]])
            distance, vertex = _distance(line, at)
            if distance < nearest:
                best, nearest, index = item, distance, vertex % len(item.points)
        return best, index

    def covers(self, camera, rect):
        """True when a point mark or a scale object lies in ``rect`` of the widget."""
        for item in self.items:
            if not item.is_line and rect.intersects(
                extent(QPointF(*camera.to_widget(item.points[0])))
            ):
                return True
        for _, points, _ in self.scale:
            shown = QPolygonF([QPointF(*camera.to_widget(p)) for p in points])
            if rect.intersects(shown.boundingRect().adjusted(-3, -3, 3, 3)):
                return True
        return False

    # -- drawing -------------------------------------------------------------------------
    def draw(self, painter, camera, size, selected, fast=False):
        """Draw into a widget of ``size`` (QSize); ``fast`` leaves out labels and smooth edges."""
        self.draw_still(painter, camera, None, selected, fast)
        self.draw_moving(painter, camera, None)
        if not fast:
            self.draw_labels(painter, camera, size, selected)

    def still(self, moving):
        """What :meth:`draw_still` draws, to tell whether it is still the same."""
        return (*(i for i in self.items if i.key != moving), *self.scale, self._axis_at_rest)

    def draw_still(self, painter, camera, moving, selected=None, fast=False):
        """Draw everything but the item whose key is ``moving``, without labels."""
        painter.setRenderHint(painter.RenderHint.Antialiasing, not fast)
        for reference in self.scale:
            self._draw_reference(painter, camera, reference)
        for item in sorted(self.items, key=lambda item: not item.is_line):
            if item.key != moving:
                angle = _across(self._axis_at_rest)
                self._draw_item(painter, camera, item, angle, item.key == selected, fast)

    def draw_moving(self, painter, camera, moving):
        """Draw the one item that is being dragged, and what follows it."""
        for item in self.items:
            if item.key == moving:
                painter.setRenderHint(painter.RenderHint.Antialiasing)
                self._draw_item(painter, camera, item, self.angle, True)
        if self.truth:
            draw_truth(painter, camera, self.truth, self.items)

    def _draw_item(self, painter, camera, item, angle, selected, fast=False):
        if item.is_line:
            self._draw_line(painter, camera, item, selected)
            return
        at = QPointF(*camera.to_widget(item.points[0]))
        draw_mark(painter, at, LOOKS[item.name], angle, item.suggested, selected, not fast)

    def _draw_line(self, painter, camera, item, selected):
        polygon = QPolygonF([QPointF(*camera.to_widget(p)) for p in item.points])
        draw = painter.drawPolygon if item.name in CLOSED else painter.drawPolyline
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for pen in line_pens(LOOKS[item.name], item.suggested, selected):
            painter.setPen(pen)
            draw(polygon)
        if selected:
            painter.setPen(QPen(QColor("#000000"), 1))
            painter.setBrush(QColor(LOOKS[item.name].colour))
            for p in polygon:
                painter.drawRect(QRectF(p.x() - 2.5, p.y() - 2.5, 5, 5))

    def _draw_reference(self, painter, camera, reference):
        kind, points, suggested = reference
        for pen in line_pens(SCALE_LOOK, suggested, False):
            painter.setPen(pen)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            shown = [QPointF(*camera.to_widget(p)) for p in points]
            if kind == "sphere":
                painter.drawEllipse(*_circle(shown))
            else:
                painter.drawPolyline(QPolygonF(shown))

    def draw_labels(self, painter, camera, size, selected):
        """Draw the name beside each mark, unless names are not wanted."""
        if not self.show_labels:
            return
        metrics = painter.fontMetrics()
        key = (camera, self.version, size.width(), size.height(), metrics.height())
        if key != self._layout_key:
            self._layout_key = key
            self._layout = self._laid_out(camera, size, metrics)
        for item, at, rect, text in self._layout:
            self._draw_label(painter, item, at, rect, text, item.key == selected)

    def draw_still_labels(self, painter, camera, size, moving):
        """Draw the names of all but the item dragged; they stay where they are."""
        self._around = []
        if self.show_labels:
            others = [i for i in self.items if i.key != moving]
            self._around = self._laid_out(camera, size, painter.fontMetrics(), others)
        self._own_key = None
        for label in self._around:
            self._draw_label(painter, *label, False)

    def draw_moving_label(self, painter, camera, size, moving):
        """Draw the name of the item dragged, clear of those that stay."""
        for label in self._moving_label(camera, size, painter.fontMetrics(), moving):
            self._draw_label(painter, *label, True)

    def reach(self, camera, size, metrics, moving):
        """QRegion the point mark dragged and its name cover; None when it is more than that."""
        item = next((i for i in self.items if i.key == moving), None)
        if item is None or item.is_line or self.truth:
            return None
        x, y = camera.to_widget(item.points[0])
        mark = QRectF(x - CHOSEN, y - CHOSEN, 2 * CHOSEN, 2 * CHOSEN)
        for _, _, rect, _ in self._moving_label(camera, size, metrics, moving):
            mark |= rect  # with the line that leads to it
        return QRegion(mark.toAlignedRect().adjusted(-2, -2, 2, 2))

    def _moving_label(self, camera, size, metrics, moving):
        """Its label in a list, empty without names or room."""
        if not self.show_labels:
            return []
        key = (camera, self.version, size.width(), size.height(), metrics.height(), moving)
        if key != self._own_key:
            one = [i for i in self.items if i.key == moving]
            self._own = self._laid_out(camera, size, metrics, one, self._around)
            self._own_key = key
        return self._own

    def _laid_out(self, camera, size, metrics, named=None, around=()):
        """(item, its place, rectangle of its label, text) of the items ``named``, or of all.

        Clear of every mark and of the labels ``around``.
        """
        marked = [i for i in self.items if not i.is_line]
        shown = marked if named is None else [i for i in named if not i.is_line]
        if not shown:
            return []
        places = {i.key: camera.to_widget(i.points[0]) for i in marked}
        anchors = [places[i.key] for i in shown]
        texts = [mark_label(*i.key) + (" ?" if i.suggested else "") for i in shown]
        sizes = [(metrics.horizontalAdvance(t) + 6, metrics.height()) for t in texts]
        middle = sum(x for x, _ in places.values()) / len(places)
        outward = [self._outward(i.name, a[0], middle) for i, a in zip(shown, anchors)]
        rects = [extent(QPointF(*a)) for a in places.values()]
        rects += [rect for _, _, rect, _ in around]
        taken = np.array([[r.left(), r.top(), r.right(), r.bottom()] for r in rects])
        placed = place_labels(
            anchors, sizes, outward, taken, (2, 2, size.width() - 2, size.height() - 2)
        )
        return [
            (item, QPointF(*at), QRectF(r[0], r[1], r[2] - r[0], r[3] - r[1]), text)
            for item, at, r, text in zip(shown, anchors, placed, texts)
            if r is not None
        ]

    @staticmethod
    def _outward(name, x, middle):
        if name.endswith(("_mesial", "_distal")):
            return 1 if x >= middle else -1
        return 1

    def _draw_label(self, painter, item, at, rect, text, selected):
        colour = QColor(LOOKS[item.name].letters)
        right = rect.left() > at.x()
        near = QPointF(rect.left() if right else rect.right(), rect.center().y())
        if abs(near.y() - at.y()) > 2 or abs(near.x() - at.x()) > 30:
            foot = QPointF(at.x() + (20 if right else -20), at.y())
            painter.setPen(QPen(colour, 0.8, Qt.PenStyle.DotLine))
            painter.drawLine(foot, near)
        painter.fillRect(rect, QColor(0, 0, 0, PLATE))
        if selected:
            painter.setPen(QPen(QColor("#FFFFFF"), 1.0))
            painter.drawRect(rect)
        painter.setPen(colour)
        painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, text)


def _across(axis):
    """Angle of strokes across an axis."""
    return math.atan2(axis[1], axis[0]) - math.pi / 2


def _distance(line, at):
    """(distance to a polyline, index of the nearest vertex)."""
    a, b = line[:-1], line[1:]
    d = b - a
    squares = (d * d).sum(axis=1)
    t = ((np.array(at) - a) * d).sum(axis=1) / np.where(squares == 0, 1, squares)
    foot = a + np.clip(t, 0, 1)[:, None] * d
    distance = float(np.hypot(*(foot - at).T).min())
    vertex = int(np.hypot(*(line - at).T).argmin())
    return distance, vertex


def _scale_items(marks, suggested, turned):
    for source, is_suggested in ((marks, False), (suggested, True)):
        if source is None or (is_suggested and marks is not None and marks.scale):
            continue
        for entry in source.scale:
            if isinstance(entry, Detector):
                continue
            kind = "sphere" if isinstance(entry, Sphere) else "length"
            yield kind, tuple(turned.to_shown(p) for p in entry.points), is_suggested


def _circle(rim):
    """(centre, rx, ry) of the circle through points on a sphere's rim, least squares."""
    p = np.array([[q.x(), q.y()] for q in rim])
    a = np.column_stack([2 * p, np.ones(len(p))])
    x, y, c = np.linalg.lstsq(a, (p * p).sum(axis=1), rcond=None)[0]
    r = math.sqrt(max(c + x * x + y * y, 0.0))
    return QPointF(x, y), r, r
