"""Symbols of IEC 60617 as strokes, by what a part does."""
