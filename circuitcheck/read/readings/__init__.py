"""Readings and tap readings from their files."""
