"""A synthetic film for tests."""

# Coarse and small, so that it is drawn in a second.
SMALL = {
    "tooth": "21",
    "neighbours": False,
    "filling": {"short_mm": 3.0},
    "sphere": {},
    "receptor": {"size": "0", "pitch_um": 100.0},
}
