"""Films with identifiers planted in every corner, and the search for them.

All names are invented nonsense words. A search that finds nothing proves nothing, so the
tests first show that it finds every word in the originals.
"""

import base64
import io
import re
import struct
import zlib

import numpy as np
from made_films import (
    COMPUTED_RADIOGRAPHY,
    DIGITAL_X_RAY,
    INTRA_ORAL,
    INTRA_ORAL_RAW,
    SECONDARY_CAPTURE,
    code,
    dataset,
    encapsulated,
    file_bytes,
    picture,
)
from pydicom.dataset import Dataset
from pydicom.sequence import Sequence

from radmeasure.files.tooth_codes import code_of_tooth


class Words:
    """Invented identifiers, a new one each time."""

    def __init__(self):
        self.given = []

    def __call__(self):
        number = len(self.given)
        word = f"Qu{'aeiou'[number % 5]}x{'bdfgklmnprst'[number % 12]}ulny{number:03d}"
        self.given.append(word)
        return word


# -- DICOM ---------------------------------------------------------------------------------------

# SOP class, modality and what its IOD asks for beyond the made data set.
_XRAY = {
    "PositionerType": "NONE",
    "ImageLaterality": "R",
    "PatientOrientation": ["L", "F"],
    "ImagerPixelSpacing": [0.02, 0.02],
    "PixelIntensityRelationship": "LOG",
    "PixelIntensityRelationshipSign": -1,
    "PresentationLUTShape": "IDENTITY",
    "DetectorType": "SCINTILLATOR",
    "LossyImageCompression": "00",
}
IODS = {
    "intra-oral": (
        INTRA_ORAL,
        "IO",
        {**_XRAY, "PixelSpacing": [0.0187, 0.0187], "PixelSpacingCalibrationType": "FIDUCIAL"},
    ),
    "intra-oral raw": (INTRA_ORAL_RAW, "IO", {**_XRAY, "PresentationIntentType": "FOR PROCESSING"}),
    "digital x-ray": (DIGITAL_X_RAY, "DX", _XRAY),
    "digital x-ray raw": (
        DIGITAL_X_RAY + ".1",
        "DX",
        {**_XRAY, "PresentationIntentType": "FOR PROCESSING"},
    ),
    "computed": (COMPUTED_RADIOGRAPHY, "CR", {"PixelSpacing": [0.1, 0.1]}),
    "capture": (SECONDARY_CAPTURE, "OT", {}),
    "panoramic": (DIGITAL_X_RAY, "PX", {}),
}
_NAMES = "PatientName OtherPatientNames PatientBirthName ReferringPhysicianName OperatorsName"
_TEXTS = """PatientID PatientAddress PatientComments InstitutionName InstitutionAddress StationName
 StudyDescription SeriesDescription StudyID AccessionNumber ImageComments DeviceSerialNumber
 Manufacturer ManufacturerModelName SoftwareVersions ProtocolName DetectorID DetectorDescription
 PixelSpacingCalibrationDescription DerivationDescription AcquisitionDeviceProcessingDescription
 PerformedProcedureStepDescription RequestedProcedureDescription PatientInsurancePlanCodeSequence
 AdditionalPatientHistory"""


def planted_dicom(kind, words, coding="plain"):
    """Bytes of a film of a kind with planted words, as ``coding`` stores pictures."""
    sop_class, modality, more = IODS[kind]
    ds = dataset(sop_class=sop_class, modality=modality, **more)
    ds.PatientBirthDate, ds.PatientSex, ds.StudyDate = "19511203", "F", "20260102"
    for keyword in _NAMES.split():
        setattr(ds, keyword, f"{words()}^Ann")
    for keyword in _TEXTS.split():
        if keyword.endswith("Sequence"):
            setattr(ds, keyword, Sequence([code("1", "L", words())]))
        else:
            setattr(ds, keyword, words())
    _plant_nested(ds, words)
    _plant_groups(ds, words)
    ds.preamble = words().encode().ljust(128, b"\0")
    ds.file_meta.SourceApplicationEntityTitle = words()
    if coding == "jpeg lossless":
        ds = _jpeg_lossless(ds)
    return file_bytes(ds) + b"\0\0"


def _plant_nested(ds, words):
    """Inside sequences inside sequences, in code meanings, tables and identifiers."""
    inner = Dataset()
    inner.ScheduledProcedureStepDescription = words()
    inner.ScheduledProtocolCodeSequence = Sequence([code("2", "L", words())])
    ds.RequestAttributesSequence = Sequence([inner])
    tooth = code_of_tooth("11")
    ds.AnatomicRegionSequence = Sequence([code("70925003", "SCT", words())])
    ds.PrimaryAnatomicStructureSequence = Sequence([code(tooth.value, "SCT", words())])
    context = Dataset()
    context.ValueType, context.TextValue = "TEXT", words()
    ds.AcquisitionContextSequence = Sequence([context])
    lut = Dataset()
    lut.add_new("LUTDescriptor", "US", [4096, 0, 16])
    lut.LUTExplanation = words()
    lut.add_new("LUTData", "OW", (np.arange(4096) * 16).astype("<u2").tobytes())
    ds.VOILUTSequence = Sequence([lut])
    ds.ImageType = ["ORIGINAL", "PRIMARY", words().upper()]


def _plant_groups(ds, words):
    """Private blocks, overlay, curve, icon and padding."""
    block = ds.private_block(0x0011, words(), create=True)
    block.add_new(0x01, "LO", words())
    private = Dataset()
    private.add_new(0x00111002, "UN", words().encode() + b" ")
    block.add_new(0x02, "SQ", Sequence([private]))
    ds.add_new(0x60000010, "US", 8)
    ds.add_new(0x60000022, "LO", words())
    ds.add_new(0x60001500, "LO", words())
    ds.add_new(0x60003000, "OB", words().encode().ljust(16, b"\0"))
    ds.add_new(0x50000022, "LO", words())
    ds.add_new(0x50003000, "OW", words().encode().ljust(16, b"\0"))
    icon = Dataset()
    icon.add_new(0x7FE00010, "OB", words().encode().ljust(64, b"\0"))
    ds.IconImageSequence = Sequence([icon])
    ds.add_new(0xFFFCFFFC, "OB", words().encode() + b"\0")


def _jpeg_lossless(ds):
    from imagecodecs import jpeg8_encode

    frame = jpeg8_encode(picture(), bitspersample=12, lossless=True, predictor=1)
    return encapsulated(ds, [frame], "1.2.840.10008.1.2.4.70")


# -- picture files ---------------------------------------------------------------------------------


def exif(words):
    """An EXIF block with names."""
    from PIL import Image

    block = Image.Exif()
    for tag in (0x010E, 0x010F, 0x0110, 0x0131, 0x013B, 0x013C, 0x8298):
        block[tag] = words()
    more = block.get_ifd(0x8769)
    for tag in (0x9286, 0xA420, 0xA430, 0xA431, 0xA433, 0xA435):
        more[tag] = words()
    more[0x9003] = "2026:01:02 10:11:12"
    return block.tobytes()


def planted_png(words):
    """Text chunks of all three kinds, EXIF, a private chunk, and bytes after the end."""
    from PIL import Image, PngImagePlugin

    info = PngImagePlugin.PngInfo()
    for i in range(8):
        info.add_text(f"Key{i}", words())
        info.add_text(words(), "value", zip=bool(i % 2))
        info.add_itxt(f"Word{i}", words(), lang="en", zip=bool(i % 2))
    out = io.BytesIO()
    Image.fromarray(picture(bits=8)).save(out, "PNG", pnginfo=info, exif=exif(words))
    data = out.getvalue()
    body = words().encode()
    own = struct.pack(">I", len(body)) + b"prVt" + body
    own += struct.pack(">I", zlib.crc32(b"prVt" + body))
    return data[:33] + own + data[33:] + words().encode()


def planted_jpeg(words):
    """EXIF, comments, XMP, photo-shop-like segments, and bytes after the end."""
    from PIL import Image

    out = io.BytesIO()
    Image.fromarray(picture(bits=8)).save(out, "JPEG", quality=92, exif=exif(words))
    data = out.getvalue()
    parts = [(0xFE, words().encode()) for _ in range(12)]
    parts += [(0xE1, b"http://ns.adobe.com/xap/1.0/\0<x>%s</x>" % words().encode())]
    parts += [(0xE0 + n, words().encode()) for n in (2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 15)]
    segments = b"".join(struct.pack(">BBH", 0xFF, kind, len(b) + 2) + b for kind, b in parts)
    return data[:2] + segments + data[2:] + words().encode()


def planted_tiff(words):
    """Tags of every kind of text, private ones too, and XMP."""
    import tifffile

    # Software and date have places of their own; all others go as extra tags.
    tags = [(n, 2, 0, words(), True) for n in (269, 271, 272, 285, 315, 316, 337, 33432, 700)]
    tags += [(n, 2, 0, words(), True) for n in range(65000, 65030)]
    out = io.BytesIO()
    tifffile.imwrite(
        out, picture(), description=words(), software=words(), metadata=None, extratags=tags
    )
    return out.getvalue()


# -- the search ------------------------------------------------------------------------------------


def _spellings(word):
    """A word's bytes as they may stand in a file."""
    plain = word.encode()
    yield plain
    yield plain[::-1]
    yield word.encode("utf-16-le")
    yield word.encode("utf-16-be")
    yield plain.hex().encode()
    for shift in range(3):  # base64 has three ways to cut a text into groups
        coded = base64.b64encode(b"\0" * shift + plain)
        yield coded[4 if shift else 0 : len(coded) - 4]


def _unpacked(data):
    """Whatever in ``data`` unpacks as zlib, one after the other."""
    for match in re.finditer(rb"[\x08\x18\x28\x38\x48\x58\x68\x78]", data):
        head = data[match.start() : match.start() + 2]
        if len(head) == 2 and int.from_bytes(head, "big") % 31 == 0:
            try:
                yield zlib.decompressobj().decompress(data[match.start() :], 2**22)
            except zlib.error:
                continue


def found_in(blobs, words):
    """Those of ``words`` that stand in any of the blobs, in any spelling, packed or not."""
    everything = []
    for blob in blobs:
        everything += [blob, *_unpacked(blob)]
    haystack = b"\n".join(everything).lower()
    return [w for w in words if any(s.lower() in haystack for s in _spellings(w))]
