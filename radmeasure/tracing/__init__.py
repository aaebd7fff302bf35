"""Image processing: film in, curves and points out. Imports model, geometry and below only."""
