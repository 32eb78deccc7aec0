"""A converter: in at the left, out at the right, the minus of both sides below or above."""

from __future__ import annotations

from circuitcheck.drawing.geometry import Figure, Lettering
from circuitcheck.drawing.layout.block import Block, lead
from circuitcheck.drawing.layout.graph import Node
from circuitcheck.drawing.layout.heading import title_of
from circuitcheck.drawing.layout.loads import part_of
from circuitcheck.drawing.symbols import loads
from circuitcheck.drawing.text_size import text_width_mm
from circuitcheck.model.converter import Converter
from circuitcheck.units import text

_HALF_MM = loads.CONVERTER_HALF_MM


class ConverterBlock(Block):
    """The converter's square with its three terminals."""

    margins = (0.8, 1.2)

    def shape(self) -> None:
        """Make room for the terminals' names on either side of the square."""
        self.converter = part_of(self.nodes[0], Converter)
        self.right = _HALF_MM + text_width_mm("minus") + 2.5
        self.left = -self.right

    def room(self, node: Node) -> tuple[float, float]:
        """The square stands on the row of in and out."""
        if node.kind == "converter":
            return _HALF_MM + 0.6, _HALF_MM + 0.6
        return 4.6, 1.2

    def below_outline(self) -> list[str]:
        """Return what it delivers."""
        if self.notes.is_unknown(self.owner, "type", "output", "rated_current"):
            return ["output: unknown"]
        volts = text(self.converter.output_v.nominal, "V", signs=True)
        amperes = text(self.converter.rated_a, "A", signs=True)
        return [f"{volts}, up to {amperes}"]

    def figures(self) -> list[Figure]:
        """Return the square with its conductors and the names of its terminals."""
        rows = {slot.node.kind: slot.row for slot in self.slots if slot.node is not None}
        row, minus = rows["converter"], rows["converter minus"]
        symbol = loads.converter()
        strokes = [
            *lead(0.0, (self.left, row), (-_HALF_MM, row)),
            *lead(0.0, (_HALF_MM, row), (self.right, row)),
            *symbol.moved(0.0, row),
            *lead(
                0.0,
                (0.0, row + _HALF_MM if minus > row else row - _HALF_MM),
                (0.0, minus),
                (self.left, minus),
            ),
        ]
        letterings = (
            Lettering(self.left + 1.0, row - 1.0, "in"),
            Lettering(self.right - 1.0, row - 1.0, "out", "end"),
            Lettering(self.left + 1.0, minus - 1.0, "minus"),
        )
        node = next(n for n in self.nodes if n.kind == "converter")
        body = symbol.body.moved(0.0, row)
        return [Figure(self.owner, body, tuple(strokes), letterings, title_of(node))]
