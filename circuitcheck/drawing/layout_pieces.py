"""Symbol and lettering of each drawn thing, about its own place on the conductor."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from circuitcheck.drawing import symbols
from circuitcheck.drawing.geometry import (
    CONDUCTOR_MM,
    Box,
    Figure,
    Lettering,
    Stroke,
    box_around,
)
from circuitcheck.drawing.layout_graph import Node
from circuitcheck.drawing.layout_sleeves import SLEEVE_MM, sleeve
from circuitcheck.drawing.marks import Notes
from circuitcheck.drawing.symbols import Symbol
from circuitcheck.drawing.text_size import (
    TEXT_MM,
    printable,
    shortened,
    text_width_mm,
    wrapped,
)
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.solenoid_coil import SolenoidCoil, Suppression

NAME_LETTERS = 16
"""Longest name drawn in full; the wire list has it all."""
ABOVE_MM = 0.8
LINE_STEP_MM = 3.8


@dataclass(frozen=True)
class Piece:
    """A figure about (0, 0) and where the conductor meets it on either side."""

    figure: Figure
    left: float
    right: float

    @property
    def box(self) -> Box:
        """All the room that the piece takes, the conductor's ends included."""
        return box_around([self.figure.box, Box(self.left, 0.0, self.right, 0.0)])


def heading(
    owner: str, text: str, x: float, y: float, notes: Notes, anchor: str = "middle"
) -> tuple[list[Stroke], list[Lettering]]:
    """Return a name on the base line y, with its failing sign before it if it has one."""
    number = notes.get(owner)
    if number is None:
        return [], [Lettering(x, y, text, anchor)]
    sign = symbols.failing_sign(len(str(number)))
    wide = sign.body.width + 1.0
    whole = wide + text_width_mm(text)
    left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor] * whole
    middle = left + sign.body.width / 2.0
    strokes = [stroke.moved(middle, y + 0.6) for stroke in sign.strokes]
    digit = Lettering(middle, y, str(number), "middle", bold=False)
    return strokes, [digit, Lettering(left + wide, y, text)]


def heading_above(owner: str, notes: Notes) -> float:
    """Return how far a heading rises above its base line. [mm]"""
    number = notes.get(owner)
    if number is None:
        return 3.2
    return symbols.failing_sign(len(str(number))).body.height - 0.6 + 0.4


def heading_width(owner: str, text: str, notes: Notes) -> float:
    """Return the width of a heading with its sign. [mm]"""
    number = notes.get(owner)
    sign = 0.0 if number is None else symbols.failing_sign(len(str(number))).body.width + 1.0
    return sign + text_width_mm(text)


def piece_of(node: Node, notes: Notes) -> Piece:
    """Return the symbol and lettering of one node outside column 0."""
    return _COMPOSED.get(node.kind, _unknown)(node, notes)


def _name(node: Node) -> str:
    return shortened(node.part.name, NAME_LETTERS) if node.part else ""


def title_of(node: Node) -> str:
    """Return what a screen reader says of a symbol: kind and name, cavity or button."""
    if node.part is None:
        return ""
    said = f"{node.part.kind} {node.part.name}"
    if node.contact is not None:
        said += f", button {node.contact.button}"
    if node.cavity:
        said += f", cavity {node.cavity}"
    return printable(said)


def _piece(node: Node, symbol: Symbol, strokes: list[Stroke], letterings: list[Lettering]) -> Piece:
    owner = node.part.name if node.part else ""
    drawn = (*symbol.strokes, *strokes)
    figure = Figure(owner, symbol.body, drawn, tuple(letterings), title_of(node))
    return Piece(figure, symbol.left, symbol.right)


def _named_above(node: Node, symbol: Symbol, notes: Notes, below: str = "") -> Piece:
    owner = node.part.name if node.part else ""
    top = min(symbol.body.top, -CONDUCTOR_MM)
    strokes, letterings = heading(owner, _name(node), 0.0, top - ABOVE_MM - 0.4, notes)
    if below:
        foot = symbol.body.bottom + ABOVE_MM + TEXT_MM
        letterings.append(Lettering(0.0, foot, below, "middle"))
    return _piece(node, symbol, strokes, letterings)


def _fuse(node: Node, notes: Notes) -> Piece:
    rating = ""
    if isinstance(node.part, Fuse):
        amperes = notes.known(node.part.name, "rating", f"{node.part.row.rating_a:g}")
        rating = shortened(f"{amperes} A {node.part.row.style}", 14)
    return _named_above(node, symbols.fuse(), notes, rating)


def _splice(node: Node, notes: Notes) -> Piece:
    """A splice of two wires has its own dot; with more the dots stand where the wires branch."""
    if len(node.before) < 2 and len(node.after) < 2:
        return _named_above(node, symbols.joint(), notes)
    clear = Symbol((), Box(0.0, -0.8, 0.0, 0.8))
    piece = _named_above(node, clear, notes)
    half = (heading_width(node.part.name, _name(node), notes) / 2.0) if node.part else 0.0
    side = (len(node.after) > 1) - (len(node.before) > 1)
    figure = piece.figure
    moved = Figure(
        figure.owner,
        figure.body,
        tuple(stroke.moved(-side * half, 0.0) for stroke in figure.strokes),
        tuple(text.moved(-side * half, 0.0) for text in figure.letterings),
        figure.title,
    )
    return Piece(moved, 0.0, 0.0)


def _joint(node: Node, notes: Notes) -> Piece:
    return Piece(Figure("", Box(-0.3, -0.3, 0.3, 0.3)), 0.0, 0.0)


def _stud(node: Node, notes: Notes) -> Piece:
    return _named_above(node, symbols.stud(), notes)


def _frame(node: Node, notes: Notes) -> Piece:
    symbol = symbols.frame()
    owner = node.part.name if node.part else ""
    foot = symbol.body.bottom + 0.6 + heading_above(owner, notes)
    strokes, letterings = heading(owner, _name(node), 0.0, foot, notes)
    return _piece(node, symbol, strokes, letterings)


def _cavity(node: Node, notes: Notes) -> Piece:
    plug_on_left = node.left is not None and node.left.name.startswith("plug")
    symbol = symbols.plug_and_receptacle(plug_on_left=plug_on_left)
    number = Lettering(0.0, symbol.body.top - ABOVE_MM, str(node.cavity), "middle")
    return _piece(node, symbol, [], [number])


def _coil_return(node: Node, notes: Notes) -> Piece:
    return Piece(Figure("", Box(-0.3, -0.3, 0.3, 0.3)), 0.0, 0.0)


def _unknown(node: Node, notes: Notes) -> Piece:
    return _named_above(node, symbols.unknown_part(), notes, node.kind)


COIL_HALF_MM = 9.5
"""From the middle of a coil to the joints of its suppression, and to its terminals."""
_COIL_TEXT_MM = 31.0


def _coil(node: Node, notes: Notes) -> Piece:
    coil = node.part
    if not isinstance(coil, SolenoidCoil):
        return _unknown(node, notes)
    body = symbols.coil()
    strokes = [
        Stroke(((-COIL_HALF_MM, 0.0), (body.left, 0.0)), CONDUCTOR_MM),
        *body.strokes,
        Stroke(((body.right, 0.0), (COIL_HALF_MM, 0.0)), CONDUCTOR_MM),
    ]
    feed = node.left.name if node.left else "1"
    back = "2" if feed == "1" else "1"
    letterings = [
        Lettering(x, -1.0, _signed(name, coil.plus), "middle")
        for x, name in ((-5.6, feed), (5.6, back))
    ]
    branch = _suppression(coil.suppression, feed)
    strokes += branch.strokes
    letterings += branch.letterings
    top = body.body.top - ABOVE_MM - 0.4
    for line in reversed(_coil_text(coil)):
        letterings.append(Lettering(0.0, top, line, "middle"))
        top -= LINE_STEP_MM
    ohms = notes.known(coil.name, "resistance", f"{coil.resistance_20c_ohm.nominal:.3g}")
    signs, names = heading(coil.name, f"{_name(node)} · {ohms} Ω", 0.0, top, notes)
    bottom = branch.body.bottom if branch.strokes else body.body.bottom
    box = Box(-COIL_HALF_MM, body.body.top, COIL_HALF_MM, bottom)
    strokes += signs
    symbol = Symbol(tuple(strokes), box, -COIL_HALF_MM, COIL_HALF_MM)
    piece = _piece(node, symbol, [], letterings + names)
    return _with_return_sleeve(node, piece)


def _signed(name: str, plus: str | None) -> str:
    if plus is None:
        return name
    return f"{name}+" if name == plus else f"{name}−"


def _coil_text(coil: SolenoidCoil) -> list[str]:
    lines = wrapped(coil.moves.movement, _COIL_TEXT_MM)
    if len(lines) > 2:
        lines = [lines[0], shortened(" ".join(lines[1:]), 18)]
    return lines


def _with_return_sleeve(node: Node, piece: Piece) -> Piece:
    """The return wire's sleeve sits at the coil's far terminal, where the wire begins."""
    wire = node.return_wire
    if wire is None:
        return piece
    strokes, code = sleeve(wire.colour, piece.right + 1.0)
    figure = piece.figure
    figure = Figure(
        figure.owner,
        figure.body,
        (*figure.strokes, *strokes),
        (*figure.letterings, code),
        figure.title,
    )
    reach = max(piece.right + 2.0 + SLEEVE_MM, code.box.right + 0.5)
    return Piece(figure, piece.left, reach)


def _suppression(suppression: Suppression, feed: str) -> Figure:
    """The branch across the coil, below it; `feed` is the coil terminal on the left."""
    y = 8.0
    kind = suppression.kind
    if kind == "none":
        return Figure("", Box(0.0, 0.0, 0.0, 0.0))
    known = suppression.cathode in ("1", "2")
    on_left = suppression.cathode == feed
    parts: list[tuple[float, Symbol]]
    texts: list[Lettering] = []
    if kind == "diode" and known:
        parts = [(0.0, symbols.diode(cathode_on_left=on_left))]
    elif kind == "diode + Zener" and known:
        parts = [
            (-3.0, symbols.diode(cathode_on_left=on_left)),
            (3.0, symbols.zener_diode(cathode_on_left=not on_left)),
        ]
    elif kind == "resistor":
        parts = [(0.0, symbols.resistor())]
    else:
        parts = [(0.0, symbols.unknown_part())]
        texts = [Lettering(0.0, y + TEXT_MM / 2.0, "?", "middle")]
    strokes = [
        dot.moved(x, 0.0) for x in (-COIL_HALF_MM, COIL_HALF_MM) for dot in symbols.joint().strokes
    ]
    at = -COIL_HALF_MM
    start = (at, 0.0)
    for x, symbol in parts:
        corner = ((at, y),) if start[1] == 0.0 else ()
        strokes.append(Stroke((start, *corner, (x + symbol.left, y))))
        strokes += [stroke.moved(x, y) for stroke in symbol.strokes]
        at = x + symbol.right
        start = (at, y)
    strokes.append(Stroke((start, (COIL_HALF_MM, y), (COIL_HALF_MM, 0.0))))
    return Figure("", Box(-COIL_HALF_MM, 0.0, COIL_HALF_MM, y + 2.2), tuple(strokes), tuple(texts))


_COMPOSED: Mapping[str, Callable[[Node, Notes], Piece]] = {
    "fuse": _fuse,
    "splice": _splice,
    "joint": _joint,
    "ground stud": _stud,
    "frame": _frame,
    "cavity": _cavity,
    "coil return": _coil_return,
    "solenoid coil": _coil,
}
