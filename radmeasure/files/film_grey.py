"""Grey values of a film: colour to grey, and the table a film opens with."""

import numpy as np

_ROWS_AT_ONCE = 256
EQUAL_CHANNELS = "stored in colour although its channels are equal: opened as grey"
CONVERTED = "a colour picture: converted to grey, so shades may differ from the original film"


def grey_of(colour):
    """Grey picture of an RGB one, in the same depth.

    Parameters
    ----------
    colour : ndarray, shape (H, W, 3), uint8 or uint16

    Returns
    -------
    grey : ndarray, shape (H, W), same dtype
        The common channel when all are equal, else the luma of ITU-R BT.601
        (0.299 R + 0.587 G + 0.114 B, rounded; weights from memory).
    note : str
        Which of the two.
    """
    red, green, blue = (colour[..., i] for i in range(3))
    if np.array_equal(red, green) and np.array_equal(red, blue):
        return np.ascontiguousarray(red), EQUAL_CHANNELS
    grey = np.empty(red.shape, colour.dtype)
    for top in range(0, len(grey), _ROWS_AT_ONCE):  # in strips, to keep the memory small
        rows = slice(top, top + _ROWS_AT_ONCE)
        weighted = red[rows].astype(np.uint32) * 299
        weighted += green[rows].astype(np.uint32) * 587
        weighted += blue[rows].astype(np.uint32) * 114
        grey[rows] = (weighted + 500) // 1000
    return grey, CONVERTED


def over_black(colour, alpha):
    """Lay a picture with an alpha channel on black.

    Parameters
    ----------
    colour : ndarray, shape (H, W) or (H, W, C), uint8 or uint16
    alpha : ndarray, shape (H, W), same dtype; the dtype's maximum is opaque

    Returns
    -------
    ndarray like ``colour``
    """
    opaque = int(np.iinfo(alpha.dtype).max)
    out = np.empty_like(colour)
    for top in range(0, len(out), _ROWS_AT_ONCE):
        rows = slice(top, top + _ROWS_AT_ONCE)
        weight = alpha[rows].astype(np.uint64)
        weight = weight.reshape(weight.shape + (1,) * (colour.ndim - 2))
        out[rows] = (colour[rows].astype(np.uint64) * weight + opaque // 2) // opaque
    return out


def ramp(bits, lowest, highest):
    """Table that draws ``lowest`` black and ``highest`` white.

    Parameters
    ----------
    bits : int
        Depth of the values.
    lowest, highest : int
        Values, usually the darkest and brightest of the picture.

    Returns
    -------
    ndarray, shape (2**bits,), uint8
    """
    span = max(int(highest) - int(lowest), 1)
    grey = (np.arange(2**bits) - int(lowest)) * (255.0 / span)
    return np.clip(np.floor(grey + 0.5), 0, 255).astype(np.uint8)


def opening_table(pixels, bits):
    """Table for a picture whose file states no window.

    Eight bits are drawn as they are, since the picture was saved to be looked
    at; deeper values seldom fill their range, so theirs spans the picture's
    darkest to brightest value.
    """
    if bits == 8:
        return np.arange(256, dtype=np.uint8)
    return ramp(bits, pixels.min(), pixels.max())


def read_only(array):
    """The same array, no longer writable, contiguous and in native byte order."""
    array = np.ascontiguousarray(array, dtype=array.dtype.newbyteorder("="))
    if not array.flags.owndata and array.flags.writeable:
        array = array.copy()
    array.flags.writeable = False
    return array
