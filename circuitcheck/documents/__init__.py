"""Stage 7: model and findings in, text, JSON and wire lists out."""
