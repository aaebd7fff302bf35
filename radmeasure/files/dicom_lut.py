"""Look-up tables of DICOM (modality, VOI, palette), read without trusting them.

pydicom (3.0.2) is not asked to apply them: its VOI look-up wraps the index to
eight bits when the entries have eight bits, and its palette look-up reads the
tables of big-endian files in the wrong byte order.
"""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Lut:
    """A look-up table.

    Attributes
    ----------
    first : int
        Input value of the first entry.
    entries : ndarray of int64
    bits : int
        Depth of the entries.
    """

    first: int
    entries: np.ndarray
    bits: int

    @property
    def top(self):
        return 2**self.bits - 1

    def at(self, values):
        """Entries for ``values``; beyond either end the end's entry (PS3.3 C.11.1.1)."""
        index = np.clip(np.asarray(values, np.int64) - self.first, 0, len(self.entries) - 1)
        return self.entries[index]

    def share(self, values):
        """Entries for ``values`` as shares 0..1."""
        return self.at(np.rint(values)) / self.top


def read_lut(dataset, prefix, signed=False):
    """The table whose attributes are ``prefix + 'Descriptor'`` and ``prefix + 'Data'``.

    Parameters
    ----------
    dataset : pydicom.Dataset
        The sequence item, or the data set itself for a palette.
    prefix : str
        ``'LUT'`` or e.g. ``'RedPaletteColorLookupTable'``.
    signed : bool
        Whether the input values, and with them the first one, are signed.

    Returns
    -------
    Lut or None
        None when the table is missing or damaged.
    """
    try:
        count, first, bits = (int(v) for v in dataset[prefix + "Descriptor"].value)
        data = dataset[prefix + "Data"].value
    except (KeyError, TypeError, ValueError):
        return None
    count = count % 65536 or 65536  # 0 stands for 65 536
    first = first - 65536 if signed and first >= 32768 else first
    if isinstance(data, (bytes, bytearray)):
        data = _unpacked(data, count, big_endian=dataset.original_encoding[1] is False)
    entries = np.atleast_1d(np.asarray(data))
    if not 1 <= bits <= 16 or len(entries) < count or entries.dtype.kind not in "iu":
        return None
    return Lut(first, entries[:count].astype(np.int64) & 0xFFFF, bits)


def _unpacked(data, count, big_endian):
    """Entries from bytes: two bytes each, or one when there are too few for that."""
    if len(data) >= 2 * count:
        return np.frombuffer(data, ">u2" if big_endian else "<u2", count)
    return np.frombuffer(data, np.uint8, min(count, len(data)))
