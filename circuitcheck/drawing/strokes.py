"""The pen: straight strokes, arcs and filled figures, and symbols put together from them."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

from circuitcheck.drawing.geometry import LINE_MM, THIN_MM, Box, Point, Stroke, box_around
from circuitcheck.record import record

INK = "#1a1a1a"
PAPER = "#ffffff"


@record
class Symbol:
    """Strokes about (0, 0), the box that must stay clear, the two places of connection."""

    strokes: tuple[Stroke, ...]
    body: Box
    left: float = 0.0
    right: float = 0.0

    def moved(self, dx: float, dy: float) -> tuple[Stroke, ...]:
        """Return the strokes shifted."""
        return tuple(stroke.moved(dx, dy) for stroke in self.strokes)


def line(*points: Point, width_mm: float = LINE_MM, dashed: bool = False) -> Stroke:
    """Return an open line."""
    return Stroke(points, width_mm=width_mm, dashed=dashed)


def rectangle(left: float, top: float, right: float, bottom: float) -> Stroke:
    """Return an upright rectangle that hides what lies under it."""
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    return Stroke(corners, closed=True, fill=PAPER)


def filled(*points: Point) -> Stroke:
    """Return a figure filled with ink."""
    return Stroke(points, width_mm=THIN_MM, closed=True, fill=INK)


def hollow(*points: Point) -> Stroke:
    """Return a closed figure that hides what lies under it."""
    return Stroke(points, closed=True, fill=PAPER)


def arc(x: float, y: float, radius: float, first: float, last: float) -> tuple[Point, ...]:
    """Points of an arc from angle `first` to `last` in degrees, clockwise on the sheet."""
    steps = max(6, round(abs(last - first) / 15))
    angles = [math.radians(first + (last - first) * k / steps) for k in range(steps + 1)]
    return tuple((x + radius * math.cos(a), y + radius * math.sin(a)) for a in angles)


def symbol_of(strokes: Iterable[Stroke], left: float = 0.0, right: float = 0.0) -> Symbol:
    """Return strokes as a symbol; its body is the box around them."""
    drawn = tuple(strokes)
    return Symbol(drawn, box_around([s.box for s in drawn]), left, right)


def turned(symbol: Symbol) -> Symbol:
    """Return the symbol on a conductor that runs downward: left becomes top, top becomes left."""

    def turn(stroke: Stroke) -> Stroke:
        return replace(stroke, points=tuple((y, x) for x, y in stroke.points))

    return symbol_of(map(turn, symbol.strokes), symbol.left, symbol.right)


def mirrored(symbol: Symbol) -> Symbol:
    """Return the symbol with left and right changed over."""

    def mirror(stroke: Stroke) -> Stroke:
        return replace(stroke, points=tuple((-x, y) for x, y in stroke.points))

    return symbol_of(map(mirror, symbol.strokes), -symbol.right, -symbol.left)


def upside_down(symbol: Symbol) -> Symbol:
    """Return the symbol with top and bottom changed over."""

    def flip(stroke: Stroke) -> Stroke:
        return replace(stroke, points=tuple((x, -y) for x, y in stroke.points))

    return symbol_of(map(flip, symbol.strokes), symbol.left, symbol.right)
