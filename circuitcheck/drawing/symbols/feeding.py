"""Symbols of IEC 60617 as strokes, one function each.

A symbol lies on a conductor that runs from left to right along y = 0 through the point (0, 0);
`left` and `right` are where the conductor meets it. Sizes follow the module M = 2.5 mm that
IEC 60617 draws on. Shapes follow the general rules of IEC 60617, known from memory, here and in
`symbols/switching.py` (contacts, operators, coils) and `symbols/loads.py` (lamps, semiconductors).
"""

from __future__ import annotations

from circuitcheck.drawing.geometry import CONDUCTOR_MM, HEAVY_MM, THIN_MM, Stroke
from circuitcheck.drawing.strokes import (
    PAPER,
    Symbol,
    arc,
    filled,
    line,
    mirrored,
    rectangle,
    symbol_of,
)

AMBER = "#ffd84d"
DARK_RED = "#8a1010"


def battery() -> Symbol:
    """Two cells: the long thin plate of each is the positive one, on the left."""
    strokes = [line((-5.0, 0.0), (-2.25, 0.0), width_mm=CONDUCTOR_MM)]
    for x in (-2.25, 0.75):
        strokes.append(line((x, -4.5), (x, 4.5)))
        strokes.append(line((x + 1.5, -2.25), (x + 1.5, 2.25), width_mm=HEAVY_MM))
    strokes.append(line((-0.75, 0.0), (0.75, 0.0), width_mm=CONDUCTOR_MM))
    strokes.append(line((2.25, 0.0), (5.0, 0.0), width_mm=CONDUCTOR_MM))
    return symbol_of(strokes, -5.0, 5.0)


def fuse() -> Symbol:
    """A rectangle with the conductor drawn through it."""
    body = rectangle(-5.0, -1.75, 5.0, 1.75)
    return symbol_of([body, line((-5.0, 0.0), (5.0, 0.0))], -5.0, 5.0)


def plug_and_receptacle(*, plug_on_left: bool) -> Symbol:
    """Mated pair: the plug's pin, a filled bar, in the receptacle's socket, an open arc."""
    strokes = [
        filled((-3.0, -0.7), (0.9, -0.7), (0.9, 0.7), (-3.0, 0.7)),
        line(*arc(0.9, 0.0, 1.7, -80.0, 80.0), width_mm=CONDUCTOR_MM),
        line((2.6, 0.0), (3.0, 0.0), width_mm=CONDUCTOR_MM),
    ]
    symbol = symbol_of(strokes, -3.0, 3.0)
    return symbol if plug_on_left else mirrored(symbol)


def stud() -> Symbol:
    """A terminal: a small circle."""
    circle = Stroke(arc(0.0, 0.0, 1.3, 0.0, 345.0), closed=True, fill=PAPER)
    return symbol_of([circle], -1.3, 1.3)


def frame() -> Symbol:
    """Frame or chassis: a stem, a bar and three slanting strokes below the conductor."""
    strokes = [
        line((0.0, 0.0), (0.0, 3.0), width_mm=CONDUCTOR_MM),
        line((-4.0, 3.0), (4.0, 3.0), width_mm=HEAVY_MM),
    ]
    strokes += [line((x, 3.0), (x - 1.8, 5.4)) for x in (-2.2, 1.0, 4.0)]
    return symbol_of(strokes)


def supply_tap() -> Symbol:
    """Where the add-on's first wire lands on the machine: a terminal on the branch."""
    circle = Stroke(arc(0.0, 0.0, 1.3, 0.0, 345.0), closed=True, fill=PAPER)
    return symbol_of([circle, filled(*arc(0.0, 0.0, 0.6, 0.0, 330.0))], -1.3, 1.3)


def joint() -> Symbol:
    """A dot: conductors joined."""
    return symbol_of([filled(*arc(0.0, 0.0, 0.8, 0.0, 345.0))], -0.8, 0.8)


def open_end() -> Symbol:
    """A conductor that ends nowhere: a small open circle."""
    return symbol_of([Stroke(arc(0.0, 0.0, 0.7, 0.0, 330.0), closed=True, fill=PAPER)], -0.7, 0.7)


def branch_arrow(*, downward: bool = False) -> Symbol:
    """A conductor that goes on to consumers outside the drawing: an arrow head."""
    return symbol_of([filled((-1.1, 0.0), (1.1, 0.0), (0.0, 2.4 if downward else -2.4))])


def jacket_loop(height_mm: float) -> Symbol:
    """The loop round the cores of one jacketed cable, centred on them."""
    half = height_mm / 2.0
    points = tuple((1.6 * x, half * y) for x, y in arc(0.0, 0.0, 1.0, 0.0, 352.0))
    return symbol_of([Stroke(points, width_mm=THIN_MM, closed=True)])


def failing_sign(digits: int) -> Symbol:
    """A warning triangle with room for a number of so many digits; its base lies on y = 0."""
    half = 2.6 + 0.9 * digits
    corners = ((-half, 0.0), (half, 0.0), (0.0, -1.7 * half))
    return symbol_of([Stroke(corners, width_mm=HEAVY_MM, closed=True, fill=AMBER, ink=DARK_RED)])
