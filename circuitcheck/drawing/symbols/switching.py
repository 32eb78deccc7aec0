"""Symbols of IEC 60617 for contacts, what works them, and coils.

They lie on a conductor as those of `symbols` do.
"""

from __future__ import annotations

import math

from circuitcheck.drawing.geometry import CONDUCTOR_MM, HEAVY_MM, THIN_MM
from circuitcheck.drawing.strokes import (
    Symbol,
    arc,
    hollow,
    line,
    rectangle,
    symbol_of,
)


def make_contact() -> Symbol:
    """A contact that closes when worked: the blade stands open, hinged on the left."""
    strokes = [
        line((-5.0, 0.0), (-3.75, 0.0), width_mm=CONDUCTOR_MM),
        line((-3.75, 0.0), (3.5, -3.6), width_mm=CONDUCTOR_MM),
        line((3.75, 0.0), (5.0, 0.0), width_mm=CONDUCTOR_MM),
    ]
    return symbol_of(strokes, -5.0, 5.0)


def break_contact() -> Symbol:
    """A contact that opens when worked: the blade lies against the tick of the fixed side."""
    strokes = [
        line((-5.0, 0.0), (-3.75, 0.0), width_mm=CONDUCTOR_MM),
        line((-3.75, 0.0), (4.75, -2.6), width_mm=CONDUCTOR_MM),
        line((3.75, 0.0), (3.75, -3.6), width_mm=CONDUCTOR_MM),
        line((3.75, 0.0), (5.0, 0.0), width_mm=CONDUCTOR_MM),
    ]
    return symbol_of(strokes, -5.0, 5.0)


def closed_contact() -> Symbol:
    """A contact drawn as it stands when closed: the blade lies straight, its link reaches it."""
    strokes = [
        line((-5.0, 0.0), (5.0, 0.0), width_mm=CONDUCTOR_MM),
        line((-3.75, 0.0), (3.75, 0.0), width_mm=HEAVY_MM),
        line((-3.75, -0.9), (-3.75, 0.9)),
        line((3.75, -0.9), (3.75, 0.9)),
        line((0.0, BLADE_Y_MM), (0.0, 0.0), width_mm=THIN_MM),
    ]
    return symbol_of(strokes, -5.0, 5.0)


def isolator_contact() -> Symbol:
    """An isolator at rest, closed: the blade lies on the bar of the fixed side."""
    strokes = [
        line((-5.0, 0.0), (-3.75, 0.0), width_mm=CONDUCTOR_MM),
        line((-3.75, 0.0), (4.25, -1.6), width_mm=CONDUCTOR_MM),
        line((3.75, -2.4), (3.75, 2.4), width_mm=CONDUCTOR_MM),
        line((3.75, 0.0), (5.0, 0.0), width_mm=CONDUCTOR_MM),
    ]
    return symbol_of(strokes, -5.0, 5.0)


def changeover_contact(rest_y: float, make_y: float) -> Symbol:
    """A contact that changes over when worked, on rows 0 (common, left), `rest_y` and `make_y`.

    The blade lies on the fixed contact of `rest_y` and stands clear of the one of `make_y`. Raises
    ValueError where the two are not on either side of the common row.
    """
    if rest_y * make_y >= 0.0:
        raise ValueError(f"rows {rest_y} and {make_y} are not on either side of the common one")
    up = math.copysign(1.0, rest_y)
    strokes = [
        line((-5.0, 0.0), (-3.75, 0.0), width_mm=CONDUCTOR_MM),
        line((-3.75, 0.0), (4.5, 2.0 * up), width_mm=CONDUCTOR_MM),
        line((5.0, rest_y), (3.75, rest_y), (3.75, 1.75 * up), width_mm=CONDUCTOR_MM),
        line((5.0, make_y), (3.75, make_y), (3.75, -1.75 * up), width_mm=CONDUCTOR_MM),
    ]
    return symbol_of(strokes, -5.0, 5.0)


BLADE_Y_MM = -1.9
"""Height of a contact's blade above the conductor where a mechanical link takes hold of it."""
OPERATOR_TOP_MM = -9.5


def push_button(*, stays: bool) -> Symbol:
    """Operator by pushing, above the blade, with its link; a notch on the link where it stays."""
    top, foot = OPERATOR_TOP_MM, OPERATOR_TOP_MM + 1.4
    strokes = [
        line((-2.0, foot), (-2.0, top), (2.0, top), (2.0, foot)),
        line((0.0, top), (0.0, BLADE_Y_MM), width_mm=THIN_MM, dashed=True),
    ]
    if stays:
        notch = (OPERATOR_TOP_MM + BLADE_Y_MM) / 2.0
        strokes.append(line((0.0, notch - 1.0), (1.2, notch), (0.0, notch + 1.0)))
    return symbol_of(strokes)


def turning_operator() -> Symbol:
    """Operator by turning, above the blade, with its link: a bar with ends turned apart."""
    top = OPERATOR_TOP_MM + 1.4
    strokes = [
        line((-2.0, top - 1.4), (-2.0, top), (2.0, top), (2.0, top + 1.4)),
        line((0.0, top), (0.0, -0.9), width_mm=THIN_MM, dashed=True),
    ]
    return symbol_of(strokes)


def key_operator() -> Symbol:
    """Operator by key, above the blade, with its link: a bow and a bit."""
    strokes = [
        line(*arc(0.0, OPERATOR_TOP_MM, 1.2, 0.0, 360.0)),
        line((0.0, OPERATOR_TOP_MM + 1.2), (0.0, OPERATOR_TOP_MM + 3.4)),
        line((0.0, OPERATOR_TOP_MM + 2.6), (1.0, OPERATOR_TOP_MM + 2.6)),
        line((0.0, OPERATOR_TOP_MM + 3.4), (1.0, OPERATOR_TOP_MM + 3.4)),
        line((0.0, OPERATOR_TOP_MM + 3.4), (0.0, BLADE_Y_MM), width_mm=THIN_MM, dashed=True),
    ]
    return symbol_of(strokes)


def mechanical_interlock() -> Symbol:
    """The mark set on a dashed link between two operators: only one can be worked at a time."""
    return symbol_of([hollow((-1.3, -1.1), (1.3, -1.1), (0.0, 1.1))])


def coil() -> Symbol:
    """Operating device of a solenoid: a rectangle, fed at the middle of its long sides."""
    return symbol_of([rectangle(-2.5, -4.0, 2.5, 4.0)], -2.5, 2.5)
