"""Checks on what moves, and what can move unasked."""
