"""Checks on wires: heat, shorts, voltage lost, where they land."""
