"""Crossings and bends of a drawing, counted on its lines alone, whoever drew them.

A crossing is a point at which a level piece runs across an upright one, both going on to either
side. A bend is a point from which the joined lines leave in two directions, one level and one
upright; where three or four ways meet there is a dot, and no bend. Several lines that lie on one
another (wires of one terminal) are one line to the eye, and are counted once.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from itertools import pairwise

from circuitcheck.drawing.geometry import Point
from circuitcheck.drawing.layout.page import Page
from circuitcheck.record import record

_DIGITS = 2


@record
class Path:
    """One line from bend to bend; lines with a net in common may be joined."""

    net: frozenset[str]
    points: tuple[Point, ...]


@record
class _Piece:
    """One straight piece: its place across its own direction, and from where to where."""

    at: float
    low: float
    high: float
    net: frozenset[str]


def crossings(page: Page) -> int:
    """Count the places where one line of a page runs across another."""
    return crossings_and_bends(_paths(page))[0]


def bends(page: Page) -> int:
    """Count the bends of the lines of a page."""
    return crossings_and_bends(_paths(page))[1]


def crossings_and_bends(paths: Sequence[Path]) -> tuple[int, int]:
    """Return how many crossings and how many bends the lines make.

    Raises ValueError for a slanting line.
    """
    level, upright = _pieces(paths)
    crossed = {
        (x.at, y.at)
        for y in level
        for x in upright
        if y.low < x.at < y.high and x.low < y.at < x.high
    }
    return len(crossed), _bends(paths, level, upright)


def _paths(page: Page) -> list[Path]:
    return [Path(line.net, line.points) for line in page.lines]


def _pieces(paths: Iterable[Path]) -> tuple[list[_Piece], list[_Piece]]:
    level, upright = [], []
    for path in paths:
        for (x0, y0), (x1, y1) in pairwise(_rounded(path.points)):
            if y0 == y1 and x0 != x1:
                level.append(_Piece(y0, min(x0, x1), max(x0, x1), path.net))
            elif x0 == x1 and y0 != y1:
                upright.append(_Piece(x0, min(y0, y1), max(y0, y1), path.net))
            elif (x0, y0) != (x1, y1):
                raise ValueError(f"a slanting line from {x0, y0} to {x1, y1}")
    return level, upright


def _bends(paths: Iterable[Path], level: Iterable[_Piece], upright: Iterable[_Piece]) -> int:
    nets: dict[Point, set[str]] = defaultdict(set)
    for path in paths:
        for point in _rounded(path.points):
            nets[point] |= path.net
    level_at, upright_at = _by_place(level), _by_place(upright)
    bends = 0
    for (x, y), net in nets.items():
        sideways = _ways(level_at[y], x, net)
        up_or_down = _ways(upright_at[x], y, net)
        bends += len(sideways) == len(up_or_down) == 1
    return bends


def _by_place(pieces: Iterable[_Piece]) -> dict[float, list[_Piece]]:
    found: dict[float, list[_Piece]] = defaultdict(list)
    for piece in pieces:
        found[piece.at].append(piece)
    return found


def _ways(pieces: Iterable[_Piece], at: float, net: set[str]) -> set[int]:
    """Directions in which joined pieces leave a point."""
    joined = [piece for piece in pieces if piece.net & net]
    below = {-1 for piece in joined if piece.low < at <= piece.high}
    return below | {1 for piece in joined if piece.low <= at < piece.high}


def _rounded(points: Sequence[Point]) -> list[Point]:
    return [(round(x, _DIGITS), round(y, _DIGITS)) for x, y in points]
