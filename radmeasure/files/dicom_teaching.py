"""A film as DICOM without identity, made anew from its pixels and an allow-list.

PS3.15 Annex E, Basic Application Confidentiality Profile with the Clean Pixel Data Option:
a new data set is built rather than the old one scrubbed, so that what the program does not
know of (private groups, overlays, curves, icons, nested sequences) cannot get in.
"""

import hashlib
import hmac
import io
from datetime import date, timedelta

import numpy as np

from radmeasure.files.dicom_allowed import (
    COMPUTED,
    DETECTOR,
    SECONDARY,
    allowed,
    code_item,
    storage_class,
)
from radmeasure.files.raster import LOSSY
from radmeasure.model.tooth import Tooth

METHOD = "Made anew by allow-list, PS3.15 Basic Profile, Clean Pixels"
# CID 7050 (PS3.16), read in the 2024c dictionary.
_CODES = (
    ("113100", "Basic Application Confidentiality Profile"),
    ("113101", "Clean Pixel Data Option"),
)
_SHIFTED = ("113107", "Retain Longitudinal Temporal Information Modified Dates Option")
# Shifted dates lie this many days earlier: at least a year, at most eleven.
_LEAST_DAYS, _MORE_DAYS = 365, 3650


class Keyed:
    """Replacements that follow from a case's secret: the same every time, known to nobody else.

    Parameters
    ----------
    secret : str
        Known only to who has the case file.
    shift_dates : bool
        Dates are shifted by a constant of the case; otherwise they are removed.
    """

    def __init__(self, secret, shift_dates=False):
        self._key = secret.encode()
        self.shift_dates = shift_dates
        self.patient = f"TC-{self._digest('patient').hex()[:10].upper()}"

    def _digest(self, text):
        return hmac.new(self._key, text.encode(), hashlib.sha256).digest()

    def uid(self, original):
        """A UID of the UUID-derived root in place of ``original`` (PS3.5 B.2)."""
        return f"2.25.{int.from_bytes(self._digest(f'uid {original}')[:16], 'big')}"

    def date(self, iso):
        """An ISO date shifted by the case's constant; '' for none, or when dates are removed."""
        if not self.shift_dates or not iso:
            return ""
        days = _LEAST_DAYS + int.from_bytes(self._digest("days")[:4], "big") % _MORE_DAYS
        try:
            return (date.fromisoformat(iso) - timedelta(days=days)).isoformat()
        except ValueError:  # a visit by another name
            return ""


def masked(pixels, boxes):
    """A copy of ``pixels`` with every box (x, y, width, height; px) blanked."""
    pixels = np.array(pixels)
    for x, y, width, height in boxes:
        pixels[max(y, 0) : max(y + height, 0), max(x, 0) : max(x + width, 0)] = 0
    return pixels


def picture_bytes(pixels, bits):
    """A grey PNG of nothing but pixels; depths between 8 and 16 bit fill the upper bits."""
    from PIL import Image

    deep = 8 * pixels.dtype.itemsize
    out = io.BytesIO()
    Image.fromarray(pixels << (deep - bits)).save(out, "PNG")
    return out.getvalue()


def teaching_film(film, pixels, keyed, teeth=()):
    """The bytes of the DICOM copy.

    Parameters
    ----------
    film : Film
        With its original bytes.
    pixels : ndarray, shape (H, W)
        The film's pixels after masking; a person has looked at them.
    keyed : Keyed
    teeth : iterable of str
        Designations charted on the film: they tell its side when it does not itself.

    Returns
    -------
    bytes
        Explicit little endian; drawn grey for grey as the original is on opening.
    """
    from pydicom.dataset import Dataset, FileMetaDataset
    from pydicom.uid import ExplicitVRLittleEndian

    source = _source(film)
    taken = allowed(source, film.spacing is not None)
    ds = Dataset()
    ds.SpecificCharacterSet = "ISO_IR 192"
    ds.SOPClassUID = storage_class(source, taken)
    for keyword, value in taken.items():
        setattr(ds, keyword, value)
    _identity(ds, source, film, keyed)
    _kind(ds, source, film, teeth)
    _pixels(ds, film, pixels)
    ds.file_meta = FileMetaDataset()
    ds.file_meta.MediaStorageSOPClassUID = ds.SOPClassUID
    ds.file_meta.MediaStorageSOPInstanceUID = ds.SOPInstanceUID
    ds.file_meta.TransferSyntaxUID = ExplicitVRLittleEndian
    out = io.BytesIO()
    ds.save_as(out, enforce_file_format=True)
    return out.getvalue()


def _source(film):
    """The film's data set; an empty one of a picture file."""
    from pydicom.dataset import Dataset

    if film.kind != "DICOM":
        return Dataset()
    from radmeasure.files.dicom_read import parse_dicom

    return parse_dicom(film.raw)


def _identity(ds, source, film, keyed):
    """Patient, study and series: pseudonym, keyed UIDs, and what the standard wants marked."""
    from pydicom.sequence import Sequence

    ds.PatientName, ds.PatientID = f"Teaching^{keyed.patient}", keyed.patient
    for keyword in (
        "PatientBirthDate",
        "PatientSex",
        "StudyTime",
        "ReferringPhysicianName",
        "StudyID",
        "AccessionNumber",
        "Manufacturer",
        "ContentDate",
        "ContentTime",
    ):
        setattr(ds, keyword, "")
    for keyword in ("StudyInstanceUID", "SeriesInstanceUID", "SOPInstanceUID"):
        setattr(ds, keyword, keyed.uid(source.get(keyword) or f"{keyword} {film.sha256}"))
    ds.StudyDate = keyed.date(film.acquired).replace("-", "")
    if ds.StudyDate:
        ds.AcquisitionDate = ds.StudyDate
    ds.SeriesNumber = ds.InstanceNumber = 1
    ds.PatientIdentityRemoved, ds.BurnedInAnnotation = "YES", "NO"
    ds.DeidentificationMethod = METHOD
    codes = (*_CODES, _SHIFTED) if keyed.shift_dates else _CODES
    ds.DeidentificationMethodCodeSequence = Sequence([code_item(v, "DCM", m) for v, m in codes])
    ds.LongitudinalTemporalInformationModified = "MODIFIED" if keyed.shift_dates else "REMOVED"


def _side(teeth):
    """'R' or 'L' when all teeth lie there, '' otherwise."""
    sides = {Tooth(fdi).right for fdi in teeth}
    return ("R" if sides.pop() else "L") if len(sides) == 1 else ""


def _kind(ds, source, film, teeth):
    """What the copy's class asks for beyond what was taken over."""
    from pydicom.sequence import Sequence

    ds.ImageType = ["DERIVED", "PRIMARY", ""]
    ds.setdefault("PatientOrientation", "")
    if ds.SOPClassUID == SECONDARY:
        ds.ImageType = ["DERIVED", "SECONDARY"]
        ds.setdefault("Modality", "OT")
        ds.ConversionType = "WSD"
        side = ds.get("ImageLaterality")
        for keyword in DETECTOR:
            ds.pop(keyword, None)
        ds.setdefault("Laterality", side if side in ("R", "L") else _side(teeth))
    elif ds.SOPClassUID == COMPUTED:
        ds.BodyPartExamined = ds.ViewPosition = ""
        ds.setdefault("Laterality", _side(teeth))
    else:
        ds.PresentationIntentType = "FOR PRESENTATION"
        ds.setdefault("AnatomicRegionSequence", Sequence([]))
        ds.AcquisitionContextSequence = Sequence([])
        ds.setdefault("DetectorType", "")
        ds.RescaleIntercept, ds.RescaleSlope, ds.RescaleType = "0", "1", "US"
    lossy = LOSSY in film.notes or ds.get("LossyImageCompression") == "01"
    ds.LossyImageCompression = "01" if lossy else "00"
    if "PixelSpacingCalibrationType" in ds and source.get("PixelSpacingCalibrationDescription"):
        ds.PixelSpacingCalibrationDescription = "as stated in the original"
    if "PixelIntensityRelationshipSign" in ds and _turned_round(source, film):
        ds.PixelIntensityRelationshipSign = -ds.PixelIntensityRelationshipSign


def _turned_round(source, film):
    """Whether the film's pixels run the other way than the stored values."""
    from radmeasure.files.dicom_display import display_of

    bits, signed = int(source.BitsStored), source.get("PixelRepresentation") == 1
    table = display_of(source, bits, signed, lambda: (0, 1)).table
    return int(table[-1]) < int(table[0])


def _pixels(ds, film, pixels):
    """Pixels, larger is brighter, and the table they are drawn through as a VOI LUT."""
    from pydicom.dataset import Dataset
    from pydicom.sequence import Sequence

    deep = 8 * pixels.dtype.itemsize
    ds.SamplesPerPixel, ds.PhotometricInterpretation = 1, "MONOCHROME2"
    ds.PresentationLUTShape = "IDENTITY"
    ds.Rows, ds.Columns = pixels.shape
    ds.BitsAllocated, ds.BitsStored, ds.HighBit = deep, film.bits, film.bits - 1
    ds.PixelRepresentation = 0
    lut = Dataset()
    count = len(film.default_table)
    lut.add_new("LUTDescriptor", "US", [count % 65536, 0, 16])
    grey = film.default_table.astype("<u2") * 257  # 0-255 over 16 bit, exactly
    lut.add_new("LUTData", "OW", grey.astype("<u2").tobytes())
    ds.VOILUTSequence = Sequence([lut])
    data = pixels.astype(f"<u{deep // 8}").tobytes()
    ds.add_new("PixelData", "OB" if deep == 8 else "OW", data + b"\0" * (len(data) % 2))
