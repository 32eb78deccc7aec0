"""Checks on windings: voltage, heat, use; and what those checks share."""
