"""The flag at which a line ends that goes on elsewhere: on another sheet, or in another part."""

from __future__ import annotations

from circuitcheck.drawing.strokes import Symbol, hollow, mirrored, symbol_of

HALF_MM = 2.4
TIP_MM = 2.0


def flag(wide_mm: float, *, outward_right: bool) -> Symbol:
    """A box for a letter with a point that shows away from the drawing, joined at its flat side."""
    corners = (
        (0.0, -HALF_MM),
        (wide_mm, -HALF_MM),
        (wide_mm + TIP_MM, 0.0),
        (wide_mm, HALF_MM),
        (0.0, HALF_MM),
    )
    symbol = symbol_of([hollow(*corners)], 0.0, 0.0)
    return symbol if outward_right else mirrored(symbol)
