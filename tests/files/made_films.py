"""Films made at test time: a small picture of tooth-like shapes in every encoding.

Invented pixels, no people. What dcmtk can encode is encoded by dcmtk, so that
our decoders meet an encoder that is not theirs.
"""

import io
import shutil
import struct
import subprocess

import numpy as np
from pydicom.dataset import Dataset, FileMetaDataset
from pydicom.encaps import encapsulate
from pydicom.sequence import Sequence
from pydicom.uid import (
    ExplicitVRLittleEndian,
    JPEG2000Lossless,
    JPEGLossless,
    generate_uid,
)

INTRA_ORAL = "1.2.840.10008.5.1.4.1.1.1.3"
INTRA_ORAL_RAW = "1.2.840.10008.5.1.4.1.1.1.3.1"
DIGITAL_X_RAY = "1.2.840.10008.5.1.4.1.1.1.1"
COMPUTED_RADIOGRAPHY = "1.2.840.10008.5.1.4.1.1.1"
SECONDARY_CAPTURE = "1.2.840.10008.5.1.4.1.1.7"


def picture(height=96, width=72, bits=12, seed=1):
    """Grey values of two tooth-like shapes with a canal and noise; dense is bright."""
    rng = np.random.default_rng(seed)
    down, across = np.mgrid[0:height, 0:width] / np.array([height, width]).reshape(2, 1, 1)
    grey = 0.15 + 0.3 * (down > 0.45 + 0.03 * np.sin(9 * across))
    for centre in (0.28, 0.7):
        half = 0.13 - 0.08 * down
        grey = np.where((abs(across - centre) < half) & (down > 0.1) & (down < 0.9), 0.65, grey)
        grey = np.where((abs(across - centre) < 0.02) & (down > 0.2) & (down < 0.88), 0.5, grey)
    grey = np.clip(grey + rng.normal(0, 0.02, grey.shape) + 0.1 * across, 0, 1)
    return np.round(grey * (2**bits - 1)).astype(np.uint8 if bits <= 8 else np.uint16)


def code(value, scheme, meaning="made"):
    """A code sequence item."""
    item = Dataset()
    item.CodeValue, item.CodingSchemeDesignator, item.CodeMeaning = value, scheme, meaning
    return item


def dataset(pixels=None, bits=12, sop_class=INTRA_ORAL, modality="IO", **attributes):
    """A data set around ``pixels``; an attribute given as None is left out."""
    pixels = picture(bits=bits) if pixels is None else pixels
    made = Dataset()
    made.file_meta = FileMetaDataset()
    made.file_meta.MediaStorageSOPClassUID = sop_class
    made.file_meta.MediaStorageSOPInstanceUID = generate_uid(prefix=None)
    made.file_meta.TransferSyntaxUID = ExplicitVRLittleEndian
    made.SOPClassUID = sop_class
    made.SOPInstanceUID = made.file_meta.MediaStorageSOPInstanceUID
    made.StudyInstanceUID, made.SeriesInstanceUID = generate_uid(None), generate_uid(None)
    made.Modality = modality
    made.PatientName, made.PatientID = "Made^Film", "M-1"
    made.PresentationIntentType = "FOR PRESENTATION"
    made.AcquisitionDate = "20260102"
    made.SamplesPerPixel = 3 if pixels.ndim == 3 else 1
    made.PhotometricInterpretation = "RGB" if pixels.ndim == 3 else "MONOCHROME2"
    if pixels.ndim == 3:
        made.PlanarConfiguration = 0
    made.Rows, made.Columns = pixels.shape[:2]
    made.BitsAllocated = 8 * pixels.dtype.itemsize
    made.BitsStored, made.HighBit = bits, bits - 1
    made.PixelRepresentation = int(pixels.dtype.kind == "i")
    data = pixels.astype(pixels.dtype.newbyteorder("<")).tobytes()
    made.PixelData = data + b"\x00" * (len(data) % 2)
    made["PixelData"].VR = "OB" if made.BitsAllocated == 8 else "OW"
    for keyword, value in attributes.items():
        if value is None:
            if keyword in made:
                delattr(made, keyword)
        else:
            setattr(made, keyword, value)
    return made


def teeth(*codes):
    """Attributes naming teeth by (scheme, code) pairs."""
    items = [code(value, scheme) for scheme, value in codes]
    return {"PrimaryAnatomicStructureSequence": Sequence(items)}


def file_bytes(made):
    """The bytes of a DICOM file with preamble."""
    out = io.BytesIO()
    made.save_as(out, enforce_file_format=True)
    return out.getvalue()


def encapsulated(made, frames, syntax, **attributes):
    """A copy of a data set whose pixels are ``frames``, coded by ``syntax``."""
    made.PixelData = encapsulate(list(frames), has_bot=len(frames) > 1)
    made["PixelData"].VR = "OB"
    made["PixelData"].is_undefined_length = True
    made.file_meta.TransferSyntaxUID = syntax
    for keyword, value in attributes.items():
        setattr(made, keyword, value)
    return made


def dcmtk(tool, *arguments):
    """Run one of dcmtk's tools; a machine that tests has them (apt package dcmtk)."""
    path = shutil.which(tool)
    assert path, f"{tool} is missing: install the Debian package dcmtk"
    done = subprocess.run([path, *map(str, arguments)], capture_output=True, text=True)
    assert done.returncode == 0, f"{tool}: {done.stderr}"
    return done


# Name of an encoding: dcmtk's tool and options, and the depths it is tried in.
DCMTK_ENCODINGS = {
    "explicit little": ("dcmconv", ("+te",), (8, 12, 16)),
    "implicit little": ("dcmconv", ("+ti",), (8, 12, 16)),
    "explicit big": ("dcmconv", ("+tb",), (8, 12, 16)),
    "deflated": ("dcmconv", ("+td",), (8, 12, 16)),
    "run length": ("dcmcrle", (), (8, 12, 16)),
    "jpeg baseline": ("dcmcjpeg", ("+eb", "+q", "95"), (8,)),
    "jpeg extended": ("dcmcjpeg", ("+ee", "+q", "95"), (8, 12)),
    "jpeg lossless first order": ("dcmcjpeg", ("+e1",), (8, 10, 12, 14, 16)),
    **{
        f"jpeg lossless predictor {n}": ("dcmcjpeg", ("+el", "+sv", str(n)), (8, 12, 16))
        for n in range(1, 8)
    },
    "jpeg-ls lossless": ("dcmcjpls", ("+el",), (8, 12, 16)),
    "jpeg-ls near lossless": ("dcmcjpls", ("+en", "+md", "2"), (8, 12, 16)),
}
LOSSY = {"jpeg baseline", "jpeg extended", "jpeg-ls near lossless"}


def encoded_by_dcmtk(name, bits, folder, **attributes):
    """Path of the picture in ``bits`` bits, encoded by dcmtk."""
    tool, options, _ = DCMTK_ENCODINGS[name]
    plain, coded = folder / "plain.dcm", folder / "coded.dcm"
    plain.write_bytes(file_bytes(dataset(bits=bits, **attributes)))
    dcmtk(tool, *options, plain, coded)
    return coded


def jpeg_2000(pixels, bits, lossless=True):
    from imagecodecs import jpeg2k_encode

    level = 0 if lossless else 60
    return jpeg2k_encode(
        pixels, level=level, reversible=lossless, codecformat="j2k", bitspersample=bits
    )


def high_throughput(pixels):
    from imagecodecs import htj2k_encode

    return htj2k_encode(pixels, reversible=True)


def png(pixels, **options):
    """PNG bytes by pillow (grey 8 or 16 bit, RGB, ...)."""
    from PIL import Image

    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "PNG", **options)
    return out.getvalue()


def jpeg(pixels, **options):
    """JPEG bytes by pillow."""
    from PIL import Image

    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "JPEG", **options)
    return out.getvalue()


def tiff(pixels, **options):
    """TIFF bytes by tifffile."""
    import tifffile

    out = io.BytesIO()
    tifffile.imwrite(out, pixels, **options)
    return out.getvalue()


def huge_png(width=60_000, height=60_000):
    """A PNG whose header states a size that nobody should try to decode."""
    import zlib

    def chunk(kind, body):
        checksum = zlib.crc32(body, zlib.crc32(kind))
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", checksum)

    header = struct.pack(">IIBBBBB", width, height, 16, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + chunk(b"IDAT", zlib.compress(b"\x00" * 1000))
        + chunk(b"IEND", b"")
    )


def every_kind():
    """One film in each kind of file the program opens: name -> (bytes, grey values or None).

    Made without outside tools, for damaging; grey values are None for lossy ones.
    """
    from imagecodecs import jpeg8_encode, jpegls_encode

    deep, flat = picture(), picture(bits=8)
    colour = np.stack([flat, flat // 2, 255 - flat], -1)
    films = {"dicom explicit": (file_bytes(dataset(deep)), deep)}
    for name, options in {
        "dicom implicit": {"implicit_vr": True, "little_endian": True},
        "dicom big endian": {"implicit_vr": False, "little_endian": False},
    }.items():
        films[name] = (_rewritten(dataset(deep), **options), deep)
    films["dicom deflated"] = (_deflated(dataset(deep)), deep)
    films["dicom run length"] = (_run_length(deep), deep)
    for name, frame, syntax, kept, bits in (
        ("jpeg baseline", jpeg(flat, quality=90), "1.2.840.10008.1.2.4.50", None, 8),
        (
            "jpeg 12 bit",
            jpeg8_encode(deep, 90, bitspersample=12),
            "1.2.840.10008.1.2.4.51",
            None,
            12,
        ),
        ("jpeg lossless", _jpeg_lossless(deep, 6), "1.2.840.10008.1.2.4.57", deep, 12),
        ("jpeg lossless sv1", _jpeg_lossless(deep, 1), JPEGLossless, deep, 12),
        ("jpeg-ls", jpegls_encode(deep, 0), "1.2.840.10008.1.2.4.80", deep, 12),
        ("jpeg-ls near", jpegls_encode(deep, 2), "1.2.840.10008.1.2.4.81", None, 12),
        ("jpeg 2000", jpeg_2000(deep, 12), JPEG2000Lossless, deep, 12),
        ("jpeg 2000 lossy", jpeg_2000(deep, 12, False), "1.2.840.10008.1.2.4.91", None, 12),
        ("htj2k", high_throughput(deep), "1.2.840.10008.1.2.4.201", deep, 16),
    ):
        pixels = flat if bits == 8 else deep
        films["dicom " + name] = (
            file_bytes(encapsulated(dataset(pixels, bits=bits), [frame], syntax)),
            kept,
        )
    films["dicom colour"] = (file_bytes(dataset(colour, bits=8, sop_class=SECONDARY_CAPTURE)), None)
    films["dicom two frames"] = (
        file_bytes(dataset(deep, NumberOfFrames=2, PixelData=2 * deep.astype("<u2").tobytes())),
        deep,
    )
    films |= {
        "png 8 bit": (png(flat), flat),
        "png 16 bit": (png(deep), deep),
        "png colour": (png(colour), None),
        "jpeg": (jpeg(flat, quality=92), None),
        "jpeg progressive": (jpeg(flat, quality=92, progressive=True), None),
        "jpeg colour": (jpeg(colour, quality=92), None),
        "tiff": (tiff(deep), deep),
        "tiff big endian": (tiff(deep, byteorder=">"), deep),
        "tiff lzw": (tiff(deep, compression="lzw", rowsperstrip=16), deep),
        "tiff deflate tiles": (tiff(deep, compression="deflate", tile=(32, 32)), deep),
        "tiff packbits": (tiff(flat, compression="packbits"), flat),
        "tiff jpeg": (tiff(flat, compression="jpeg"), None),
        "tiff colour": (tiff(colour, photometric="rgb"), None),
    }
    return films


def _jpeg_lossless(pixels, predictor):
    from imagecodecs import jpeg8_encode

    return jpeg8_encode(pixels, bitspersample=12, lossless=True, predictor=predictor)


def _rewritten(made, implicit_vr, little_endian):
    from pydicom.uid import ExplicitVRBigEndian, ImplicitVRLittleEndian

    made.file_meta.TransferSyntaxUID = (
        ImplicitVRLittleEndian if implicit_vr else ExplicitVRBigEndian
    )
    if not little_endian:
        made.PixelData = np.frombuffer(made.PixelData, "<u2").astype(">u2").tobytes()
    out = io.BytesIO()
    made.save_as(
        out, implicit_vr=implicit_vr, little_endian=little_endian, enforce_file_format=True
    )
    return out.getvalue()


def _deflated(made):
    from pydicom.uid import DeflatedExplicitVRLittleEndian

    made.file_meta.TransferSyntaxUID = DeflatedExplicitVRLittleEndian
    return file_bytes(made)


def _run_length(pixels):
    from pydicom.uid import RLELossless

    made = dataset(pixels)
    made.compress(RLELossless, encoding_plugin="pydicom")
    return file_bytes(made)
