"""Stage 8: the command line; one file per command."""
