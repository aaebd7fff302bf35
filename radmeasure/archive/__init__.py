"""Optional link to a DICOM archive."""
