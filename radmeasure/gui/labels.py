"""Places the marks' labels so that none covers another, or a mark."""

import numpy as np

# Rows and columns to try, nearest first: (columns outward, rows down).
_TRIES = [(column, row) for column in (0, 1, 2) for row in (0, -1, 1, -2, 2, -3, 3, -4, 4)]
CLEAR = 24.0  # from a mark's centre to its label


def place_labels(anchors, sizes, outward, marks, bounds):
    """Rectangles for the labels.

    Parameters
    ----------
    anchors : sequence of (x, y)
        Centres of the marks, px.
    sizes : sequence of (width, height)
    outward : sequence of -1 or 1
        Side each label would rather stand on.
    marks : ndarray (M, 4)
        left, top, right, bottom of what must stay free.
    bounds : (left, top, right, bottom)

    Returns
    -------
    list of (left, top, right, bottom) or None
        None where there is no room, or the mark is out of sight.
    """
    taken = np.empty((len(marks) + len(anchors), 4))
    taken[: len(marks)] = marks
    count = len(marks)
    found = [None] * len(anchors)
    # Crowded marks first would be best; from top to bottom is near it and steady.
    for i in sorted(range(len(anchors)), key=lambda i: (anchors[i][1], anchors[i][0])):
        x, y = anchors[i]
        if not (bounds[0] <= x <= bounds[2] and bounds[1] <= y <= bounds[3]):
            continue
        rect = _free(x, y, sizes[i], outward[i], taken[:count], bounds)
        if rect is not None:
            taken[count] = rect
            count += 1
            found[i] = rect
    return found


def _free(x, y, size, outward, taken, bounds):
    width, height = size
    for column, row in _TRIES:
        for side in (outward, -outward):
            shift = CLEAR + column * 0.6 * width
            left = x + shift if side > 0 else x - shift - width
            top = y - height / 2 + row * (height + 1)
            rect = (left, top, left + width, top + height)
            inside = (
                rect[0] >= bounds[0]
                and rect[1] >= bounds[1]
                and rect[2] <= bounds[2]
                and rect[3] <= bounds[3]
            )
            if inside and not _meets(rect, taken):
                return rect
    return None


def _meets(rect, taken):
    return bool(
        np.any(
            (taken[:, 0] < rect[2])
            & (taken[:, 2] > rect[0])
            & (taken[:, 1] < rect[3])
            & (taken[:, 3] > rect[1])
        )
    )
