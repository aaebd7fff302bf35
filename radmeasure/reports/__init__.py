"""Findings into words, rows, PDF and DICOM objects."""
