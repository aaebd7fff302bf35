"""One module per quantity, and the catalogue that lists them. Pure."""
