"""The references file: what was found on a film, sizes in px."""

import json

FORMAT, VERSION = "radmeasure.references", 1


def references_text(found):
    """The references file as text.

    Parameters
    ----------
    found : sequence of Found
    """
    rows = [
        {
            "kind": f.kind,
            "points": [[round(float(x), 3), round(float(y), 3)] for x, y in f.points],
            "size_px": round(float(f.size_px), 4),
            "u_size_px": round(float(f.u_size_px), 4),
            "confidence": round(float(f.confidence), 3),
        }
        for f in found
    ]
    return json.dumps({"format": FORMAT, "version": VERSION, "found": rows}, indent=1)
