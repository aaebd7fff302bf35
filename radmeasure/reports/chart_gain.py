"""Tooth to be gained, on the level chart: where the bone's edge would then meet the root.

Bone taken and tooth drawn out come to the same on the root: its edge lies as much
further towards the apex.
"""

from radmeasure.reports.drawing import Handle, Path

# More than this no root gives up (common practice, no source).
MOST_GAIN_MM = 8.0
_BAR_MM = 1.1
_SIDES = (("mesial", 1), ("distal", -1))


def gain_of(evaluation, outline):
    """Gains of the root drawn, or None while its ferrule cannot be worked out."""
    if outline.whole:
        return None
    found = next((g for g in evaluation.gains if g.root == outline.root), None)
    return found if found is not None and not found.missing else None


def gain_shapes(outline, gained_mm, frame):
    """The bone's edge on both sides after gaining ``gained_mm``, dashed."""
    for place, sign in _crests(outline):
        ends = [(place[0] + out * sign, place[1] + gained_mm) for out in (-0.2, _BAR_MM)]
        yield Path(frame.path(ends), "crest_after", about="gain")


def gain_handle(outline, gains, frame):
    """On the side of the ruler, at the bone's edge; down the root is more."""
    crests = [
        frame.at((place[0] + _BAR_MM * sign, place[1] + gains.amount_mm))
        for place, sign in _crests(outline)
    ]
    if crests:
        down = (0.0, -1.0 if frame.apex_up else 1.0)
        amount = gains.amount_mm
        yield Handle("gain", max(crests), down, frame.per_mm, amount, 0.0, MOST_GAIN_MM)


def _crests(outline):
    found = [(outline.places.get(f"crest_{side}"), sign) for side, sign in _SIDES]
    return [(place, sign) for place, sign in found if place is not None]
