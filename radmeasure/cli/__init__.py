"""One module per sub-command."""
