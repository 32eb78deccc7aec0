"""Checks on indicators, lamps, LEDs and the diodes and resistors beside them."""
