"""Time: switching on and off, fuses and wires over time, what the supply does to a coil."""
