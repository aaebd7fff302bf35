"""Image processing: film pixels in, curves and points out. Pure: no files, no Qt."""
