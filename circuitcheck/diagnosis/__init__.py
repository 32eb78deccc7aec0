"""Readings in, ranked causes and the next reading out."""
