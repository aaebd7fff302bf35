"""What a person saw burned into films: boxes to blank in a teaching copy, from a JSON file."""

from radmeasure.errors import InputError
from radmeasure.files.landmarks_json import check_version
from radmeasure.files.text import read_json
from radmeasure.model.landmarks_json import checked

FORMAT, VERSION = "radmeasure.masks", 1


def read_masks(path):
    """Boxes by film: its file name or its id in the case.

    Returns
    -------
    dict of str to tuple of (x, y, width, height)
        Whole pixels, (0, 0) the top-left one; no box where nothing is burned in.

    Raises
    ------
    InputError
        Names the entry that is wrong.
    """
    data = checked(read_json(path, "mask file"), "the mask file", ("format", "version", "films"))
    if data.get("format") != FORMAT:
        raise InputError(f"format is {data.get('format')!r}", f"expected {FORMAT!r}")
    check_version(data, VERSION)
    films = checked(data.get("films"), "films")
    return {name: boxes(found, f"films {name!r}") for name, found in films.items()}


def boxes(found, entry):
    """Boxes of one film, checked."""
    if not isinstance(found, list | tuple):
        raise InputError(f"{entry} is not a list of boxes", "give [[x, y, width, height], ...]")
    return tuple(_box(box, f"{entry}[{i}]") for i, box in enumerate(found))


def _box(box, entry):
    whole = (
        isinstance(box, list | tuple)
        and len(box) == 4
        and all(isinstance(v, int) and not isinstance(v, bool) for v in box)
    )
    if not whole or box[2] < 1 or box[3] < 1:
        raise InputError(
            f"{entry} is no box: {box!r:.60}", "give [x, y, width, height] in whole px"
        )
    return tuple(box)
