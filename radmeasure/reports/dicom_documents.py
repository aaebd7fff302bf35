"""Encapsulated PDF of the report, and a secondary capture of the picture."""

import copy
from datetime import datetime

from radmeasure.reports.dicom_source import new_uid, reference_item, side_of

PDF_SERIES, CAPTURE_SERIES = 9102, 9103
_SHARED = (
    "SpecificCharacterSet",
    "PatientName",
    "PatientID",
    "PatientBirthDate",
    "PatientSex",
    "StudyInstanceUID",
    "StudyDate",
    "StudyTime",
    "ReferringPhysicianName",
    "StudyID",
    "AccessionNumber",
)


def _new(source, sop_class, modality, series_number, description):
    """A dataset in the film's study, with everything the common modules ask for."""
    from pydicom.dataset import Dataset, FileMetaDataset
    from pydicom.uid import ExplicitVRLittleEndian

    from radmeasure import __version__

    ds, meta = Dataset(), FileMetaDataset()
    meta.TransferSyntaxUID = ExplicitVRLittleEndian
    meta.MediaStorageSOPClassUID = ds.SOPClassUID = sop_class
    meta.MediaStorageSOPInstanceUID = ds.SOPInstanceUID = new_uid()
    ds.file_meta = meta
    for name in _SHARED:
        if name in source:
            ds[name] = copy.deepcopy(source[name])
    ds.SpecificCharacterSet = "ISO_IR 192"
    ds.Modality, ds.SeriesInstanceUID = modality, new_uid()
    ds.SeriesNumber, ds.InstanceNumber = series_number, 1
    ds.SeriesDescription = description
    ds.Manufacturer = ds.ManufacturerModelName = "radmeasure"
    ds.DeviceSerialNumber, ds.SoftwareVersions = "0", __version__
    ds.ConversionType, ds.BurnedInAnnotation = "WSD", "YES"
    now = datetime.now()
    ds.ContentDate, ds.ContentTime = now.strftime("%Y%m%d"), now.strftime("%H%M%S")
    return ds


def encapsulated_pdf(source, pdf, title="Periapical measurement report"):
    """The PDF as a DICOM document in the film's study.

    Parameters
    ----------
    source : pydicom.Dataset
    pdf : bytes
    title : str
    """
    from pydicom.dataset import Dataset
    from pydicom.sequence import Sequence
    from pydicom.uid import EncapsulatedPDFStorage

    ds = _new(source, EncapsulatedPDFStorage, "DOC", PDF_SERIES, "Periapical report")
    ds.AcquisitionDateTime = ""
    ds.DocumentTitle = title
    concept = Dataset()
    concept.CodeValue, concept.CodingSchemeDesignator = "126000", "DCM"
    concept.CodeMeaning = "Imaging Measurement Report"
    ds.ConceptNameCodeSequence = Sequence([concept])
    ds.SourceInstanceSequence = Sequence([reference_item(source)])
    ds.MIMETypeOfEncapsulatedDocument = "application/pdf"
    ds.EncapsulatedDocumentLength = len(pdf)
    ds.EncapsulatedDocument = pdf + b"\0" * (len(pdf) % 2)
    return ds


def secondary_capture(source, rgb):
    """A colour picture (film with landmarks) as a secondary capture.

    Parameters
    ----------
    source : pydicom.Dataset
    rgb : ndarray, shape (H, W, 3), uint8
    """
    from pydicom.sequence import Sequence
    from pydicom.uid import SecondaryCaptureImageStorage

    name = "Periapical landmarks"
    ds = _new(source, SecondaryCaptureImageStorage, "OT", CAPTURE_SERIES, name)
    ds.ImageType = ["DERIVED", "SECONDARY"]
    ds.PatientOrientation = copy.deepcopy(source.get("PatientOrientation", ""))
    ds.Laterality = side_of(source)
    ds.SourceImageSequence = Sequence([reference_item(source)])
    ds.SamplesPerPixel, ds.PhotometricInterpretation, ds.PlanarConfiguration = 3, "RGB", 0
    ds.Rows, ds.Columns = rgb.shape[:2]
    ds.BitsAllocated = ds.BitsStored = 8
    ds.HighBit, ds.PixelRepresentation = 7, 0
    data = rgb.astype("u1").tobytes()
    ds.PixelData = data + b"\0" * (len(data) % 2)
    ds["PixelData"].VR = "OB"
    return ds
