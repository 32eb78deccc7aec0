"""Checks on fuses: whether one opens when it must not, or cannot when it must."""
