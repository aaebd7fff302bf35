"""Points, lines, curves; knows nothing of teeth. Imports numpy only."""
