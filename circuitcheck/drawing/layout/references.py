"""References drawn: a flag with a letter, over it the sheet and the zone where the line goes on."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.drawing.geometry import Figure, Lettering
from circuitcheck.drawing.layout.graph import Node
from circuitcheck.drawing.layout.heading import Piece
from circuitcheck.drawing.marks import Notes
from circuitcheck.drawing.symbols.references import HALF_MM, flag
from circuitcheck.drawing.text_size import TEXT_MM, text_width_mm

_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
_BOX_MM = 6.0
OWNER = "reference "


def letters() -> Iterator[str]:
    """Return A, B, ... Z, AA, AB, ...; I and O are left out, which read as figures."""
    yield from _LETTERS
    for first in letters():
        yield from (first + second for second in _LETTERS)


def reference(node: Node, notes: Notes) -> Piece:
    """Return the flag of one reference; it points to the right where a line arrives at it."""
    arrives = bool(node.before)
    wide = max(_BOX_MM, text_width_mm(node.reference) + 1.2)
    symbol = flag(wide, outward_right=arrives)
    side = 1.0 if arrives else -1.0
    letter = Lettering(side * wide / 2.0, TEXT_MM / 2.0, node.reference, "middle")
    anchor = "start" if arrives else "end"
    where = Lettering(0.0, -HALF_MM - 1.2, node.goes_on, anchor)
    title = f"goes on at {node.reference}, {node.goes_on}"
    owner = f"{OWNER}{node.reference}"
    figure = Figure(owner, symbol.body, symbol.strokes, (letter, where), title)
    return Piece(figure, 0.0, 0.0)
