"""A page of the wiring diagram as a sheet: what is painted first, and what over it."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.drawing.geometry import (
    CONDUCTOR_MM,
    FRAME_MM,
    HEAVY_MM,
    LIVE_MM,
    THIN_MM,
    Figure,
    Stroke,
)
from circuitcheck.drawing.layout.page import METAL, Line, Outline, Page
from circuitcheck.drawing.paper import outline_of
from circuitcheck.drawing.sheet import Item, Sheet
from circuitcheck.drawing.strokes import INK
from circuitcheck.drawing.symbols.feeding import DARK_RED, joint

_METAL_INK = "#9a9a9a"


def painted(page: Page) -> Sheet:
    """Return the page as a sheet: the metal of the frame first, the margin last."""
    return Sheet(page.width_mm, page.height_mm, tuple(_items(page)), page.title)


def _items(page: Page) -> Iterator[Item]:
    for line in sorted(page.lines, key=lambda line: (line.kind != METAL, line.fails)):
        yield _line(line)
    for outline in page.outlines:
        yield _outline(outline)
    for figure in (*page.figures, *page.loops):
        yield _figure(figure)
    yield Item(tuple(dot.moved(x, y) for x, y in page.dots for dot in joint().strokes))
    yield Item(page.margin_strokes, page.margin_letterings)


def _line(line: Line) -> Item:
    """One conductor; one that fails is darker red and heavier, as well as signed.

    One that is live is the heaviest, and bears a sign too.
    """
    width = FRAME_MM if line.kind == METAL else LIVE_MM if line.live else CONDUCTOR_MM
    ink = _METAL_INK if line.kind == METAL else INK
    if line.fails:
        width, ink = HEAVY_MM, DARK_RED
    return Item((Stroke(line.points, width, ink=ink),), (), line.title)


def _outline(outline: Outline) -> Item:
    """The thin line round what belongs together, and its name."""
    edge = Stroke(outline_of(outline.box, THIN_MM).points, THIN_MM, outline.dashed, closed=True)
    return Item((edge, *outline.strokes), outline.letterings)


def _figure(figure: Figure) -> Item:
    return Item(figure.strokes, figure.letterings, figure.title)
