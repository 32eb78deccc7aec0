"""Stage 3: model in, nodes and branches of one switch position out."""
