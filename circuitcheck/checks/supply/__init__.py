"""Checks on tap, battery and converter, at rest, while cranking and in a surge."""
