"""Which part of the film is seen, and how large. Floats throughout, so nothing creeps."""

from dataclasses import dataclass, replace

ZOOM_RANGE = (0.02, 40.0)


@dataclass(frozen=True)
class Camera:
    """Widget position = (shown position - origin) * zoom, in logical px.

    Attributes
    ----------
    zoom : float
        Logical screen px per film px.
    left, top : float
        Shown-frame position at the widget's corner.
    """

    zoom: float = 1.0
    left: float = 0.0
    top: float = 0.0

    def to_widget(self, xy):
        return ((xy[0] - self.left) * self.zoom, (xy[1] - self.top) * self.zoom)

    def to_shown(self, xy):
        return (xy[0] / self.zoom + self.left, xy[1] / self.zoom + self.top)

    def zoomed(self, factor, about):
        """Zoomed by ``factor`` with the film point under widget point ``about`` kept there."""
        low, high = ZOOM_RANGE
        zoom = min(max(self.zoom * factor, low), high)
        x, y = self.to_shown(about)
        return Camera(zoom, x - about[0] / zoom, y - about[1] / zoom)

    def panned(self, dx, dy):
        """Moved with the pointer by (dx, dy) logical px."""
        return replace(self, left=self.left - dx / self.zoom, top=self.top - dy / self.zoom)

    def kept_near(self, film, widget):
        """With a part of the film (size ``film``) left inside the widget (size ``widget``)."""
        edge = [min(0.25 * film[i], 0.25 * widget[i] / self.zoom) for i in (0, 1)]
        left = min(max(self.left, edge[0] - widget[0] / self.zoom), film[0] - edge[0])
        top = min(max(self.top, edge[1] - widget[1] / self.zoom), film[1] - edge[1])
        return replace(self, left=left, top=top)


def fitted(film, widget, border=8):
    """Camera that shows the whole film, centred."""
    room = [max(side - 2 * border, 1) for side in widget]
    zoom = min(room[0] / film[0], room[1] / film[1])
    return centred(film, widget, (film[0] / 2, film[1] / 2), zoom)


def centred(film, widget, on, zoom):
    """Camera with film point ``on`` in the middle of the widget."""
    return Camera(zoom, on[0] - widget[0] / 2 / zoom, on[1] - widget[1] / 2 / zoom)
