"""Stage 4: circuit in, solution with certified bounds out."""
