"""Which way a tooth points, from what is known of it."""

import numpy as np


def axis_of(marks, suggested, turned, upper):
    """Unit vector along the tooth on the screen, apical; straight up or down if unknown."""
    ends = []
    for wanted in ("coronal_reference", "apex"):
        points = []
        for source in (marks, suggested):
            if source is None or points:
                continue
            if wanted == "apex":
                points = [r.points["apex"] for r in source.roots.values() if "apex" in r.points]
            elif wanted in source.points:
                points = [source.points[wanted]]
        if points:
            shown = [turned.to_shown(p) for p in points]
            ends.append(np.mean(shown, axis=0))
    if len(ends) == 2:
        step = ends[1] - ends[0]
        length = float(np.hypot(*step))
        if length > 1:
            return (step[0] / length, step[1] / length)
    return (0.0, -1.0 if upper else 1.0)
