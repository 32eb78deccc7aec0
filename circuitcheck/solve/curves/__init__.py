"""Lamps, LEDs and diodes: parts whose current is a curve of their voltage."""
