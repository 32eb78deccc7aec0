"""Loads and what may stand for one: coil, lamp, LED, diode, resistor, with their lettering.

Each has conductors to the left and right of it, so that it may lie in a path, or at the far right
with a line that turns back from its right side.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

from circuitcheck.drawing.geometry import CONDUCTOR_MM, Box, Lettering, Stroke
from circuitcheck.drawing.layout.graph import Node
from circuitcheck.drawing.layout.heading import (
    ABOVE_MM,
    LINE_STEP_MM,
    NAME_LETTERS,
    Piece,
    heading,
    name_of,
    piece_from,
    return_sleeve,
    signed,
)
from circuitcheck.drawing.layout.suppression import Parts, branch_below, suppression_parts
from circuitcheck.drawing.marks import Notes
from circuitcheck.drawing.strokes import Symbol
from circuitcheck.drawing.symbols import feeding, loads, switching
from circuitcheck.drawing.text_size import shortened, text_width_mm, wrapped
from circuitcheck.model.diode import Diode
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.model.resistor import Resistor
from circuitcheck.model.solenoid_coil import Moves, SolenoidCoil
from circuitcheck.units import text

T = TypeVar("T")

COIL_HALF_MM = 9.5
"""From the middle of a coil to the joints of its suppression, and to its terminals."""
BRANCH_DROP_MM = 8.0
"""From a coil's conductor down to the branch across it."""
_LEAD_MM = 5.0
_VALUE_LETTERS = 6
_COIL_TEXT_MM = 31.0


def ends_of(node: Node) -> tuple[str, str]:
    """Return the names of the terminals at the left and at the right of a load."""
    right = node.right or node.far
    return (node.left.name if node.left else ""), (right.name if right else "")


def movement_lines(moves: Moves, wide: float = _COIL_TEXT_MM) -> list[str]:
    """Return what a coil moves, in two lines at most."""
    lines = wrapped(moves.movement, wide)
    if len(lines) > 2:
        lines = [lines[0], shortened(" ".join(lines[1:]), 18)]
    return lines


def stacked(lines: Sequence[str], foot: float) -> tuple[list[Lettering], float]:
    """Return lines of text above `foot`, and the base line over them."""
    letterings = []
    for line in reversed(lines):
        letterings.append(Lettering(0.0, foot, line, "middle"))
        foot -= LINE_STEP_MM
    return letterings, foot


def coil(node: Node, notes: Notes) -> Piece:
    """Return a solenoid coil with its suppression, its resistance and what it moves."""
    part = part_of(node, SolenoidCoil)
    body = switching.coil()
    strokes = _leads(body, COIL_HALF_MM)
    first, second = ends_of(node)
    letterings = [
        Lettering(x, -1.0, signed(name, part.plus), "middle")
        for x, name in ((-5.6, first), (5.6, second))
        if name
    ]
    branch: Parts = suppression_parts(part.suppression, first)
    drawn, texts = branch_below(branch, -COIL_HALF_MM, COIL_HALF_MM, BRANCH_DROP_MM)
    lines, top = stacked(movement_lines(part.moves), body.body.top - ABOVE_MM - 0.4)
    unknown = notes.is_unknown(part.name, "resistance", "type")
    ohms = "?" if unknown else f"{part.resistance_20c_ohm.nominal:.3g}"
    signs, names = heading(part.name, f"{name_of(node)} · {ohms} Ω", 0.0, top, notes)
    bottom = BRANCH_DROP_MM + 2.2 if branch else body.body.bottom
    box = Box(-COIL_HALF_MM, body.body.top, COIL_HALF_MM, bottom)
    symbol = Symbol((*strokes, *body.strokes), box, -COIL_HALF_MM, COIL_HALF_MM)
    piece = piece_from(node, symbol, [*drawn, *signs], [*letterings, *texts, *lines, *names])
    return _grounded(node, piece) if node.body else _with_sleeve(node, piece, notes)


def lamp(node: Node, notes: Notes) -> Piece:
    """Return a filament lamp with its rating."""
    part = part_of(node, IndicatorLamp)
    rating = f"{part.rated_v:g} V · {text(part.current_a.nominal, 'A', signs=True)}"
    if notes.is_unknown(part.name, "type", "power", "current"):
        rating = "rating: unknown"
    return _small(node, loads.lamp(), notes, rating)


def led(node: Node, notes: Notes) -> Piece:
    """Return a light-emitting diode with its own resistor, the right way round."""
    part = part_of(node, LedIndicator)
    first, _ = ends_of(node)
    if part.plus is None:
        light = loads.light_either_way()
    else:
        light = loads.light_emitting_diode(cathode_on_left=part.plus != first)
    below = f"{part.rated_v:g} V LED"
    if part.series_ohm.upper <= 0.0:
        return _small(node, light, notes, below, part.plus)
    series = loads.resistor()
    x, after = -5.0, 3.5
    strokes = [
        *light.moved(x, 0.0),
        Stroke(((x + light.right, 0.0), (after + series.left, 0.0)), CONDUCTOR_MM),
        *series.moved(after, 0.0),
    ]
    left, right = x + light.left, after + series.right
    box = Box(left, light.body.top, right, max(light.body.bottom, series.body.bottom))
    known = not notes.is_unknown(part.name, "type", "series")
    below += f" · {text(part.series_ohm.nominal, 'ohm', signs=True) if known else '? Ω'}"
    symbol = Symbol(tuple(strokes), box, left, right)
    return _small(node, symbol, notes, below, part.plus)


def diode(node: Node, notes: Notes) -> Piece:
    """Return a diode, its cathode where the node has it."""
    part = part_of(node, Diode)
    first, _ = ends_of(node)
    symbol = loads.diode(cathode_on_left=first == "cathode")
    unknown = notes.is_unknown(part.name, "type", "current")
    said = "? A" if unknown else text(part.current_a, "A", signs=True)
    return _small(node, symbol, notes, said, named=False)


def resistor(node: Node, notes: Notes) -> Piece:
    """Return a resistor with its value."""
    part = part_of(node, Resistor)
    unknown = notes.is_unknown(part.name, "resistance")
    said = "? Ω" if unknown else text(part.resistance_ohm.nominal, "ohm", signs=True)
    return _small(node, loads.resistor(), notes, said)


def part_of(node: Node, kind: type[T]) -> T:
    """Return the part of a node; raises TypeError where it is no such record."""
    if not isinstance(node.part, kind):
        raise TypeError(f"node {node.number}: {node.part!r} is no {kind.__name__}")
    return node.part


def _leads(body: Symbol, half: float) -> list[Stroke]:
    return [
        Stroke(((-half, 0.0), (body.left, 0.0)), CONDUCTOR_MM),
        Stroke(((body.right, 0.0), (half, 0.0)), CONDUCTOR_MM),
    ]


def _small(
    node: Node,
    symbol: Symbol,
    notes: Notes,
    said: str,
    plus: str | None = None,
    *,
    named: bool = True,
) -> Piece:
    """A symbol on short leads with its terminals' names; its name and value stand above."""
    first, second = ends_of(node)
    texts = [signed(first, plus), signed(second, plus)] if named else ["", ""]
    leads = [max(_LEAD_MM, text_width_mm(terminal) + 1.6) for terminal in texts]
    body = symbol.body
    left, right = body.left - leads[0], body.right + leads[1]
    strokes = [
        Stroke(((left, 0.0), (symbol.left, 0.0)), CONDUCTOR_MM),
        Stroke(((symbol.right, 0.0), (right, 0.0)), CONDUCTOR_MM),
    ]
    letterings = [
        Lettering((side + at) / 2.0, -1.0, terminal, "middle")
        for side, at, terminal in (
            (left, body.left, texts[0]),
            (right, body.right, texts[1]),
        )
        if terminal
    ]
    top = min(symbol.body.top, -3.9 if named else -CONDUCTOR_MM) - ABOVE_MM - 0.4
    owner = node.part.name if node.part else ""
    name = name_of(node)
    if len(said) <= _VALUE_LETTERS:
        name += f" · {said}"
    else:
        lines, top = stacked([shortened(said, 24)], top)
        letterings += lines
    signs, names = heading(owner, name, 0.0, top, notes)
    whole = Symbol((*symbol.strokes, *strokes), symbol.body, left, right)
    piece = piece_from(node, whole, signs, [*letterings, *names])
    return _with_sleeve(node, piece, notes)


def _with_sleeve(node: Node, piece: Piece, notes: Notes) -> Piece:
    """The return wire's sleeve widens the figure, not the place where the line begins."""
    figure, reach = return_sleeve(piece.figure, node, notes, piece.right)
    if figure is piece.figure:
        return piece
    return Piece(figure, piece.left, piece.right, reach)


def _grounded(node: Node, piece: Piece) -> Piece:
    """The coil's body on its frame, at the right: the far end of the winding."""
    frame = feeding.frame()
    half = text_width_mm(shortened(node.body, NAME_LETTERS)) / 2.0
    x = piece.right + max(6.0, half + 1.5)
    stroke = Stroke(((piece.right, 0.0), (x, 0.0)), CONDUCTOR_MM)
    foot = frame.body.bottom + 0.6 + 3.2
    name = Lettering(x, foot, shortened(node.body, NAME_LETTERS), "middle")
    figure = replace(
        piece.figure,
        strokes=(*piece.figure.strokes, stroke, *frame.moved(x, 0.0)),
        letterings=(*piece.figure.letterings, name),
    )
    reach = max(x + frame.body.right, name.box.right) + 0.5
    return Piece(figure, piece.left, piece.right, reach)
