"""Crossings and bends of a drawing, counted on its lines alone, whoever drew them.

A crossing is a point at which a level piece runs across an upright one, both going on to either
side. A bend is a point from which the joined lines leave in two directions, one level and one
upright; where three or four ways meet there is a dot, and no bend. Several lines that lie on one
another (wires of one terminal) are one line to the eye, and are counted once.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

Point = tuple[float, float]
_DIGITS = 2


@dataclass(frozen=True)
class Drawn:
    """One line from bend to bend; lines with a net in common may be joined."""

    net: frozenset[str]
    points: tuple[Point, ...]


def crossings_and_bends(lines: Sequence[Drawn]) -> tuple[int, int]:
    """Return how many crossings and how many bends the lines make."""
    level: list[tuple[float, float, float, frozenset[str]]] = []
    upright: list[tuple[float, float, float, frozenset[str]]] = []
    for line in lines:
        for (x0, y0), (x1, y1) in pairwise(_rounded(line.points)):
            if y0 == y1 and x0 != x1:
                level.append((y0, min(x0, x1), max(x0, x1), line.net))
            elif x0 == x1 and y0 != y1:
                upright.append((x0, min(y0, y1), max(y0, y1), line.net))
            elif (x0, y0) != (x1, y1):
                raise ValueError(f"a slanting line from {x0, y0} to {x1, y1}")
    crossed = {
        (x, y)
        for y, left, right, _ in level
        for x, top, bottom, _ in upright
        if left < x < right and top < y < bottom
    }
    return len(crossed), _bends(lines, level, upright)


def _bends(lines, level, upright) -> int:
    nets: dict[Point, set[str]] = defaultdict(set)
    for line in lines:
        for point in _rounded(line.points):
            nets[point] |= line.net
    at_y, at_x = defaultdict(list), defaultdict(list)
    for y, left, right, net in level:
        at_y[y].append((left, right, net))
    for x, top, bottom, net in upright:
        at_x[x].append((top, bottom, net))
    bends = 0
    for (x, y), net in nets.items():
        ways = {
            (0, way)
            for left, right, own in at_y[y]
            if own & net
            for way in _ways(left, x, right)
        }
        ways |= {
            (1, way)
            for top, bottom, own in at_x[x]
            if own & net
            for way in _ways(top, y, bottom)
        }
        bends += len(ways) == 2 and len({axis for axis, _ in ways}) == 2
    return bends


def _ways(low: float, at: float, high: float) -> list[int]:
    return [-1] * (low < at <= high) + [1] * (low <= at < high)


def _rounded(points: Sequence[Point]) -> list[Point]:
    return [(round(x, _DIGITS), round(y, _DIGITS)) for x, y in points]
