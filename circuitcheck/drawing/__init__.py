"""Stage 7: model and findings in, wiring diagram out."""
