"""Stage 5: solution in, findings out; one check, one file."""
