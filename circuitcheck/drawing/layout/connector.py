"""A connector: the cavities that stand in one column within one outline."""

from __future__ import annotations

from circuitcheck.drawing.geometry import Figure, Lettering
from circuitcheck.drawing.layout.block import Block
from circuitcheck.drawing.layout.graph import Node
from circuitcheck.drawing.layout.heading import ABOVE_MM, NAME_LETTERS, Piece, piece_from
from circuitcheck.drawing.symbols import feeding
from circuitcheck.drawing.text_size import shortened
from circuitcheck.model.connector import Connector

_HALF_MM = 5.0
_LETTERS = 20


class ConnectorBlock(Block):
    """Mated cavities with their numbers, and what each is for where a standard says so."""

    title_at = "middle"
    margins = (1.2, 1.6)

    def shape(self) -> None:
        """Make a piece of each cavity, and the outline as wide as the widest lettering."""
        self.pieces = {node.number: _cavity(node) for node in self.nodes}
        wide = [t.box.width for p in self.pieces.values() for t in p.figure.letterings]
        part = self.nodes[0].part
        if isinstance(part, Connector) and part.socket:
            self.title += f" · {shortened(part.socket, NAME_LETTERS)}"
        self.right = max(_HALF_MM, max(wide) / 2.0 + 1.2)
        self.left = -self.right

    def room(self, node: Node) -> tuple[float, float]:
        """Return what symbol and number need."""
        box = self.pieces[node.number].box
        return -box.top, box.bottom

    def ports(self, node: Node) -> tuple[float, float]:
        """Return the ends of the cavity's symbol, within the outline."""
        piece = self.pieces[node.number]
        return piece.left, piece.right

    def figures(self) -> list[Figure]:
        """Return one figure per cavity."""
        row_of = self.row_of()
        return [
            self.pieces[node.number].figure.moved(0.0, row_of[node.number]) for node in self.nodes
        ]


def _cavity(node: Node) -> Piece:
    plug_on_left = node.left is not None and node.left.name.startswith("plug")
    symbol = feeding.plug_and_receptacle(plug_on_left=plug_on_left)
    function = node.part.function(node.cavity) if isinstance(node.part, Connector) else ""
    said = f"{node.cavity} · {shortened(function, _LETTERS)}" if function else str(node.cavity)
    foot = symbol.body.top - (ABOVE_MM + 0.6 if function else ABOVE_MM)
    number = Lettering(0.0, foot, said, "middle")
    return piece_from(node, symbol, [], [number])
