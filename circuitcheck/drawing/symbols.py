"""Symbols of IEC 60617 as strokes, one function each.

A symbol lies on a conductor that runs from left to right along y = 0 through the point (0, 0);
`left` and `right` are where the conductor meets it. Sizes follow the module M = 2.5 mm that
IEC 60617 draws on. Shapes drawn from the general rules of IEC 60617 (fuse, contact, push button,
coil, diode, frame, plug and socket, battery), known from memory.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from circuitcheck.drawing.geometry import (
    CONDUCTOR_MM,
    HEAVY_MM,
    LINE_MM,
    THIN_MM,
    Box,
    Point,
    Stroke,
    box_around,
)

INK = "#1a1a1a"
PAPER = "#ffffff"
AMBER = "#ffd84d"
DARK_RED = "#8a1010"


@dataclass(frozen=True)
class Symbol:
    """Strokes about (0, 0), the box that must stay clear, the two places of connection."""

    strokes: tuple[Stroke, ...]
    body: Box
    left: float = 0.0
    right: float = 0.0


def _line(*points: Point, width_mm: float = LINE_MM, dashed: bool = False) -> Stroke:
    return Stroke(points, width_mm=width_mm, dashed=dashed)


def _rectangle(left: float, top: float, right: float, bottom: float) -> Stroke:
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    return Stroke(corners, closed=True, fill=PAPER)


def _filled(*points: Point) -> Stroke:
    return Stroke(points, width_mm=THIN_MM, closed=True, fill=INK)


def _arc(x: float, y: float, radius: float, first: float, last: float) -> tuple[Point, ...]:
    """Points of an arc from angle `first` to `last` in degrees, clockwise on the sheet."""
    steps = max(6, round(abs(last - first) / 15))
    angles = [math.radians(first + (last - first) * k / steps) for k in range(steps + 1)]
    return tuple((x + radius * math.cos(a), y + radius * math.sin(a)) for a in angles)


def _symbol(strokes: Iterable[Stroke], left: float = 0.0, right: float = 0.0) -> Symbol:
    drawn = tuple(strokes)
    return Symbol(drawn, box_around([s.box for s in drawn]), left, right)


def turned(symbol: Symbol) -> Symbol:
    """Return the symbol on a conductor that runs downward: left becomes top, top becomes left."""

    def turn(stroke: Stroke) -> Stroke:
        return replace(stroke, points=tuple((y, x) for x, y in stroke.points))

    return _symbol(map(turn, symbol.strokes), symbol.left, symbol.right)


def mirrored(symbol: Symbol) -> Symbol:
    """Return the symbol with left and right changed over."""

    def mirror(stroke: Stroke) -> Stroke:
        return replace(stroke, points=tuple((-x, y) for x, y in stroke.points))

    return _symbol(map(mirror, symbol.strokes), -symbol.right, -symbol.left)


def battery() -> Symbol:
    """Two cells: the long thin plate of each is the positive one, on the left."""
    strokes = [_line((-5.0, 0.0), (-2.25, 0.0), width_mm=CONDUCTOR_MM)]
    for x in (-2.25, 0.75):
        strokes.append(_line((x, -4.5), (x, 4.5)))
        strokes.append(_line((x + 1.5, -2.25), (x + 1.5, 2.25), width_mm=HEAVY_MM))
    strokes.append(_line((-0.75, 0.0), (0.75, 0.0), width_mm=CONDUCTOR_MM))
    strokes.append(_line((2.25, 0.0), (5.0, 0.0), width_mm=CONDUCTOR_MM))
    return _symbol(strokes, -5.0, 5.0)


def fuse() -> Symbol:
    """A rectangle with the conductor drawn through it."""
    body = _rectangle(-5.0, -1.75, 5.0, 1.75)
    return _symbol([body, _line((-5.0, 0.0), (5.0, 0.0))], -5.0, 5.0)


def resistor() -> Symbol:
    """An empty rectangle."""
    return _symbol([_rectangle(-4.0, -1.5, 4.0, 1.5)], -4.0, 4.0)


def make_contact() -> Symbol:
    """A contact that closes when worked: the blade stands open, hinged on the left."""
    strokes = [
        _line((-5.0, 0.0), (-3.75, 0.0), width_mm=CONDUCTOR_MM),
        _line((-3.75, 0.0), (3.5, -3.6), width_mm=CONDUCTOR_MM),
        _line((3.75, 0.0), (5.0, 0.0), width_mm=CONDUCTOR_MM),
    ]
    return _symbol(strokes, -5.0, 5.0)


def break_contact() -> Symbol:
    """A contact that opens when worked: the blade lies against the tick of the fixed side."""
    strokes = [
        _line((-5.0, 0.0), (-3.75, 0.0), width_mm=CONDUCTOR_MM),
        _line((-3.75, 0.0), (4.75, -2.6), width_mm=CONDUCTOR_MM),
        _line((3.75, 0.0), (3.75, -3.6), width_mm=CONDUCTOR_MM),
        _line((3.75, 0.0), (5.0, 0.0), width_mm=CONDUCTOR_MM),
    ]
    return _symbol(strokes, -5.0, 5.0)


BLADE_Y_MM = -1.9
"""Height of a contact's blade above the conductor where a mechanical link takes hold of it."""
OPERATOR_TOP_MM = -9.5


def push_button(*, stays: bool) -> Symbol:
    """Operator by pushing, above the blade, with its link; a notch on the link where it stays."""
    top, foot = OPERATOR_TOP_MM, OPERATOR_TOP_MM + 1.4
    strokes = [
        _line((-2.0, foot), (-2.0, top), (2.0, top), (2.0, foot)),
        _line((0.0, top), (0.0, BLADE_Y_MM), width_mm=THIN_MM, dashed=True),
    ]
    if stays:
        notch = (OPERATOR_TOP_MM + BLADE_Y_MM) / 2.0
        strokes.append(_line((0.0, notch - 1.0), (1.2, notch), (0.0, notch + 1.0)))
    return _symbol(strokes)


def key_operator() -> Symbol:
    """Operator by key, above the blade, with its link: a bow and a bit."""
    strokes = [
        _line(*_arc(0.0, OPERATOR_TOP_MM, 1.2, 0.0, 360.0)),
        _line((0.0, OPERATOR_TOP_MM + 1.2), (0.0, OPERATOR_TOP_MM + 3.4)),
        _line((0.0, OPERATOR_TOP_MM + 2.6), (1.0, OPERATOR_TOP_MM + 2.6)),
        _line((0.0, OPERATOR_TOP_MM + 3.4), (1.0, OPERATOR_TOP_MM + 3.4)),
        _line((0.0, OPERATOR_TOP_MM + 3.4), (0.0, BLADE_Y_MM), width_mm=THIN_MM, dashed=True),
    ]
    return _symbol(strokes)


def mechanical_interlock() -> Symbol:
    """The mark set on a dashed link between two operators: only one can be worked at a time."""
    return _symbol([Stroke(((-1.3, -1.1), (1.3, -1.1), (0.0, 1.1)), closed=True, fill=PAPER)])


def plug_and_receptacle(*, plug_on_left: bool) -> Symbol:
    """Mated pair: the plug's pin, a filled bar, in the receptacle's socket, an open arc."""
    strokes = [
        _filled((-3.0, -0.7), (0.9, -0.7), (0.9, 0.7), (-3.0, 0.7)),
        _line(*_arc(0.9, 0.0, 1.7, -80.0, 80.0), width_mm=CONDUCTOR_MM),
        _line((2.6, 0.0), (3.0, 0.0), width_mm=CONDUCTOR_MM),
    ]
    symbol = _symbol(strokes, -3.0, 3.0)
    return symbol if plug_on_left else mirrored(symbol)


def stud() -> Symbol:
    """A terminal: a small circle."""
    circle = Stroke(_arc(0.0, 0.0, 1.3, 0.0, 345.0), closed=True, fill=PAPER)
    return _symbol([circle], -1.3, 1.3)


def frame() -> Symbol:
    """Frame or chassis: a stem, a bar and three slanting strokes below the conductor."""
    strokes = [
        _line((0.0, 0.0), (0.0, 3.0), width_mm=CONDUCTOR_MM),
        _line((-4.0, 3.0), (4.0, 3.0), width_mm=HEAVY_MM),
    ]
    strokes += [_line((x, 3.0), (x - 1.8, 5.4)) for x in (-2.2, 1.0, 4.0)]
    return _symbol(strokes)


def coil() -> Symbol:
    """Operating device of a solenoid: a rectangle, fed at the middle of its long sides."""
    return _symbol([_rectangle(-2.5, -4.0, 2.5, 4.0)], -2.5, 2.5)


def diode(*, cathode_on_left: bool) -> Symbol:
    """Triangle pointing at the bar of the cathode."""
    strokes = [
        Stroke(((-1.6, -1.6), (-1.6, 1.6), (1.4, 0.0)), closed=True, fill=PAPER),
        _line((1.4, -1.6), (1.4, 1.6), width_mm=CONDUCTOR_MM),
    ]
    symbol = _symbol(strokes, -1.6, 1.4)
    return mirrored(symbol) if cathode_on_left else symbol


def zener_diode(*, cathode_on_left: bool) -> Symbol:
    """A diode whose cathode bar has a bent end."""
    plain = diode(cathode_on_left=False)
    bent = _line((1.4, -1.6), (0.4, -1.6), width_mm=CONDUCTOR_MM)
    symbol = _symbol([*plain.strokes, bent], plain.left, plain.right)
    return mirrored(symbol) if cathode_on_left else symbol


def unknown_part() -> Symbol:
    """Something of which only the place is known: a dashed rectangle."""
    corners = ((-4.0, -2.0), (4.0, -2.0), (4.0, 2.0), (-4.0, 2.0))
    return _symbol([Stroke(corners, dashed=True, closed=True)], -4.0, 4.0)


def supply_tap() -> Symbol:
    """Where the add-on's first wire lands on the machine: a terminal on the branch."""
    circle = Stroke(_arc(0.0, 0.0, 1.3, 0.0, 345.0), closed=True, fill=PAPER)
    return _symbol([circle, _filled(*_arc(0.0, 0.0, 0.6, 0.0, 330.0))], -1.3, 1.3)


def joint() -> Symbol:
    """A dot: conductors joined."""
    return _symbol([_filled(*_arc(0.0, 0.0, 0.8, 0.0, 345.0))], -0.8, 0.8)


def open_end() -> Symbol:
    """A conductor that ends nowhere: a small open circle."""
    return _symbol([Stroke(_arc(0.0, 0.0, 0.7, 0.0, 330.0), closed=True, fill=PAPER)], -0.7, 0.7)


def branch_arrow() -> Symbol:
    """A conductor that goes on to consumers outside the drawing: an arrow head upward."""
    return _symbol([_filled((-1.1, 0.0), (1.1, 0.0), (0.0, -2.4))])


def jacket_loop(height_mm: float) -> Symbol:
    """The loop round the cores of one jacketed cable, centred on them."""
    half = height_mm / 2.0
    points = tuple((1.6 * x, half * y) for x, y in _arc(0.0, 0.0, 1.0, 0.0, 352.0))
    return _symbol([Stroke(points, width_mm=THIN_MM, closed=True)])


def failing_sign(digits: int) -> Symbol:
    """A warning triangle with room for a number of so many digits; its base lies on y = 0."""
    half = 2.6 + 0.9 * digits
    corners = ((-half, 0.0), (half, 0.0), (0.0, -1.7 * half))
    return _symbol([Stroke(corners, width_mm=HEAVY_MM, closed=True, fill=AMBER, ink=DARK_RED)])
