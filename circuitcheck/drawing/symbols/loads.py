"""Symbols of IEC 60617 for resistors, semiconductors, lamps and converters.

They lie on a conductor as those of `symbols` do.
"""

from __future__ import annotations

import math

from circuitcheck.drawing.geometry import CONDUCTOR_MM, THIN_MM, Stroke
from circuitcheck.drawing.strokes import (
    Symbol,
    arc,
    filled,
    hollow,
    line,
    mirrored,
    rectangle,
    symbol_of,
    upside_down,
)


def resistor() -> Symbol:
    """An empty rectangle."""
    return symbol_of([rectangle(-4.0, -1.5, 4.0, 1.5)], -4.0, 4.0)


def diode(*, cathode_on_left: bool) -> Symbol:
    """Triangle pointing at the bar of the cathode."""
    strokes = [
        hollow((-1.6, -1.6), (-1.6, 1.6), (1.4, 0.0)),
        line((1.4, -1.6), (1.4, 1.6), width_mm=CONDUCTOR_MM),
    ]
    symbol = symbol_of(strokes, -1.6, 1.4)
    return mirrored(symbol) if cathode_on_left else symbol


def zener_diode(*, cathode_on_left: bool) -> Symbol:
    """A diode whose cathode bar has a bent end."""
    plain = diode(cathode_on_left=False)
    bent = line((1.4, -1.6), (0.4, -1.6), width_mm=CONDUCTOR_MM)
    symbol = symbol_of([*plain.strokes, bent], plain.left, plain.right)
    return mirrored(symbol) if cathode_on_left else symbol


def bidirectional_suppressor() -> Symbol:
    """Two breakdown diodes tip to tip on one bar with bent ends: it has no polarity."""
    strokes = [
        hollow((-3.0, -1.6), (-3.0, 1.6), (0.0, 0.0)),
        hollow((3.0, -1.6), (3.0, 1.6), (0.0, 0.0)),
        line((1.0, -1.6), (0.0, -1.6), (0.0, 1.6), (-1.0, 1.6), width_mm=CONDUCTOR_MM),
    ]
    return symbol_of(strokes, -3.0, 3.0)


def lamp() -> Symbol:
    """A circle with a cross."""
    radius = 3.0
    reach = radius * math.sqrt(0.5)
    strokes = [
        hollow(*arc(0.0, 0.0, radius, 0.0, 345.0)),
        line((-reach, -reach), (reach, reach)),
        line((-reach, reach), (reach, -reach)),
    ]
    return symbol_of(strokes, -radius, radius)


def light_emitting_diode(*, cathode_on_left: bool) -> Symbol:
    """A diode with two arrows that point away from it."""
    plain = diode(cathode_on_left=False)
    symbol = symbol_of([*plain.strokes, *_light(0.0)], plain.left, plain.right)
    return mirrored(symbol) if cathode_on_left else symbol


def light_either_way() -> Symbol:
    """Two light-emitting diodes across each other: one of them lights, either way round."""
    high, low = -2.2, 2.2
    upper = diode(cathode_on_left=False).moved(0.0, high)
    lower = diode(cathode_on_left=True).moved(0.0, low)
    frame = [
        line((-1.6, high), (-3.0, high), (-3.0, low), (-1.4, low)),
        line((1.4, high), (3.0, high), (3.0, low), (1.6, low)),
    ]
    below = upside_down(symbol_of(_light(high))).strokes
    return symbol_of([*frame, *upper, *lower, *_light(high), *below], -3.0, 3.0)


def _light(y: float) -> list[Stroke]:
    """Two short arrows upward to the right, from a diode whose axis lies at `y`."""
    strokes = []
    for x in (-0.6, 1.0):
        tip = (x + 1.3, y - 3.9)
        strokes.append(line((x, y - 2.1), tip, width_mm=THIN_MM))
        strokes.append(filled(tip, (tip[0] - 1.1, tip[1] + 0.5), (tip[0] - 0.2, tip[1] + 1.2)))
    return strokes


CONVERTER_HALF_MM = 5.0


def converter() -> Symbol:
    """A square with a diagonal, the sign of direct current on either side of it."""
    half = CONVERTER_HALF_MM
    strokes = [
        rectangle(-half, -half, half, half),
        line((-half, half), (half, -half)),
    ]
    for x, y in ((-2.5, -2.6), (2.5, 2.6)):
        strokes.append(line((x - 1.6, y - 0.6), (x + 1.6, y - 0.6)))
        strokes += [line((x + at, y + 0.6), (x + at + 0.8, y + 0.6)) for at in (-1.6, -0.4, 0.8)]
    return symbol_of(strokes, -half, half)


def unknown_part() -> Symbol:
    """Something of which only the place is known: a dashed rectangle."""
    corners = ((-4.0, -2.0), (4.0, -2.0), (4.0, 2.0), (-4.0, 2.0))
    return symbol_of([Stroke(corners, dashed=True, closed=True)], -4.0, 4.0)
