"""Symbol and lettering of each drawn thing on one row, about its own place on the conductor."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from circuitcheck.drawing.geometry import Box, Figure
from circuitcheck.drawing.layout import loads
from circuitcheck.drawing.layout.graph import Node
from circuitcheck.drawing.layout.heading import (
    Piece,
    heading,
    heading_above,
    heading_width,
    name_of,
    named_above,
    piece_from,
)
from circuitcheck.drawing.layout.references import reference
from circuitcheck.drawing.marks import Notes
from circuitcheck.drawing.strokes import Symbol
from circuitcheck.drawing.symbols import feeding
from circuitcheck.drawing.text_size import shortened
from circuitcheck.model.fuse import Fuse


def piece_of(node: Node, notes: Notes) -> Piece:
    """Return the symbol and lettering of one node outside column 0 that is no part of a block.

    Raises KeyError for a kind of node without a symbol.
    """
    return _COMPOSED[node.kind](node, notes)


def _fuse(node: Node, notes: Notes) -> Piece:
    rating = ""
    if isinstance(node.part, Fuse):
        amperes = notes.known(node.part.name, "rating", f"{node.part.row.rating_a:g}")
        rating = shortened(f"{amperes} A {node.part.row.style}", 14)
    return named_above(node, feeding.fuse(), notes, rating)


def _splice(node: Node, notes: Notes) -> Piece:
    """A splice of two wires has its own dot; with more the dots stand where the wires branch."""
    if len(node.before) < 2 and len(node.after) < 2:
        return named_above(node, feeding.joint(), notes)
    clear = Symbol((), Box(0.0, -0.8, 0.0, 0.8))
    figure = named_above(node, clear, notes).figure
    half = (heading_width(node.part.name, name_of(node), notes) / 2.0) if node.part else 0.0
    side = (len(node.after) > 1) - (len(node.before) > 1)
    moved = replace(
        figure,
        strokes=tuple(stroke.moved(-side * half, 0.0) for stroke in figure.strokes),
        letterings=tuple(text.moved(-side * half, 0.0) for text in figure.letterings),
    )
    return Piece(moved, 0.0, 0.0)


def _point(node: Node, notes: Notes) -> Piece:
    """Nothing but a place at which lines end."""
    return Piece(Figure("", Box(-0.3, -0.3, 0.3, 0.3)), 0.0, 0.0)


def _stud(node: Node, notes: Notes) -> Piece:
    return named_above(node, feeding.stud(), notes)


def _frame(node: Node, notes: Notes) -> Piece:
    symbol = feeding.frame()
    owner = node.part.name if node.part else ""
    foot = symbol.body.bottom + 0.6 + heading_above(owner, notes)
    strokes, letterings = heading(owner, name_of(node), 0.0, foot, notes)
    return piece_from(node, symbol, strokes, letterings)


_COMPOSED: Mapping[str, Callable[[Node, Notes], Piece]] = {
    "fuse": _fuse,
    "splice": _splice,
    "joint": _point,
    "load return": _point,
    "ground stud": _stud,
    "frame": _frame,
    "solenoid coil": loads.coil,
    "indicator lamp": loads.lamp,
    "LED indicator": loads.led,
    "diode": loads.diode,
    "resistor": loads.resistor,
    "reference": reference,
}
