"""Checks on what happens when a coil is switched off, and what those checks share."""
