"""Ray-cast synthetic films with their truth. Pure: no files, no Qt."""
