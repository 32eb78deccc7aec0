"""Coils switched off: energy, peaks, time to let go."""
