"""Stage 1: every input file is opened here; text in, model out."""
