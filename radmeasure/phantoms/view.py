"""Source and receptor: from a point in the mouth to a pixel, and back along the ray."""

from dataclasses import dataclass

import numpy as np

from radmeasure.phantoms.frame import Rays


@dataclass(frozen=True)
class View:
    """A point source and a flat receptor.

    Attributes
    ----------
    source, centre : ndarray, shape (3,)
        Scene coordinates, mm; ``centre`` is the middle of the receptor.
    column, row : ndarray, shape (3,)
        Unit vectors of increasing column and row.
    pitch_mm : float
    shape : tuple of int
        (rows, columns).
    """

    source: np.ndarray
    centre: np.ndarray
    column: np.ndarray
    row: np.ndarray
    pitch_mm: float
    shape: tuple

    @property
    def normal(self):
        return np.cross(self.column, self.row)

    def project(self, points):
        """Pixels (x, y) of scene ``points``, shape (n, 3) -> (n, 2); (0, 0) is a pixel's centre."""
        ray = np.asarray(points, float) - self.source
        gap = (self.centre - self.source) @ self.normal
        hit = self.source + ray * (gap / (ray @ self.normal))[:, None] - self.centre
        x = hit @ self.column / self.pitch_mm + (self.shape[1] - 1) / 2
        y = hit @ self.row / self.pitch_mm + (self.shape[0] - 1) / 2
        return np.stack((x, y), axis=1)

    def on_receptor(self, x, y):
        """Scene points of pixel coordinates, shape (..., 3)."""
        across = (np.asarray(x, float) - (self.shape[1] - 1) / 2) * self.pitch_mm
        down = (np.asarray(y, float) - (self.shape[0] - 1) / 2) * self.pitch_mm
        return self.centre + across[..., None] * self.column + down[..., None] * self.row

    def rays(self, x, y):
        """Rays from the source to pixels; ``t`` is 0 where a ray crosses the plane D = 0."""
        end = self.on_receptor(np.ravel(x), np.ravel(y))
        ray = end - self.source
        ray /= np.linalg.norm(ray, axis=1, keepdims=True)
        start = self.source - ray * (self.source[2] / ray[:, 2])[:, None]
        return Rays(tuple(start.T.astype(np.float32)), tuple(ray.T.astype(np.float32)))

    def on_plane(self, x, y, depth_mm):
        """Scene X and Y at which the rays to pixels cross the plane D = ``depth_mm``."""
        ray = self.on_receptor(x, y) - self.source
        at = self.source + ray * ((depth_mm - self.source[2]) / ray[..., 2])[..., None]
        return at[..., 0], at[..., 1]

    @property
    def magnification(self):
        """Magnification at the scene's origin: SID / (SID − ORD) along the normal (derived)."""
        return float((self.centre - self.source) @ self.normal / (-self.source @ self.normal))

    def moved(self, shift):
        """The view with its receptor slid by (x, y) mm in its own plane."""
        centre = self.centre + shift[0] * self.column + shift[1] * self.row
        return View(self.source, centre, self.column, self.row, self.pitch_mm, self.shape)


def _turn_x(degrees):
    """Turn about X that carries +D towards -Y for a positive angle."""
    a = np.radians(degrees)
    return np.array([[1, 0, 0], [0, np.cos(a), -np.sin(a)], [0, np.sin(a), np.cos(a)]])


def _turn_y(degrees):
    a = np.radians(degrees)
    return np.array([[np.cos(a), 0, np.sin(a)], [0, 1, 0], [-np.sin(a), 0, np.cos(a)]])


def aim(wanted, apical, middle, shape, pitch_mm, receptor_mm, tilt_deg):
    """The view of a technique with its errors.

    The receptor passes ``receptor_mm`` behind the scene's origin, leaning so
    that its apical end lies further from the tooth by ``tilt_deg``. A
    paralleling holder aims square at the receptor, a bisecting beam square to
    the bisector of tooth and receptor; ``vertical_deg`` raises the source to
    the apical side, ``horizontal_deg`` swings it towards -X.

    Parameters
    ----------
    wanted : ViewRecipe
    apical : int
        +1 when apical is +Y, else -1.
    middle : ndarray, shape (3,)
        Scene point that falls on the middle of the film.
    """
    receptor = _turn_x(apical * tilt_deg)
    column, row = receptor @ [1.0, 0, 0], receptor @ [0, 1.0, 0]
    beam = tilt_deg if wanted.technique == "paralleling" else tilt_deg / 2
    toward = _turn_x(apical * (beam + wanted.vertical_deg)) @ _turn_y(wanted.horizontal_deg)
    direction = toward @ [0, 0, 1.0]
    source = -direction * (wanted.source_mm - receptor_mm)
    foot = np.array([0.0, 0.0, receptor_mm])
    view = View(source, foot, column, row, pitch_mm, shape)
    off = view.project(middle[None])[0] - (np.array(shape[::-1]) - 1) / 2
    shift = off * pitch_mm - np.array([wanted.shift_x_mm, wanted.shift_y_mm])
    return view.moved(shift)
