"""Follows the strokes inside a drawn symbol: which terminals meet, and which coils they reach.

Inside one symbol, conductors that touch are joined; a dashed line is no conductor, and closed
figures (windings, diodes) end what is followed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from circuitcheck.drawing.geometry import CONDUCTOR_MM, Figure, Point, Stroke
from circuitcheck.drawing.layout.page import Page

NEAR_MM = 0.08
COIL_MM = (5.0, 8.0)
"""Sides of a winding's rectangle."""

Piece = tuple[Point, Point]


@dataclass(frozen=True)
class Inside:
    """The conductors of a symbol in sets that touch, and its windings from top to bottom."""

    sets: tuple[tuple[Piece, ...], ...]
    coils: tuple[Stroke, ...]

    def set_at(self, point: Point) -> int:
        """Return which set of conductors has an end at this point."""
        return next(n for n, pieces in enumerate(self.sets) if any(_on(point, p) for p in pieces))

    def coils_at(self, number: int) -> set[int]:
        """Return the windings that a set of conductors leads to."""
        return {
            n
            for n, coil in enumerate(self.coils)
            if any(_on(end, side) for side in _sides(coil) for p in self.sets[number] for end in p)
        }


def inside(page: Page, owner: str) -> Inside:
    """Return what the symbols of one part join inside."""
    figures = [figure for figure in page.figures if figure.owner == owner]
    pieces = [
        piece
        for figure in figures
        for stroke in figure.strokes
        if not stroke.closed and not stroke.dashed and stroke.width_mm == CONDUCTOR_MM
        for piece in pairwise(stroke.points)
    ]
    coils = sorted((s for f in figures for s in f.strokes if _is_coil(s)), key=lambda s: s.box.top)
    return Inside(tuple(_touching(pieces)), tuple(coils))


def ports(page: Page, owner: str, terminals: Sequence[str]) -> dict[str, Point]:
    """Return where each terminal of a symbol is, by the name that stands over its conductor."""
    figures = [figure for figure in page.figures if figure.owner == owner]
    found: dict[str, Point] = {}
    for figure in figures:
        for text in figure.letterings:
            ends = [end for end in _ends(figure) if 0.0 < end[1] - text.y < 2.0]
            beside = [e for e in ends if text.box.left - 3.5 < e[0] < text.box.right + 3.5]
            if beside and text.text.rstrip("+−") in terminals:
                middle = (text.box.left + text.box.right) / 2.0
                out = min(beside, key=lambda end: abs(end[0] - middle))
                found[text.text.rstrip("+−")] = out
    return found


def _ends(figure: Figure) -> list[Point]:
    return [
        end
        for stroke in figure.strokes
        if not stroke.closed and not stroke.dashed
        for end in (stroke.points[0], stroke.points[-1])
    ]


def _is_coil(stroke: Stroke) -> bool:
    sides = sorted((round(stroke.box.width, 3), round(stroke.box.height, 3)))
    return stroke.closed and not stroke.dashed and tuple(sides) == COIL_MM


def _sides(coil: Stroke) -> list[Piece]:
    return list(pairwise((*coil.points, coil.points[0])))


def _touching(pieces: Sequence[Piece]) -> list[tuple[Piece, ...]]:
    sets: list[list[Piece]] = []
    for piece in pieces:
        met = [s for s in sets if any(_meet(piece, other) for other in s)]
        sets = [s for s in sets if s not in met]
        sets.append([piece, *(other for s in met for other in s)])
    return [tuple(s) for s in sets]


def _meet(first: Piece, second: Piece) -> bool:
    ends = any(_on(end, second) for end in first) or any(_on(end, first) for end in second)
    return ends or _cross(first, second)


def _on(point: Point, piece: Piece) -> bool:
    (x0, y0), (x1, y1) = piece
    length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    if length == 0.0:
        return abs(point[0] - x0) < NEAR_MM and abs(point[1] - y0) < NEAR_MM
    along = ((point[0] - x0) * (x1 - x0) + (point[1] - y0) * (y1 - y0)) / length
    off = abs((point[0] - x0) * (y1 - y0) - (point[1] - y0) * (x1 - x0)) / length
    return -NEAR_MM < along < length + NEAR_MM and off < NEAR_MM


def _cross(first: Piece, second: Piece) -> bool:
    def side(a: Point, b: Point, c: Point) -> float:
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    (a, b), (c, d) = first, second
    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0
