"""Known object + observed points -> Scale. Pure: no files, no Qt."""
