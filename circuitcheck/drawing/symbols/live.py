"""Signs on a wire that is live: an arrow head where current flows, a diamond where none does."""

from __future__ import annotations

from circuitcheck.drawing.strokes import Symbol, filled, symbol_of

RIGHT, LEFT, STANDS = "flows right", "flows left", "stands"
HIGH_MM, LONG_MM = 2.8, 3.6


def sign(which: str) -> Symbol:
    """Return the sign, its middle at (0, 0); raises KeyError for another one."""
    half, long = HIGH_MM / 2.0, LONG_MM / 2.0
    corners = {
        RIGHT: ((-long, -half), (long, 0.0), (-long, half)),
        LEFT: ((long, -half), (-long, 0.0), (long, half)),
        STANDS: ((-half, 0.0), (0.0, -half), (half, 0.0), (0.0, half)),
    }[which]
    return symbol_of([filled(*corners)])
