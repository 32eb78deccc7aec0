"""Finds what lies on something else in a layout: the draughtsman's last look, by arithmetic.

Checked on the drawn boxes and lines: text on text, text on symbol, symbol on symbol, line through
symbol, line or the symbol's own stroke through text, line along another line, a bend that touches
a line it is not joined to, a line along or a foreign part inside an outline, anything outside its
part of the sheet.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cached_property
from itertools import combinations, pairwise

from circuitcheck.drawing.geometry import Box, Figure, Lettering, Point, Stroke
from circuitcheck.drawing.layout.page import Line, Outline, Page
from circuitcheck.drawing.paper import PHONE
from circuitcheck.record import record

_NEAR_MM = 0.6
"""Lines of different nets closer than this would be read as one."""
_SHRINK_MM = 0.05
_STEP_MM = 0.3


@record
class Overlap:
    """Two things in one place; `kind` says which pair of things, `at` where on the sheet."""

    kind: str
    first: str
    second: str
    at: Box


@record
class _Piece:
    """One straight piece of a line."""

    line: Line
    start: Point
    end: Point

    @cached_property
    def box(self) -> Box:
        (x0, y0), (x1, y1) = self.start, self.end
        return Box(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))


def overlaps(page: Page) -> list[Overlap]:
    """Return every overlap on the page; an empty list is a clean drawing."""
    pieces = [
        _Piece(line, start, end) for line in page.lines for start, end in pairwise(line.points)
    ]
    texts = list(_texts(page))
    found = [*_text_on_text(texts), *_on_symbols(page.figures, texts, pieces)]
    found += _line_through_text(texts, pieces)
    found += _stroke_through_own_text(page.figures)
    found += _loop_through_text(page, texts)
    found += _line_on_line(pieces)
    found += _at_outlines(page, texts, pieces)
    found += _outside(page, texts, pieces)
    return found


def _texts(page: Page) -> Iterator[tuple[str, Lettering]]:
    for figure in (*page.figures, *page.loops):
        for text in figure.letterings:
            yield figure.owner, text
    for outline in page.outlines:
        for text in outline.letterings:
            yield outline.owner, text
    for text in page.margin_letterings:
        yield "margin", text


def _text_on_text(texts: list[tuple[str, Lettering]]) -> Iterator[Overlap]:
    for (_, first), (_, second) in combinations(texts, 2):
        if first.box.meets(second.box):
            yield Overlap("text on text", first.text, second.text, first.box)


def _on_symbols(
    figures: tuple[Figure, ...], texts: list[tuple[str, Lettering]], pieces: list[_Piece]
) -> Iterator[Overlap]:
    for first, second in combinations(figures, 2):
        if first.body.meets(second.body):
            yield Overlap("symbol on symbol", first.owner, second.owner, first.body)
    reach = [(piece, piece.box.grown(_SHRINK_MM / 2.0)) for piece in pieces]
    for figure in figures:
        body = figure.body.grown(-_SHRINK_MM)
        if body.width <= 0.0 or body.height <= 0.0:
            continue
        # A symbol may have lettering of its own inside its box, such as a terminal's number.
        own_texts = {id(text) for text in figure.letterings}
        for _, text in texts:
            if text.box.meets(body) and id(text) not in own_texts:
                yield Overlap("text on symbol", text.text, figure.owner, text.box)
        for piece, box in reach:
            own = piece.line.owner == figure.owner and figure.owner != ""
            if box.meets(body) and not own:
                yield Overlap("line through symbol", piece.line.owner, figure.owner, body)


def _line_through_text(
    texts: list[tuple[str, Lettering]], pieces: list[_Piece]
) -> Iterator[Overlap]:
    for piece in pieces:
        box = piece.box.grown(0.1)
        for _, text in texts:
            if box.meets(text.box):
                yield Overlap("line through text", piece.line.owner, text.text, text.box)


def _stroke_through_own_text(figures: tuple[Figure, ...]) -> Iterator[Overlap]:
    """A symbol's open strokes keep clear of its own lettering; text may stand in a closed one."""
    for figure in figures:
        for text in figure.letterings:
            for stroke in figure.strokes:
                if not stroke.closed and _runs_through(stroke, text.box.grown(-_SHRINK_MM)):
                    yield Overlap("stroke through text", figure.owner, text.text, text.box)


def _runs_through(stroke: Stroke, box: Box) -> bool:
    """Return whether the stroke, followed in short steps, comes inside the box."""
    if not stroke.box.grown(_SHRINK_MM).meets(box):
        return False
    for (x0, y0), (x1, y1) in pairwise(stroke.points):
        steps = max(1, math.ceil(max(abs(x1 - x0), abs(y1 - y0)) / _STEP_MM))
        for k in range(steps + 1):
            x, y = x0 + (x1 - x0) * k / steps, y0 + (y1 - y0) * k / steps
            if box.left < x < box.right and box.top < y < box.bottom:
                return True
    return False


def _loop_through_text(page: Page, texts: list[tuple[str, Lettering]]) -> Iterator[Overlap]:
    for loop in page.loops:
        for _, text in texts:
            if text.box.meets(loop.body):
                yield Overlap("text on symbol", text.text, loop.owner, text.box)


def _line_on_line(pieces: list[_Piece]) -> Iterator[Overlap]:
    for first, second in combinations(pieces, 2):
        if first.line is second.line or first.line.net & second.line.net:
            continue
        a, b = first.box, second.box
        if not a.grown(_NEAR_MM / 2.0).meets(b.grown(_NEAR_MM / 2.0)):
            continue
        if (a.width == 0.0) == (b.width == 0.0):
            yield Overlap("line along line", first.line.owner, second.line.owner, a)
        elif _ends_on(first, second) or _ends_on(second, first):
            yield Overlap("false joint", first.line.owner, second.line.owner, a)


def _ends_on(first: _Piece, second: _Piece) -> bool:
    """Return whether an end of the first piece lies on the second."""
    near = second.box.grown(_NEAR_MM)
    return any(
        near.left < x < near.right and near.top < y < near.bottom
        for x, y in (first.start, first.end)
    )


def _sides(outline: Outline) -> list[Box]:
    box = outline.box
    return [
        Box(box.left, box.top, box.right, box.top),
        Box(box.left, box.bottom, box.right, box.bottom),
        Box(box.left, box.top, box.left, box.bottom),
        Box(box.right, box.top, box.right, box.bottom),
    ]


def _at_outlines(
    page: Page, texts: list[tuple[str, Lettering]], pieces: list[_Piece]
) -> Iterator[Overlap]:
    for outline in page.outlines:
        for side in _sides(outline):
            for _, text in texts:
                if side.grown(0.1).meets(text.box):
                    yield Overlap("outline through text", outline.owner, text.text, text.box)
            for piece in pieces:
                along = (side.width == 0.0) == (piece.box.width == 0.0)
                if along and side.grown(_NEAR_MM / 2.0).meets(piece.box.grown(_NEAR_MM / 2.0)):
                    yield Overlap("line along outline", piece.line.owner, outline.owner, side)
        for figure in page.figures:
            foreign = figure.owner != outline.owner and not outline.dashed
            if foreign and figure.body.meets(outline.box):
                yield Overlap("symbol in outline", figure.owner, outline.owner, figure.body)
        for piece in pieces:
            across = piece.box.left < outline.box.left and piece.box.right > outline.box.right
            if across and outline.box.top < piece.box.top < outline.box.bottom:
                yield Overlap("line through outline", piece.line.owner, outline.owner, piece.box)
    for first, second in combinations(page.outlines, 2):
        if first.box.meets(second.box):
            yield Overlap("outline on outline", first.owner, second.owner, first.box)


def _outside(
    page: Page, texts: list[tuple[str, Lettering]], pieces: list[_Piece]
) -> Iterator[Overlap]:
    margin = {id(text) for text in page.margin_letterings}
    # A printer leaves 5 mm free at the edge; a screen has none.
    edge_mm = 2.0 if page.size == PHONE else 5.0
    sheet = Box(0.0, 0.0, page.width_mm, page.height_mm).grown(-edge_mm)
    for owner, text in texts:
        room = sheet if id(text) in margin else page.area
        if not text.box.inside(room):
            yield Overlap("outside", owner, text.text, text.box)
    for figure in (*page.figures, *page.loops):
        for box in (figure.box, *(stroke.box for stroke in figure.strokes)):
            if not box.inside(page.area):
                yield Overlap("outside", figure.owner, "symbol", box)
    for outline in page.outlines:
        if not outline.box.inside(page.area):
            yield Overlap("outside", outline.owner, "outline", outline.box)
    for piece in pieces:
        if not piece.box.inside(page.area):
            yield Overlap("outside", piece.line.owner, "line", piece.box)
