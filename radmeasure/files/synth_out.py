"""Writes synthetic films: PNG, JPEG, DICOM, landmark and truth files.

The same film gives the same bytes: dates and identifiers follow from its content.
"""

import hashlib
import io
import json
import uuid

import numpy as np

from radmeasure.files.landmarks_json import landmarks_text, landmarks_to
from radmeasure.files.tooth_codes import code_of_tooth

TRUTH_FORMAT, TRUTH_VERSION = "radmeasure.truth", 1
_IO_IMAGE = "1.2.840.10008.5.1.4.1.1.1.3"  # Digital Intra-Oral X-Ray, for presentation
_DATE, _TIME = "20260105", "090000"
_SPACE = uuid.UUID("5b1f3f4e-5d0f-4bb2-9c58-3f1f4a0c7d21")


def png_bytes(pixels, bits):
    """A grey PNG; depths between 8 and 16 bit fill the upper bits of 16."""
    from PIL import Image

    shown = pixels.astype(np.uint8) if bits == 8 else pixels << (16 - bits)
    out = io.BytesIO()
    Image.fromarray(shown).save(out, "PNG", optimize=True)
    return out.getvalue()


def jpeg_bytes(pixels, bits):
    """An 8-bit grey JPEG that says nothing of size or scale."""
    from PIL import Image

    out = io.BytesIO()
    Image.fromarray((pixels >> (bits - 8)).astype(np.uint8)).save(out, "JPEG", quality=88)
    return out.getvalue()


def truth_text(name, truth):
    """The truth file; it holds the landmark file under ``landmarks``."""
    data = {
        "format": TRUTH_FORMAT,
        "version": TRUTH_VERSION,
        "name": name,
        "tooth": truth.landmarks.tooth.fdi,
        "pitch_mm": truth.pitch_mm,
        "magnification": truth.magnification,
        "px_per_mm_along": truth.px_per_mm_along,
        "px_per_mm_across": truth.px_per_mm_across,
        "values": dict(truth.values),
        "profiles": {k: dict(v) for k, v in truth.profiles.items()},
        "landmarks": landmarks_to(truth.landmarks),
        "outlines": dict(truth.outlines),
    }
    return _compact(data)


def _compact(data):
    """JSON with one entry a line and its lists of numbers unbroken."""
    return (
        "{\n" + ",\n".join(f" {json.dumps(k)}: {json.dumps(v)}" for k, v in data.items()) + "\n}\n"
    )


def _uid(*parts):
    """A DICOM UID that follows from ``parts`` (PS3.5 B.2, UUID derived)."""
    return f"2.25.{uuid.uuid5(_SPACE, '/'.join(map(str, parts))).int}"


def _code(value, scheme, meaning):
    from pydicom.dataset import Dataset

    item = Dataset()
    item.CodeValue, item.CodingSchemeDesignator, item.CodeMeaning = value, scheme, meaning
    return item


def _identity(ds, name, digest):
    """Patient, study and series; the patient is a phantom."""
    ds.SpecificCharacterSet = "ISO_IR 192"
    ds.PatientName, ds.PatientID = f"Phantom^{name.capitalize()}", f"SYNTHETIC-{name.upper()}"[:64]
    ds.PatientBirthDate, ds.PatientSex = "", "O"
    ds.StudyInstanceUID = _uid("study", name, digest)
    ds.SeriesInstanceUID = _uid("series", name, digest)
    ds.SOPInstanceUID = _uid("image", name, digest)
    ds.StudyDate = ds.ContentDate = ds.AcquisitionDate = _DATE
    ds.StudyTime = ds.ContentTime = ds.AcquisitionTime = _TIME
    ds.ReferringPhysicianName = ds.AccessionNumber = ""
    ds.StudyID, ds.SeriesNumber, ds.InstanceNumber = "1", 1, 1
    ds.Manufacturer, ds.ManufacturerModelName = "radmeasure", "synthetic film"
    ds.DeviceSerialNumber, ds.SoftwareVersions = "0", "1"


def _anatomy(ds, tooth):
    """Which tooth, and which way the film lies (viewed from the front)."""
    from pydicom.sequence import Sequence

    region = ("70925003", "Maxilla") if tooth.upper else ("91609006", "Mandible")
    ds.AnatomicRegionSequence = Sequence([_code(region[0], "SCT", region[1])])
    named = code_of_tooth(tooth.fdi)
    ds.PrimaryAnatomicStructureSequence = Sequence([_code(named.value, "SCT", named.meaning)])
    ds.ImageLaterality = "R" if tooth.right else "L"
    across = "L" if tooth.position <= 3 else ("A" if tooth.right else "P")
    ds.PatientOrientation = [across, "F"]


def _exposure(ds, recipe, distances):
    ds.Modality, ds.PresentationIntentType = "IO", "FOR PRESENTATION"
    ds.ImageType = ["ORIGINAL", "PRIMARY", ""]
    ds.PositionerType = "NONE"
    ds.KVP = recipe.receptor.beam.split()[0]
    ds.DistanceSourceToDetector, ds.DistanceSourceToPatient = (f"{d:.1f}" for d in distances)
    ds.DetectorType = "SCINTILLATOR"
    ds.DetectorDescription = "simulated"
    pitch = recipe.receptor.pitch_um / 1000
    ds.ImagerPixelSpacing = [f"{pitch:g}", f"{pitch:g}"]
    ds.BurnedInAnnotation, ds.LossyImageCompression = "NO", "00"
    ds.ImageComments = "Synthetic film for teaching; not of a person"


def _pixels(ds, pixels, recipe):
    bits = recipe.receptor.bits
    ds.SamplesPerPixel, ds.PhotometricInterpretation = 1, "MONOCHROME2"
    ds.Rows, ds.Columns = pixels.shape
    ds.BitsAllocated, ds.BitsStored, ds.HighBit, ds.PixelRepresentation = 16, bits, bits - 1, 0
    log = recipe.receptor.response == "logarithmic"
    ds.PixelIntensityRelationship, ds.PixelIntensityRelationshipSign = "LOG" if log else "LIN", -1
    ds.RescaleIntercept, ds.RescaleSlope, ds.RescaleType = "0", "1", "US"
    ds.PresentationLUTShape = "IDENTITY"
    ds.WindowCenter, ds.WindowWidth = str(2 ** (bits - 1)), str(2**bits)
    ds.VOILUTFunction = "LINEAR"
    ds.PixelData = pixels.astype("<u2").tobytes()


def dicom_bytes(pixels, recipe, name, distances):
    """A Digital Intra-Oral X-Ray Image, for presentation.

    Parameters
    ----------
    pixels : ndarray, shape (H, W), uint16
    recipe : Recipe
    name : str
    distances : tuple of float
        Source to receptor and source to tooth, mm.
    """
    from pydicom.dataset import Dataset, FileMetaDataset
    from pydicom.sequence import Sequence
    from pydicom.uid import ExplicitVRLittleEndian

    ds = Dataset()
    digest = hashlib.sha256(pixels.tobytes()).hexdigest()
    ds.SOPClassUID = _IO_IMAGE
    _identity(ds, name, digest)
    _anatomy(ds, recipe.tooth)
    _exposure(ds, recipe, distances)
    _pixels(ds, pixels, recipe)
    ds.AcquisitionContextSequence = Sequence([])
    ds.file_meta = FileMetaDataset()
    ds.file_meta.MediaStorageSOPClassUID = _IO_IMAGE
    ds.file_meta.MediaStorageSOPInstanceUID = ds.SOPInstanceUID
    ds.file_meta.TransferSyntaxUID = ExplicitVRLittleEndian
    out = io.BytesIO()
    ds.save_as(out, enforce_file_format=True)
    return out.getvalue()


def film_files(pixels, recipe, name, truth, distances):
    """All files of a film as a mapping of file name to bytes or text."""
    bits = recipe.receptor.bits
    makers = {
        "png": (".png", lambda: png_bytes(pixels, bits)),
        "jpeg": (".jpg", lambda: jpeg_bytes(pixels, bits)),
        "dicom": (".dcm", lambda: dicom_bytes(pixels, recipe, name, distances)),
    }
    found = {name + makers[kind][0]: makers[kind][1]() for kind in recipe.formats}
    found[f"{name}.landmarks.json"] = landmarks_text(truth.landmarks) + "\n"
    found[f"{name}.truth.json"] = truth_text(name, truth)
    return found
