"""Readings: measured values, and why one is missing."""

from dataclasses import dataclass

from radmeasure.quantity import Quantity


@dataclass(frozen=True)
class Reading:
    """One measured value, or the reason there is none.

    Attributes
    ----------
    id : str
        Reading id of the catalogue, e.g. 'tooth_length'.
    root, side : str or None
        Root name; 'mesial', 'distal', 'mean' or None.
    depth_mm : float or None
        Depth from the orifice for readings given per mm.
    unit : str
        'mm', 'mm2', 'deg', '%' or '1'.
    quantity : Quantity or None
        Value with its uncertainty and budget; None when missing.
    method : str
        How it was obtained, in words.
    missing : tuple of str
        Landmarks or entries it waits for.
    why : str
        Why it is withheld although the landmarks are there (no scale, ...).
    remark : str
        What a reader should know beside the number.
    """

    id: str
    root: str | None
    side: str | None
    unit: str
    depth_mm: float | None = None
    quantity: Quantity | None = None
    method: str = ""
    missing: tuple = ()
    why: str = ""
    remark: str = ""

    @property
    def key(self):
        """(id, root, side, depth_mm)."""
        return (self.id, self.root, self.side, self.depth_mm)
