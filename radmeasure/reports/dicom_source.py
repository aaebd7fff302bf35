"""The film our objects refer to: the DICOM file as it is, or one made from a picture file."""

import io
from datetime import date

# Attributes highdicom and the modules it writes want to find, type 2: present, may be empty.
_TYPE_2 = (
    "PatientName",
    "PatientID",
    "PatientBirthDate",
    "PatientSex",
    "StudyDate",
    "StudyTime",
    "ReferringPhysicianName",
    "StudyID",
    "AccessionNumber",
)
# What a case can know of the patient (model.case.IDENTITY_FIELDS).
_IDENTITY = {
    "name": ("PatientName", lambda text: person_name(text)),
    "number": ("PatientID", lambda text: text.replace("\\", "/")[:64]),
    "birth_date": ("PatientBirthDate", lambda text: _date(text)),
    "sex": ("PatientSex", lambda text: _SEXES.get(text.lower(), "")),
}
_SEXES = {"m": "M", "male": "M", "f": "F", "female": "F", "o": "O", "other": "O"}


def _date(text):
    """An ISO date as DICOM writes it; what is written otherwise is not guessed at."""
    try:
        return date.fromisoformat(text).strftime("%Y%m%d")
    except ValueError:
        return ""


def new_uid():
    """A UID of the UUID-derived root 2.25."""
    from pydicom.uid import generate_uid

    return generate_uid(prefix=None)


def source_of(film, identity=None, fdi=None):
    """(dataset of the source film, whether it had to be made).

    Parameters
    ----------
    film : Film
        With its original bytes in ``raw``.
    identity : mapping, optional
        What the user entered (`radmeasure.model.case.IDENTITY_FIELDS`); nothing is
        invented. Patient's Name is type 2 (PS3.3 C.7.1.1, read): empty when not entered.
    fdi : str, optional
        Tooth, to state the side of a film that is made.

    Notes
    -----
    The original is never changed; missing type 2 attributes are filled, empty,
    in the copy handed to the writers of derived objects.
    """
    import pydicom

    if film.kind == "DICOM":
        dataset = pydicom.dcmread(io.BytesIO(film.raw), force=True)
        dataset.decode()  # names as text, so that they can be written as UTF-8
        dataset.SpecificCharacterSet = "ISO_IR 192"
        made = False
    else:
        dataset, made = _made(film, identity or {}), True
    for name in _TYPE_2:
        if name not in dataset:
            setattr(dataset, name, "")
    side = dataset.get("ImageLaterality") or dataset.get("Laterality")
    if side not in ("R", "L") and fdi:
        from radmeasure.model.tooth import Tooth

        dataset.Laterality = "R" if Tooth(fdi).right else "L"
    for name in ("StudyInstanceUID", "SeriesInstanceUID", "SOPInstanceUID"):
        if not dataset.get(name):
            setattr(dataset, name, new_uid())
    return dataset, made


def _made(film, identity):
    """Secondary capture of a picture file: its pixels and what the user entered, no more."""
    from pydicom.dataset import Dataset, FileMetaDataset
    from pydicom.uid import ExplicitVRLittleEndian, SecondaryCaptureImageStorage

    from radmeasure import __version__

    ds = Dataset()
    meta = FileMetaDataset()
    meta.TransferSyntaxUID = ExplicitVRLittleEndian
    meta.MediaStorageSOPClassUID = SecondaryCaptureImageStorage
    ds.file_meta = meta
    ds.SpecificCharacterSet = "ISO_IR 192"
    for key, (keyword, worded) in _IDENTITY.items():
        setattr(ds, keyword, worded(str(identity.get(key) or "").strip()))
    ds.StudyDate, ds.StudyTime = film.acquired.replace("-", "")[:8], ""
    ds.ReferringPhysicianName = ds.StudyID = ds.AccessionNumber = ""
    ds.StudyInstanceUID, ds.SeriesInstanceUID = new_uid(), new_uid()
    ds.SOPClassUID, ds.SOPInstanceUID = SecondaryCaptureImageStorage, new_uid()
    meta.MediaStorageSOPInstanceUID = ds.SOPInstanceUID
    ds.Modality, ds.ConversionType = "OT", "WSD"
    ds.SeriesNumber = ds.InstanceNumber = 1
    ds.Manufacturer, ds.SoftwareVersions = "radmeasure", __version__
    ds.PatientOrientation = ""
    pixels = film.pixels
    bits = 8 if pixels.dtype.itemsize == 1 else 16
    ds.SamplesPerPixel, ds.PhotometricInterpretation = 1, "MONOCHROME2"
    ds.Rows, ds.Columns = pixels.shape
    ds.BitsAllocated, ds.BitsStored = bits, max(film.bits, 8) if bits == 16 else 8
    ds.HighBit, ds.PixelRepresentation = ds.BitsStored - 1, 0
    data = pixels.astype(f"<u{bits // 8}").tobytes()
    ds.PixelData = data + b"\0" * (len(data) % 2)
    ds["PixelData"].VR = "OB" if bits == 8 else "OW"
    return ds


def person_name(entered):
    """A name as entered, as a DICOM person name; a single part is a family name."""
    entered = entered.strip()
    return entered if not entered or "^" in entered else f"{entered}^"


def side_of(dataset):
    """'R' or 'L', or '' when neither the film nor the tooth says."""
    for name in ("ImageLaterality", "Laterality"):
        if dataset.get(name) in ("R", "L"):
            return dataset.get(name)
    return ""


def frame_of(dataset):
    """Number of the frame that was measured: the first of several, None of a single one.

    None also when the film's class has no frames, whatever the file states.
    """
    from highdicom.sr import SourceImageForRegion

    if int(dataset.get("NumberOfFrames") or 1) < 2:
        return None
    try:
        SourceImageForRegion.from_source_image(dataset, [1])
    except TypeError:  # highdicom knows which classes have frames
        return None
    return 1


def reference_item(dataset):
    """Referenced SOP Class and Instance of a film."""
    from pydicom.dataset import Dataset

    item = Dataset()
    item.ReferencedSOPClassUID = dataset.SOPClassUID
    item.ReferencedSOPInstanceUID = dataset.SOPInstanceUID
    return item
