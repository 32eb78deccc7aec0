"""Signs of what fails, set in a line before the names of wires."""

from __future__ import annotations

from collections.abc import Sequence

from circuitcheck.drawing.geometry import Lettering, Stroke
from circuitcheck.drawing.symbols.feeding import failing_sign
from circuitcheck.drawing.text_size import text_width_mm


def signs_width(signs: Sequence[tuple[str, int]]) -> float:
    """Return the width of a line of signs with their names. [mm]"""
    return sum(sign_width(number) + text_width_mm(name) + 2.0 for name, number in signs) - 2.0


def sign_width(number: int) -> float:
    """Return the width of one sign and the gap behind it. [mm]"""
    return failing_sign(len(str(number))).body.width + 1.0


def failing_signs(
    signs: Sequence[tuple[str, int]], middle: float, y: float
) -> tuple[list[Stroke], list[Lettering]]:
    """Return a line of signs of wires that fail, each before its wire's name."""
    strokes: list[Stroke] = []
    letterings: list[Lettering] = []
    x = middle - signs_width(signs) / 2.0
    for name, number in signs:
        sign = failing_sign(len(str(number)))
        at = x + sign.body.width / 2.0
        strokes += [stroke.moved(at, y + 0.6) for stroke in sign.strokes]
        letterings.append(Lettering(at, y, str(number), "middle"))
        x += sign_width(number)
        letterings.append(Lettering(x, y, name))
        x += text_width_mm(name) + 2.0
    return strokes, letterings
