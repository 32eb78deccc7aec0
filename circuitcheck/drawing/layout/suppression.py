"""What takes a coil's energy at switch-off, as symbols along one branch across the coil."""

from __future__ import annotations

from collections.abc import Sequence

from circuitcheck.drawing.geometry import CONDUCTOR_MM, Lettering, Stroke
from circuitcheck.drawing.strokes import Symbol, turned
from circuitcheck.drawing.symbols import loads
from circuitcheck.drawing.symbols.feeding import joint
from circuitcheck.drawing.text_size import TEXT_MM
from circuitcheck.model.solenoid_coil import Suppression

Parts = list[tuple[float, Symbol]]
"""Symbols on a line from left to right, each with the place of its middle."""


def suppression_parts(suppression: Suppression, first: str) -> Parts:
    """Return the symbols between the coil terminal `first`, at the left, and the other one.

    Empty where there is no suppression. Raises ValueError for an unknown kind.
    """
    kind, known = suppression.kind, suppression.cathode not in (None, "unknown")
    at_left = suppression.cathode == first
    if kind == "none":
        return []
    if kind == "diode" and known:
        return [(0.0, loads.diode(cathode_on_left=at_left))]
    if kind == "diode + Zener" and known:
        return [
            (-3.0, loads.diode(cathode_on_left=at_left)),
            (3.0, loads.zener_diode(cathode_on_left=not at_left)),
        ]
    if kind == "resistor":
        return [(0.0, loads.resistor())]
    if kind == "bidirectional TVS":
        return [(0.0, loads.bidirectional_suppressor())]
    if kind in ("unknown", "diode", "diode + Zener"):
        return [(0.0, loads.unknown_part())]
    raise ValueError(f"no symbol for suppression of kind {kind!r}")


def is_guess(parts: Parts) -> bool:
    """Return whether the branch is drawn as something of which only the place is known."""
    return any(stroke.dashed for _, symbol in parts for stroke in symbol.strokes)


def branch_below(
    parts: Parts, left: float, right: float, drop: float, x: float = 0.0
) -> tuple[list[Stroke], list[Lettering]]:
    """Return the branch below a coil on y = 0, from its conductor at `left` to that at `right`."""
    if not parts:
        return [], []
    strokes = [*joint().moved(left, 0.0), *joint().moved(right, 0.0)]
    strokes += _chain([(at + x, symbol) for at, symbol in parts], drop, (left, right))
    strokes.append(Stroke(((left, 0.0), (left, drop)), CONDUCTOR_MM))
    strokes.append(Stroke(((right, 0.0), (right, drop)), CONDUCTOR_MM))
    texts = [Lettering(x, drop + TEXT_MM / 2.0, "?", "middle")] if is_guess(parts) else []
    return strokes, texts


def branch_beside(
    parts: Parts, x: float, top: float, bottom: float
) -> tuple[list[Stroke], list[Lettering]]:
    """Return the branch upright at `x`, between conductors at `top` and `bottom`.

    The parts' left is the upper end.
    """
    if not parts:
        return [], []
    middle = (top + bottom) / 2.0
    strokes = [*joint().moved(x, top), *joint().moved(x, bottom)]
    at = top
    for place, symbol in parts:
        upright = turned(symbol)
        strokes.append(Stroke(((x, at), (x, middle + place + symbol.left)), CONDUCTOR_MM))
        strokes += upright.moved(x, middle + place)
        at = middle + place + symbol.right
    strokes.append(Stroke(((x, at), (x, bottom)), CONDUCTOR_MM))
    texts = [Lettering(x, middle + TEXT_MM / 2.0, "?", "middle")] if is_guess(parts) else []
    return strokes, texts


def _chain(parts: Parts, y: float, ends: Sequence[float]) -> list[Stroke]:
    strokes: list[Stroke] = []
    at = ends[0]
    for x, symbol in parts:
        strokes.append(Stroke(((at, y), (x + symbol.left, y)), CONDUCTOR_MM))
        strokes += symbol.moved(x, y)
        at = x + symbol.right
    strokes.append(Stroke(((at, y), (ends[1], y)), CONDUCTOR_MM))
    return strokes
