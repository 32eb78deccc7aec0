"""Stage 6: a failing finding in, the smallest change that passes out."""
