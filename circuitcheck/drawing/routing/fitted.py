"""What is fitted to a bundle, as strokes about y = 0: coverings, clips, grommets, parts in line.

A covering is told by its hatching and named in words below; a clip is a bridge over the bundle, a
grommet a pair of flanges across it, a splice a dot, a fuse the symbol of IEC 60617.
"""

from __future__ import annotations

from circuitcheck.drawing.geometry import LINE_MM, THIN_MM, Box, Stroke
from circuitcheck.drawing.strokes import INK, PAPER, Symbol, arc, filled, line, rectangle, symbol_of
from circuitcheck.drawing.symbols import feeding
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.splice import Splice

_RIB_MM = 1.6
_SPLICE_MM = 1.8


def covered(kind: str, left: float, right: float, half: float) -> list[Stroke]:
    """Return the outline of a covering with its hatching, from left to right."""
    fill = "#d9d9d9" if kind in ("PVC sleeve", "heat-shrink tube") else PAPER
    box = ((left, -half), (right, -half), (right, half), (left, half))
    strokes = [Stroke(box, THIN_MM, closed=True, fill=fill)]
    steps = [left + _RIB_MM * k for k in range(1, int((right - left) / _RIB_MM))]
    lean = min(half, _RIB_MM)
    for x in steps:
        if kind in ("split conduit", "conduit"):
            strokes.append(Stroke(((x, -half), (x, half)), THIN_MM))
        if kind in ("spiral wrap", "tape", "braided sleeve") and x + lean < right:
            strokes.append(Stroke(((x, half), (x + lean, -half)), THIN_MM))
        if kind == "braided sleeve" and x + lean < right:
            strokes.append(Stroke(((x, -half), (x + lean, half)), THIN_MM))
    if kind == "split conduit":
        # The slit along it tells it from a closed one.
        strokes.append(Stroke(((left, 0.0), (right, 0.0)), LINE_MM))
    return strokes


def clip(x: float, half: float) -> list[Stroke]:
    """Return a clip over the bundle: a bridge with a foot."""
    top = -half - 1.1
    bridge = ((x - 0.7, half + 0.9), (x - 0.7, top), (x + 0.7, top), (x + 0.7, half + 0.9))
    return [Stroke(bridge, LINE_MM, closed=True, fill=INK)]


def grommet() -> Symbol:
    """Return a grommet in its panel: flanges on both sides of a thin plate."""
    strokes = [
        rectangle(-1.6, -2.6, -0.5, 2.6),
        rectangle(0.5, -2.6, 1.6, 2.6),
        line((0.0, -3.6), (0.0, 3.6), width_mm=LINE_MM),
    ]
    return symbol_of(strokes, -1.6, 1.6)


def inline_symbol(part: object) -> Symbol:
    """Return the symbol of a part that sits on a bundle."""
    if isinstance(part, Splice):
        r = _SPLICE_MM
        dot = filled(*arc(0.0, 0.0, r, 0.0, 345.0))
        return Symbol((dot,), Box(-r, -r, r, r), -r, r)
    if isinstance(part, Fuse):
        return feeding.fuse()
    return symbol_of([rectangle(-3.0, -1.8, 3.0, 1.8)], -3.0, 3.0)
