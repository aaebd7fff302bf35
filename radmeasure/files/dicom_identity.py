"""What a DICOM film says of itself: its teeth, its date, which way up it is."""

import re
from datetime import date

from radmeasure.files.tooth_codes import tooth_code
from radmeasure.model.tooth import Tooth

# The moment of exposure first, then what stands nearest to it.
_DATES = (
    "AcquisitionDateTime",
    "AcquisitionDate",
    "ContentDate",
    "SeriesDate",
    "StudyDate",
)
_FRONT = {"incisor", "canine"}
_FORWARD_RIGHT = {"L": 1, "R": -1, "A": 1, "P": -1}
_FORWARD_LEFT = {"L": 1, "R": -1, "P": 1, "A": -1}
_UNKNOWN_SIDE = {"L": 1, "R": -1}
_DOWN = {"F": 1, "H": -1}


def teeth_of(dataset):
    """Teeth named by the Primary Anatomic Structure Sequence.

    Parameters
    ----------
    dataset : pydicom.Dataset

    Returns
    -------
    teeth : tuple of str
        ISO 3950 designations in the order of the file.
    notes : list of str
    """
    teeth, notes = [], []
    for item in dataset.get("PrimaryAnatomicStructureSequence") or ():
        value = str(item.get("CodeValue") or item.get("LongCodeValue") or "").strip()
        found = tooth_code(str(item.get("CodingSchemeDesignator") or "").strip(), value)
        if found is None:
            notes.append("the file names a tooth or structure by a code the program does not know")
            continue
        if found.use == "either dentition":
            notes.append(
                f"tooth {found.fdi} is named by an older code, which may also mean its primary"
                " predecessor"
            )
        if found.fdi not in teeth:
            teeth.append(found.fdi)
    notes += _side_notes(dataset, teeth)
    return tuple(teeth), notes


def _side_notes(dataset, teeth):
    side = str(dataset.get("ImageLaterality") or dataset.get("Laterality") or "").strip()
    if side in ("L", "R") and any(Tooth(fdi).right != (side == "R") for fdi in teeth):
        words = "right" if side == "R" else "left"
        return [f"the file names tooth {', '.join(teeth)} but the patient's {words} side"]
    return []


def acquired_on(dataset):
    """ISO date of the exposure as far as the file states one, else ''."""
    for keyword in _DATES:
        digits = re.match(r"(\d{4})[.\-]?(\d\d)[.\-]?(\d\d)", str(dataset.get(keyword) or ""))
        if digits:
            try:
                return date(*(int(part) for part in digits.groups())).isoformat()
            except ValueError:
                continue
    return ""


def view_of(dataset, teeth):
    """How the picture must be turned to be seen as usual: from the front, head up.

    Films are looked at from in front of the patient (patient's right on the
    viewer's left; common practice, no source). Patient Orientation (0020,0020)
    gives the directions in which columns and rows run.

    Parameters
    ----------
    dataset : pydicom.Dataset
    teeth : tuple of str
        ISO 3950 designations, which tell the side of the mouth.

    Returns
    -------
    turns : int
        Quarter turns clockwise, 0 or 2.
    mirrored : bool
        Mirrored left to right after turning.
    notes : list of str
    """
    letters = [str(v).strip().upper() for v in _pair(dataset.get("PatientOrientation"))]
    if not all(letters):
        return 0, False, []
    across = _across(dataset, teeth).get(letters[0][0])
    down = _DOWN.get(letters[1][0])
    if across is None and down is None:
        return 0, False, ["the file gives an orientation that does not fit a film of teeth"]
    turns, mirrored = _turns(across, down)
    if not turns and not mirrored:
        return 0, False, []
    how = {(2, False): "upside down", (0, True): "mirrored", (2, True): "flipped top to bottom"}
    return turns, mirrored, [f"the file says that the picture is {how[turns, mirrored]}"]


def _turns(across, down):
    """Half turn and mirroring that bring columns to run forward and rows to run down."""
    flip_x, flip_y = across == -1, down == -1
    if flip_y:  # turning by half flips both, so mirroring undoes what was not wanted
        return 2, across is not None and not flip_x
    return 0, flip_x


def _across(dataset, teeth):
    """Direction letters along the arch that run to the viewer's right (+1) or left (-1)."""
    sides = {Tooth(fdi).right for fdi in teeth}
    stated = str(dataset.get("ImageLaterality") or "").strip()
    if not sides and stated in ("R", "L"):
        sides = {stated == "R"}
    if len(sides) != 1:
        return _UNKNOWN_SIDE
    return _FORWARD_RIGHT if sides == {True} else _FORWARD_LEFT


def _pair(value):
    if value is None or isinstance(value, (str, bytes)) or len(value) != 2:
        return ("", "")
    return tuple(value)
