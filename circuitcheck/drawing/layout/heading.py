"""Names over parts with their failing signs, and the pieces that lie on one row."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property

from circuitcheck.drawing.geometry import (
    CONDUCTOR_MM,
    Box,
    Figure,
    Lettering,
    Stroke,
    box_around,
)
from circuitcheck.drawing.layout.graph import Node
from circuitcheck.drawing.layout.sleeves import SLEEVE_MM, sleeve
from circuitcheck.drawing.marks import Notes
from circuitcheck.drawing.strokes import Symbol
from circuitcheck.drawing.symbols import feeding
from circuitcheck.drawing.text_size import TEXT_MM, printable, shortened, text_width_mm
from circuitcheck.record import record

NAME_LETTERS = 16
"""Longest name drawn in full; the wire list has it all."""
ABOVE_MM = 0.8
LINE_STEP_MM = 3.8
_SIGN_RISE_MM = 0.3
"""The foot of a sign stands so far over the base line: clear of a line of text or symbol below."""


@record
class Piece:
    """A figure about (0, 0) and where the conductor meets it on either side.

    `reach` is how far its right end reaches where that is beyond the conductor's end.
    """

    figure: Figure
    left: float
    right: float
    reach: float = 0.0

    @cached_property
    def box(self) -> Box:
        """All the room that the piece takes, the conductor's ends included."""
        return box_around([self.figure.box, Box(self.left, 0.0, max(self.right, self.reach), 0.0)])


def heading(
    owner: str, text: str, x: float, y: float, notes: Notes, anchor: str = "middle"
) -> tuple[list[Stroke], list[Lettering]]:
    """Return a name on the base line y, with its failing sign before it if it has one."""
    number = notes.get(owner)
    if number is None:
        return [], [Lettering(x, y, text, anchor)]
    sign = feeding.failing_sign(len(str(number)))
    wide = sign.body.width + 1.0
    whole = wide + text_width_mm(text)
    left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor] * whole
    middle = left + sign.body.width / 2.0
    strokes = [stroke.moved(middle, y - _SIGN_RISE_MM) for stroke in sign.strokes]
    digit = Lettering(middle, y - _SIGN_RISE_MM - 0.6, str(number), "middle", bold=False)
    return strokes, [digit, Lettering(left + wide, y, text)]


def heading_above(owner: str, notes: Notes) -> float:
    """Return how far a heading rises above its base line. [mm]"""
    number = notes.get(owner)
    if number is None:
        return 3.2
    return feeding.failing_sign(len(str(number))).body.height + _SIGN_RISE_MM + 0.4


def heading_width(owner: str, text: str, notes: Notes) -> float:
    """Return the width of a heading with its sign. [mm]"""
    number = notes.get(owner)
    sign = 0.0 if number is None else feeding.failing_sign(len(str(number))).body.width + 1.0
    return sign + text_width_mm(text)


def name_of(node: Node) -> str:
    """Return the name of the node's part as it is drawn."""
    return shortened(node.part.name, NAME_LETTERS) if node.part else ""


def title_of(node: Node) -> str:
    """Return what a screen reader says of a symbol: kind and name, cavity or button."""
    if node.part is None:
        return ""
    said = f"{node.part.kind} {node.part.name}"
    if node.contact is not None:
        said += f", button {node.contact.button}"
    elif node.cavity:
        said += f", cavity {node.cavity}"
    elif node.kind.startswith(node.part.kind + " "):
        said += f", {node.kind.removeprefix(node.part.kind + ' ')}"
    return printable(said)


def piece_from(
    node: Node, symbol: Symbol, strokes: Sequence[Stroke], letterings: Sequence[Lettering]
) -> Piece:
    """Return a symbol with more strokes and lettering as a piece of the node's part."""
    owner = node.part.name if node.part else ""
    drawn = (*symbol.strokes, *strokes)
    figure = Figure(owner, symbol.body, drawn, tuple(letterings), title_of(node))
    return Piece(figure, symbol.left, symbol.right)


def named_above(node: Node, symbol: Symbol, notes: Notes, below: str = "") -> Piece:
    """Return a symbol with its part's name above, and one line below it if there is something."""
    owner = node.part.name if node.part else ""
    top = min(symbol.body.top, -CONDUCTOR_MM)
    strokes, letterings = heading(owner, name_of(node), 0.0, top - ABOVE_MM - 0.4, notes)
    if below:
        foot = symbol.body.bottom + ABOVE_MM + TEXT_MM
        letterings.append(Lettering(0.0, foot, below, "middle"))
    return piece_from(node, symbol, strokes, letterings)


def signed(name: str, plus: str | None) -> str:
    """Return a terminal's name with its polarity, where the part has one."""
    if plus is None:
        return name
    return f"{name}+" if name == plus else f"{name}−"


def return_sleeve(
    figure: Figure, node: Node, notes: Notes, x: float, row: float = 0.0
) -> tuple[Figure, float]:
    """Return the figure with its return wire's sleeve at `x`, and how far right it now reaches.

    The sleeve sits at the load's far terminal, where the wire begins.
    """
    wire = node.return_wire
    if wire is None or not (wire.colour or notes.values):
        return figure, x
    said = ""
    if notes.values is not None:
        said = notes.values.wires[wire.name].end_text(at_start=wire.start == node.far)
    strokes, code = sleeve(wire.colour, x + 1.0, said)
    furnished = replace(
        figure,
        strokes=(*figure.strokes, *(stroke.moved(0.0, row) for stroke in strokes)),
        letterings=(*figure.letterings, code.moved(0.0, row)),
    )
    return furnished, max(x + 2.0 + SLEEVE_MM, code.box.right + 0.5)
