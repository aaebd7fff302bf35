"""All that is read from or written to disk. Imports model and below."""
