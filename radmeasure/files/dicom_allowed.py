"""What of a DICOM film may go into a copy without identity: an allow-list, down to the values.

Nothing is copied because it looks harmless. An attribute is taken only when it stands here,
and only when its value is one of the words, codes or numbers the standard gives for it: a
name typed into a field that is meant for something else does not pass. Codes are written
with the meaning of the standard's dictionary, never with the file's own words.
"""

import math
import re

from radmeasure.files.tooth_codes import tooth_code

INTRA_ORAL = "1.2.840.10008.5.1.4.1.1.1.3"
DIGITAL_X_RAY = "1.2.840.10008.5.1.4.1.1.1.1"
COMPUTED = "1.2.840.10008.5.1.4.1.1.1"
SECONDARY = "1.2.840.10008.5.1.4.1.1.7"
# Raw films become films for presentation: the copy states how it is to be drawn.
_CLASS = {
    INTRA_ORAL: INTRA_ORAL,
    INTRA_ORAL + ".1": INTRA_ORAL,
    DIGITAL_X_RAY: DIGITAL_X_RAY,
    DIGITAL_X_RAY + ".1": DIGITAL_X_RAY,
    COMPUTED: COMPUTED,
}
# What a class cannot do without; a film that lacks it is copied as a secondary capture.
_NEEDED = {
    INTRA_ORAL: (
        "PositionerType",
        "ImageLaterality",
        "PatientOrientation",
        "AnatomicRegionSequence",
        "ImagerPixelSpacing",
        "PixelIntensityRelationship",
        "PixelIntensityRelationshipSign",
    ),
    DIGITAL_X_RAY: (
        "ImageLaterality",
        "PatientOrientation",
        "ImagerPixelSpacing",
        "PixelIntensityRelationship",
        "PixelIntensityRelationshipSign",
    ),
    COMPUTED: (),
}
_REGIONS, _MODIFIERS = ("cid4016", "cid4017")


def _words(*known):
    """A code string that is one of these."""

    def take(value):
        text = str(value).strip().upper()
        return text if text in known else None

    return take


def _numbers(count):
    """Decimal strings: this many positive finite numbers."""

    def take(value):
        from pydicom.valuerep import format_number_as_ds

        try:
            found = [float(v) for v in ([value] if isinstance(value, int | float) else value)]
        except (TypeError, ValueError):
            return None
        if len(found) != count or not all(math.isfinite(v) and v > 0 for v in found):
            return None
        texts = [format_number_as_ds(v) for v in found]
        return texts if count > 1 else texts[0]

    return take


def _sign(value):
    return value if value in (1, -1) else None


def _orientation(value):
    letters = [str(v).strip().upper() for v in value] if not isinstance(value, str) else []
    ok = len(letters) == 2 and all(re.fullmatch("[LRAPHF]{1,3}", v) for v in letters)
    return letters if ok else None


def _teeth(sequence):
    """Tooth codes of our table, as the table words them; None when any other is among them."""
    found = []
    for item in sequence:
        value = str(item.get("CodeValue") or item.get("LongCodeValue") or "").strip()
        known = tooth_code(str(item.get("CodingSchemeDesignator") or "").strip(), value)
        if known is None:
            return None
        found.append(code_item(known.value, known.scheme, known.meaning))
    return _sequence(found) if found else None


def _region(sequence):
    """Jaw, or teeth and gums (CID 4016), with its modifier (CID 4017), as the standard words it."""
    if len(sequence) != 1:
        return None
    item = _known_code(sequence[0], _REGIONS)
    if item is None:
        return None
    modifiers = [_known_code(m, _MODIFIERS) for m in _items(sequence[0], "AnatomicRegionModifier")]
    if None in modifiers:
        return None
    if modifiers:
        item.AnatomicRegionModifierSequence = _sequence(modifiers)
    return _sequence([item])


def _items(dataset, name):
    return dataset.get(name + "Sequence") or ()


def _known_code(item, context):
    """The item anew from a context group of the standard's dictionary, or None."""
    from pydicom.sr.codedict import Code, codes

    value, scheme = (str(item.get(k) or "") for k in ("CodeValue", "CodingSchemeDesignator"))
    try:
        wanted = Code(value, scheme, "")
        group = getattr(codes, context)
        for known in (getattr(group, name) for name in group.dir()):
            if known == wanted:
                return code_item(known.value, known.scheme_designator, known.meaning)
    except Exception:  # a scheme the dictionary does not know
        return None
    return None


def code_item(value, scheme, meaning):
    """A code sequence item."""
    from pydicom.dataset import Dataset

    item = Dataset()
    item.CodeValue, item.CodingSchemeDesignator = value, scheme
    item.CodeMeaning = meaning[:64]
    return item


def _sequence(items):
    from pydicom.sequence import Sequence

    return Sequence(items)


_PROJECTIONS = ("IO", "DX", "CR", "RG", "PX", "XA", "RF", "MG", "OT", "SC", "DG", "HC")
_OTHERS = ("CT", "MR", "PT", "NM", "US", "OPT", "OCT", "SM", "ES", "IVOCT", "IVUS", "GM", "XC")
_METHODS = ("ISO_10918_1", "ISO_14495_1", "ISO_15444_1")

ALLOWED = {
    "Modality": _words(*_PROJECTIONS, *_OTHERS),
    "ImageLaterality": _words("R", "L", "B"),
    "Laterality": _words("R", "L"),
    "PatientOrientation": _orientation,
    "AnatomicRegionSequence": _region,
    "PrimaryAnatomicStructureSequence": _teeth,
    "PositionerType": _words("NONE", "CEPHALOSTAT", "RIGID", "CARM", "COLUMN"),
    "DetectorType": _words("DIRECT", "SCINTILLATOR", "STORAGE", "FILM"),
    "PixelIntensityRelationship": _words("LIN", "LOG", "DISP"),
    "PixelIntensityRelationshipSign": _sign,
    "LossyImageCompression": _words("00", "01"),
    "LossyImageCompressionRatio": _numbers(1),
    "LossyImageCompressionMethod": _words(*_METHODS),
}
# No part of a secondary capture.
DETECTOR = (
    "ImageLaterality",
    "PositionerType",
    "DetectorType",
    "PixelIntensityRelationship",
    "PixelIntensityRelationshipSign",
)
# Taken only when the program found the film's spacing consistent.
SPACING = {
    "ImagerPixelSpacing": _numbers(2),
    "PixelSpacing": _numbers(2),
    "PixelSpacingCalibrationType": _words("GEOMETRY", "FIDUCIAL"),
    "NominalScannedPixelSpacing": _numbers(2),
    "EstimatedRadiographicMagnificationFactor": _numbers(1),
}


def allowed(source, spacing):
    """Attributes of a film that may be copied, with values of the standard only.

    Parameters
    ----------
    source : pydicom.Dataset
    spacing : bool
        Whether the film's spacing is consistent and may be copied.

    Returns
    -------
    dict of keyword to value
    """
    taken = {}
    for keyword, take in {**ALLOWED, **(SPACING if spacing else {})}.items():
        value = source.get(keyword)
        if value is None or value == "" or (hasattr(value, "__len__") and not len(value)):
            continue
        value = take(value)
        if value is not None:
            taken[keyword] = value
    return taken


def storage_class(source, taken):
    """SOP class of the copy: the film's own when the copy can be a whole one, else a capture."""
    found = _CLASS.get(str(source.get("SOPClassUID") or ""))
    if found is None or any(keyword not in taken for keyword in _NEEDED[found]):
        return SECONDARY
    if found == INTRA_ORAL:
        region = taken["AnatomicRegionSequence"][0]
        if ("AnatomicRegionModifierSequence" in region) == (
            "PrimaryAnatomicStructureSequence" in taken
        ):
            return SECONDARY  # exactly one of them names the place (PS3.3 C.8.19.6, memory)
    return found
