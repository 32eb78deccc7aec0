"""Fuses and wires over time: heat, opening, clearing."""
