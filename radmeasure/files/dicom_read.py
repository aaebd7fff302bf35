"""DICOM file -> Film."""

import io
import zlib

import numpy as np

from radmeasure.errors import FilmError
from radmeasure.files.dicom_display import Display, display_of, spanning, stored_range
from radmeasure.files.dicom_identity import acquired_on, teeth_of, view_of
from radmeasure.files.dicom_pixels import first_picture, pixel_header
from radmeasure.files.dicom_spacing import aspect_ratio, spacing_verdict
from radmeasure.files.film_grey import grey_of, ramp, read_only
from radmeasure.files.film_jpeg import cut_short
from radmeasure.files.film_limits import MAX_DECODED_BYTES
from radmeasure.model.film import Film

# Modalities whose pictures are slices or surfaces, not projections (PS3.3 C.7.3.1.1.1, memory).
_NO_PROJECTION = {"CT", "MR", "PT", "NM", "US", "OPT", "OCT", "SM", "ES", "IVOCT", "IVUS", "GM"}
# Values from this size on are not copied when a file is parsed.
LARGE_BYTES = 1 << 20
_HEAD_BYTES = 1 << 16
# Pixels are taken as square; beyond this, angles and ratios would be wrong.
MAX_ASPECT_ERROR = 0.01
# Films deflate to a half or a quarter; a file far smaller than what it unpacks to is a trap.
MAX_DEFLATE_RATIO, _SMALL_BYTES = 20, 64 * 2**20
_EXPLICIT, _DEFLATED = b"1.2.840.10008.1.2.1", b"1.2.840.10008.1.2.1.99"


def read_dicom(data, name):
    """Open a DICOM film from its bytes.

    Parameters
    ----------
    data : bytes or memoryview of bytes
    name : str

    Returns
    -------
    Film

    Raises
    ------
    FilmError
    """
    plain = _inflated(data, name)
    dataset = parse_dicom(plain)
    _check_picture(dataset, name)
    _check_end(dataset, plain, name)
    header = pixel_header(dataset, name)
    notes = _kind_notes(dataset, header, name)
    picture = first_picture(dataset, header, name)
    if header.colour or picture.ndim == 3:
        pixels, bits, table = _colour(picture, notes)
    else:
        pixels, bits, table = _grey(dataset, header, picture, notes)
    return _film(dataset, pixels, bits, table, notes, data, name)


def display_of_film(film):
    """The steps by which an opened film is drawn, for a presentation state; None for colour.

    Parameters
    ----------
    film : Film
        With its original bytes.

    Returns
    -------
    Display or None
    """
    if film.kind != "DICOM":
        lowest, highest = (0, 255) if film.bits == 8 else (film.pixels.min(), film.pixels.max())
        return Display(film.default_table, voi=spanning(lowest, highest))
    dataset = parse_dicom(_inflated(film.raw, film.name))
    header = pixel_header(dataset, film.name)
    if not header.photometric.startswith("MONOCHROME"):
        return None
    picture = first_picture(dataset, header, film.name)
    return display_of(dataset, header.stored, header.signed, lambda: _extremes(dataset, picture))


class _Values(io.BytesIO):
    """Bytes to parse; a picture is handed out as it lies there, without a copy.

    Copying 50 MB would hold up every other thread of the program for 100 ms.
    """

    def __init__(self, data):
        self._whole = memoryview(data)
        super().__init__(self._whole[:_HEAD_BYTES])  # a copy, of which small values are read

    def read(self, size=-1):
        start = self.tell()
        end = len(self._whole) if size is None or size < 0 else start + size
        if end <= _HEAD_BYTES:
            return super().read(size)
        part = self._whole[start:end]
        super().seek(start + len(part))
        return part if len(part) >= LARGE_BYTES else bytes(part)

    def seek(self, offset, whence=io.SEEK_SET):
        if whence == io.SEEK_END:
            offset, whence = len(self._whole) + offset, io.SEEK_SET
        return super().seek(offset, whence)


def parse_dicom(data):
    """Data set of a DICOM file's bytes, its values unchecked.

    Parameters
    ----------
    data : bytes or memoryview of bytes
        Not deflated.

    Returns
    -------
    pydicom.FileDataset
    """
    from pydicom import config, dcmread

    with config.disable_value_validation():
        dataset = dcmread(_Values(data), force=True)
    if not dataset.file_meta.get("TransferSyntaxUID"):
        dataset.file_meta.TransferSyntaxUID = _guessed_syntax(dataset)
        dataset.syntax_was_guessed = True
    return dataset


def _guessed_syntax(dataset):
    """The plain syntax in which pydicom could read a data set that states none."""
    implicit, little = dataset.original_encoding
    if not little:
        return "1.2.840.10008.1.2.2"
    return "1.2.840.10008.1.2" if implicit else _EXPLICIT.decode()


def _inflated(data, name):
    """A deflated file as an ordinary one; pydicom would unpack it without any bound."""
    if _DEFLATED not in bytes(data[:4096]):
        return data
    data = bytes(data)
    if data[132:138] != b"\x02\x00\x00\x00UL":
        raise FilmError(f"{name} has a damaged header", "copy the film again from its source")
    start = 144 + int.from_bytes(data[140:144], "little")
    most = min(MAX_DECODED_BYTES, max(_SMALL_BYTES, len(data) * MAX_DEFLATE_RATIO))
    unpacker = zlib.decompressobj(-zlib.MAX_WBITS)
    body = unpacker.decompress(data[start:], most)
    if unpacker.unconsumed_tail:
        raise FilmError(f"{name} unpacks to more than a film has", "choose the film itself")
    if not unpacker.eof:
        raise cut_short(name)
    return data[:start].replace(_DEFLATED, _EXPLICIT.ljust(len(_DEFLATED), b"\x00")) + body


def _check_picture(dataset, name):
    """Refuse a DICOM object without a picture, saying what it is."""
    if "PixelData" in dataset and len(dataset.PixelData or b""):
        return
    if "FloatPixelData" in dataset or "DoubleFloatPixelData" in dataset:
        raise FilmError(
            f"{name} stores its picture as real numbers, which films do not", "export it as a film"
        )
    # pydicom gives back nothing of a data set whose compressed picture breaks off.
    if not len(dataset) or ("Rows" in dataset and "Columns" in dataset):
        raise cut_short(name)
    what = _sop_words(dataset)
    do = "copy it again from its source" if "Image" in what else "choose a film"
    raise FilmError(f"{name} holds no picture{f' ({what})' if what else ''}", do)


def _check_end(dataset, data, name):
    """Nothing but padding and signatures may follow the picture (PS3.5 7.2, PS3.3 C.12.1.1.3).

    What else stands there has been pushed out of the picture by damage to the file.
    """
    element = dataset["PixelData"]
    delimiter = 8 if element.is_undefined_length else 0
    rest = bytes(data[element.file_tell + len(element.value) + delimiter :])
    may_follow = (
        b"\xfc\xff\xfc\xff",
        b"\xff\xfc\xff\xfc",
        b"\xfa\xff\xfa\xff",
        b"\xff\xfa\xff\xfa",
    )
    if rest.strip(b"\x00") and not rest.startswith(may_follow):
        raise FilmError(
            f"{name} is damaged: bytes follow its picture", "copy the film again from its source"
        )


def _sop_words(dataset):
    from pydicom.uid import UID

    uid = str(dataset.get("SOPClassUID") or dataset.file_meta.get("MediaStorageSOPClassUID") or "")
    words = UID(uid).name if uid else ""
    return "" if words == uid else words


def _kind_notes(dataset, header, name):
    """Notes on what kind of picture it is; refuses volumes and pixels that are not square."""
    notes = []
    slices = _modality(dataset) in _NO_PROJECTION
    if header.frames > 1 and slices and _modality(dataset) not in ("US", "ES", "GM"):
        raise FilmError(
            f"{name} holds {header.frames} slices of a volume, not a film",
            "export the one picture to be measured",
        )
    if header.frames > 1:
        notes.append(f"it holds {header.frames} pictures: the first is opened")
    if slices:
        notes.append(
            f"not a projection film (modality {_modality(dataset)}): rules for films do not hold"
        )
    if str(dataset.get("LossyImageCompression") or "") == "01":
        notes.append("stored with lossy compression: fine edges may have moved by a pixel")
    if any(0x6000 <= group <= 0x60FF for group in {tag.group for tag in list(dataset.keys())}):
        notes.append("drawings laid over the picture in the file are not shown")
    if getattr(dataset, "syntax_was_guessed", False):
        notes.append("the file does not state how it is encoded: guessed")
    _check_square(dataset, name)
    return notes


def _modality(dataset):
    return str(dataset.get("Modality") or "").strip().upper()


def _check_square(dataset, name):
    """Refuse pixels that are not square, by their stated aspect ratio, else by the spacing."""
    aspect = aspect_ratio(dataset)
    spacing = spacing_verdict(dataset).spacing
    if aspect is None and spacing:
        aspect = spacing.row_mm / spacing.column_mm
    if aspect is not None and abs(aspect - 1) > MAX_ASPECT_ERROR:
        raise FilmError(
            f"{name} has pixels that are not square ({aspect:.3g} times as high as wide), which"
            " would make angles and ratios wrong",
            "export it with square pixels",
        )


def _grey(dataset, header, stored, notes):
    """Pixels with larger = brighter, their depth, and the table they open with."""
    lowest, highest = stored_range(header.stored, header.signed)
    display = display_of(dataset, header.stored, header.signed, lambda: _extremes(dataset, stored))
    notes += display.notes
    pixels = (stored - lowest if lowest else stored).astype(_dtype(header.stored), copy=False)
    table = display.table
    if int(table[-1]) < int(table[0]):
        pixels, table = (highest - lowest) - pixels, table[::-1]
    return pixels, header.stored, table


def _dtype(bits):
    return np.uint8 if bits <= 8 else np.uint16


def _extremes(dataset, stored):
    """Darkest and brightest stored value that is not padding."""
    padding = dataset.get("PixelPaddingValue")
    limit = dataset.get("PixelPaddingRangeLimit", padding)
    if isinstance(padding, int) and isinstance(limit, int):
        low, high = min(padding, limit), max(padding, limit)
        real = stored[(stored < low) | (stored > high)]
        stored = real if real.size else stored
    return int(stored.min()), int(stored.max())


def _colour(picture, notes):
    if picture.dtype != np.uint8:
        picture = picture.astype(np.uint16)
    grey, note = grey_of(picture)
    notes.append(note)
    bits = 8 * grey.dtype.itemsize
    return grey, bits, ramp(bits, 0, 2**bits - 1)


def _film(dataset, pixels, bits, table, notes, data, name):
    teeth, tooth_notes = teeth_of(dataset)
    turns, mirrored, view_notes = view_of(dataset, teeth)
    verdict = spacing_verdict(dataset, projection=_modality(dataset) not in _NO_PROJECTION)
    return Film(
        pixels=read_only(pixels),
        bits=bits,
        default_table=read_only(table),
        name=name,
        sha256=None,
        kind="DICOM",
        spacing=verdict.spacing,
        spacing_words=verdict.words,
        tooth_fdi=teeth,
        acquired=acquired_on(dataset),
        notes=tuple(notes + tooth_notes + view_notes + list(verdict.notes)),
        raw=data,
        turns=turns,
        mirrored=mirrored,
    )
