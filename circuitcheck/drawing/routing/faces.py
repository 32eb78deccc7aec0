"""Connector faces as they look from the side where the wires go in, half by half.

The receptacle's cavities run from left to right; those of the plug that meets it run from right to
left, since the two halves face each other. Where the file does not say in how many rows they
stand, up to three are drawn in one row, more in two; a seven-way socket in a ring. The number
moulded beside a cavity counts.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from circuitcheck.drawing.colours import colour_text, inks
from circuitcheck.drawing.geometry import LINE_MM, THIN_MM, Box, Figure, Lettering, Stroke
from circuitcheck.drawing.routing.content import NAME_LETTERS, Content
from circuitcheck.drawing.strokes import INK, arc, hollow, line, rectangle
from circuitcheck.drawing.symbols.feeding import failing_sign
from circuitcheck.drawing.text_size import TEXT_MM, printable, shortened, text_width_mm
from circuitcheck.model.connector import HALVES, Connector
from circuitcheck.model.terminal import Terminal
from circuitcheck.model.wire import Wire

CELL_WIDE_MM, CELL_HIGH_MM = 19.0, 17.8
_RIM_MM = 2.5
_ONE_ROW = 3
_RING = 7


def places_of(cavities: int, half: str, rows: int | None = None) -> list[tuple[int, int, int]]:
    """Return cavity, row and column from the upper left, seen from the wire side.

    Cavities are numbered row by row; without `rows` up to three stand in one row, more in two.

    >>> places_of(3, "receptacle"), places_of(3, "plug")
    ([(1, 0, 0), (2, 0, 1), (3, 0, 2)], [(1, 0, 2), (2, 0, 1), (3, 0, 0)])
    """
    usual = 1 if cavities <= _ONE_ROW else 2
    columns = math.ceil(cavities / (rows or usual))
    found = []
    for cavity in range(1, cavities + 1):
        row, column = divmod(cavity - 1, columns)
        found.append((cavity, row, column if half == HALVES[1] else columns - 1 - column))
    return found


def centres_of(connector: Connector, half: str) -> list[tuple[int, float, float]]:
    """Return cavity and middle of its cell, from the upper left corner of the face. [mm]"""
    if connector.socket and connector.cavities == _RING:
        return _ring(half)
    return [
        (cavity, (column + 0.5) * CELL_WIDE_MM, (row + 0.5) * CELL_HIGH_MM)
        for cavity, row, column in places_of(connector.cavities, half, connector.rows)
    ]


def _ring(half: str) -> list[tuple[int, float, float]]:
    """Six round one in the middle: the cells stand in three columns, two, three, two."""
    turn = 1.0 if half == HALVES[1] else -1.0
    middle = 1.5 * CELL_WIDE_MM
    at = {1: (-1, -0.5), 2: (0, -1), 3: (1, -0.5), 4: (1, 0.5), 5: (0, 1), 6: (-1, 0.5), 7: (0, 0)}
    return [
        (cavity, middle + turn * x * CELL_WIDE_MM, (1.5 + y) * CELL_HIGH_MM)
        for cavity, (x, y) in at.items()
    ]


def wires_at(content: Content, connector: Connector, half: str, cavity: int) -> list[Wire]:
    """Return the wires in one cavity."""
    terminal = Terminal(connector.name, f"{half}.{cavity}")
    return [w for w in content.harness.wires.values() if terminal in (w.start, w.end)]


def face(content: Content, connector: Connector, half: str) -> Figure:
    """Return one half from the wire side, upper left corner of its cells at (0, 0)."""
    centres = centres_of(connector, half)
    right = max(x for _, x, _ in centres) + CELL_WIDE_MM / 2.0
    bottom = max(y for _, _, y in centres) + CELL_HIGH_MM / 2.0
    rim = Box(-_RIM_MM, -_RIM_MM, right + _RIM_MM, bottom + _RIM_MM)
    strokes = [rectangle(rim.left, rim.top, rim.right, rim.bottom)]
    if not connector.socket:
        # The catch shows which way up the half is held.
        middle = right / 2.0
        strokes.append(rectangle(middle - 5.0, rim.top - 2.0, middle + 5.0, rim.top))
    words, signs = _heading(content, connector, half, rim)
    strokes += signs
    for cavity, x, y in centres:
        cell, said = _cell(content, connector, half, cavity, (x, y))
        strokes += cell
        words += said
    body = Box(rim.left, rim.top - 2.0, rim.right, rim.bottom)
    title = f"{connector.kind} {connector.name}, {half} from the wire side"
    return Figure(f"{connector.name}.{half}", body, tuple(strokes), tuple(words), printable(title))


def _heading(
    content: Content, connector: Connector, half: str, rim: Box
) -> tuple[list[Lettering], list[Stroke]]:
    """Return name and contact family above a face, with the sign of a connector that fails."""
    name = f"{shortened(connector.name, NAME_LETTERS)} {half}, wire side"
    contact = connector.contact.name if connector.contact else "contact not known"
    base = rim.top - 2.0 - 1.6
    above = base - (4.5 if content.notes.get(connector.name) is not None else 3.7)
    x = rim.left
    strokes: list[Stroke] = []
    words: list[Lettering] = []
    number = content.notes.get(connector.name)
    if number is not None:
        sign = failing_sign(len(str(number)))
        middle = x + sign.body.width / 2.0
        strokes = [stroke.moved(middle, above + 0.6) for stroke in sign.strokes]
        words.append(Lettering(middle, above, str(number), "middle"))
        x += sign.body.width + 1.0
    words.append(Lettering(x, above, name))
    words.append(Lettering(rim.left, base, connector.socket or contact))
    return words, strokes


def _cell(
    content: Content, connector: Connector, half: str, cavity: int, middle: tuple[float, float]
) -> tuple[list[Stroke], list[Lettering]]:
    """Return one cavity: its number, and wire, colour and size, or how it is closed."""
    x, y = middle
    left, top = x - CELL_WIDE_MM / 2.0 + 0.6, y - CELL_HIGH_MM / 2.0 + 0.6
    right, bottom = x + CELL_WIDE_MM / 2.0 - 0.6, y + CELL_HIGH_MM / 2.0 - 0.6
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    strokes = [Stroke(corners, THIN_MM, closed=True)]
    words = [Lettering(left + 1.0, top + 1.0 + TEXT_MM, str(cavity), bold=True)]
    wires = wires_at(content, connector, half, cavity)
    if not wires:
        closed, said = _empty(connector, x, y, top)
        return strokes + closed, words + said
    sleeve_left = left + 7.5 if cavity > 9 else left + 5.0
    strokes += _sleeve(wires[0].colour, sleeve_left, right - 1.0, top + 2.2)
    first = wires[0]
    room = right - left - 1.6
    lines = [_name(content, wire, room / len(wires)) for wire in wires]
    words.append(Lettering(x, top + 8.3, " ".join(lines), "middle"))
    colours = "+".join(shortened(colour_text(wire.colour), 7) for wire in wires)
    words.append(Lettering(x, top + 12.2, _short(colours, room), "middle"))
    gauge = content.notes.known(first.name, "gauge", first.gauge.replace("mm2", "mm²"))
    words.append(Lettering(x, top + 15.9, _short(gauge, room), "middle"))
    return strokes, words


def _name(content: Content, wire: Wire, room: float) -> str:
    """Return a wire's name, with `!` and number where it fails."""
    number = content.notes.get(wire.name)
    failing = "" if number is None else f" !{number}"
    return _short(wire.name, room - text_width_mm(failing)) + failing


def _short(text: str, room: float) -> str:
    most = len(printable(text))
    while most > 1 and text_width_mm(shortened(text, most)) > room:
        most -= 1
    return shortened(text, most)


def _sleeve(colour: Sequence[str], left: float, right: float, y: float) -> list[Stroke]:
    """Return the wire's insulation in its colours, the stripe along the middle."""
    shades = inks(tuple(colour))
    outer = ((left, y - 1.0), (right, y - 1.0), (right, y + 1.0), (left, y + 1.0))
    strokes = [Stroke(outer, THIN_MM, closed=True, fill=shades[0], ink=INK)]
    if len(shades) > 1:
        inner = ((left, y - 0.3), (right, y - 0.3), (right, y + 0.3), (left, y + 0.3))
        strokes.append(Stroke(inner, 0.05, closed=True, fill=shades[1], ink=shades[1]))
    return strokes


def _empty(
    connector: Connector, x: float, y: float, top: float
) -> tuple[list[Stroke], list[Lettering]]:
    """Return an empty cavity: a circle crossed out where a sealing plug has to close it."""
    circle = hollow(*arc(x + 2.0, top + 4.2, 2.4, 0.0, 345.0))
    sealed = connector.contact is not None and bool(connector.contact.sealed)
    strokes = [circle]
    if sealed:
        d = 1.7
        strokes += [
            line((x + 2.0 - d, top + 4.2 - d), (x + 2.0 + d, top + 4.2 + d), width_mm=LINE_MM),
            line((x + 2.0 - d, top + 4.2 + d), (x + 2.0 + d, top + 4.2 - d), width_mm=LINE_MM),
        ]
    lines = ("sealing", "plug") if sealed else ("empty",)
    words = [Lettering(x, top + 10.3 + k * 3.9, said, "middle") for k, said in enumerate(lines)]
    return strokes, words
