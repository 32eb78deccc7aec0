"""Stage 2: what a harness file describes, as frozen records in SI units."""
