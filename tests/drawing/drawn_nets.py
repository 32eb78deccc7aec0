"""Reads the circuit back from a drawn page: what a person with a pencil would follow.

Lines that end on one another, or end on another line at a dot, are joined; so are lines that end
at the symbol of a splice, a stud or a frame. Lines that merely cross are not.
"""

from __future__ import annotations

from itertools import combinations, pairwise

from circuitcheck.drawing.layout_page import Line, Page
from circuitcheck.model.ground import Frame, GroundStud
from circuitcheck.model.harness import Harness
from circuitcheck.model.splice import Splice
from circuitcheck.model.terminal import Terminal

NEAR_MM = 0.1


class Sets:
    """Sets of things that are joined."""

    def __init__(self) -> None:
        self.of: dict[object, object] = {}

    def root(self, thing: object) -> object:
        self.of.setdefault(thing, thing)
        while self.of[thing] != thing:
            thing = self.of[thing]
        return thing

    def join(self, first: object, second: object) -> None:
        self.of[self.root(first)] = self.root(second)


def near(a: tuple[float, float], b: tuple[float, float]) -> bool:
    return abs(a[0] - b[0]) <= NEAR_MM and abs(a[1] - b[1]) <= NEAR_MM


def on(point: tuple[float, float], line: Line) -> bool:
    x, y = point
    return any(
        min(x0, x1) - NEAR_MM <= x <= max(x0, x1) + NEAR_MM
        and min(y0, y1) - NEAR_MM <= y <= max(y0, y1) + NEAR_MM
        for (x0, y0), (x1, y1) in pairwise(line.points)
    )


def drawn_joints(page: Page, harness: Harness) -> Sets:
    """Return the ends of lines, as (line number, 0 or -1), joined as the drawing shows them."""
    sets = Sets()
    for index in range(len(page.lines)):
        for end in (0, -1):
            sets.root((index, end))
    plain = {i for i, line in enumerate(page.lines) if line.kind != "wire"}
    for index in plain:
        # A wire has resistance; all other lines are one conductor from end to end.
        sets.join((index, 0), (index, -1))
    for (i, first), (j, second) in combinations(enumerate(page.lines), 2):
        for a in (0, -1):
            for b in (0, -1):
                if near(first.points[a], second.points[b]):
                    sets.join((i, a), (j, b))
        _tee(page, sets, (i, first), (j, second))
        _tee(page, sets, (j, second), (i, first))
    _symbols(page, harness, sets)
    return sets


def _tee(page: Page, sets: Sets, ending: tuple[int, Line], through: tuple[int, Line]) -> None:
    i, line = ending
    j, other = through
    for end in (0, -1):
        point = line.points[end]
        at_end = any(near(point, other.points[b]) for b in (0, -1))
        if not at_end and on(point, other):
            assert any(near(dot, point) for dot in page.dots), f"no dot at {point}"
            assert other.kind != "wire", "a joint in the middle of a wire"
            sets.join((i, end), (j, 0))


def _symbols(page: Page, harness: Harness, sets: Sets) -> None:
    for figure in page.figures:
        part = harness.parts.get(figure.owner)
        if not isinstance(part, (Splice, GroundStud, Frame)):
            continue
        box = figure.body.grown(NEAR_MM)
        at = [
            (index, end)
            for index, line in enumerate(page.lines)
            for end in (0, -1)
            if box.left <= line.points[end][0] <= box.right
            and box.top <= line.points[end][1] <= box.bottom
        ]
        for first, second in pairwise(at):
            sets.join(first, second)


def asked_joints(harness: Harness) -> Sets:
    """Return terminals joined as the harness has them: studs and frames bonded together."""
    sets = Sets()
    for part in harness.parts.values():
        if isinstance(part, GroundStud):
            sets.join(Terminal(part.name), Terminal(part.frame))
        elif isinstance(part, Frame):
            for bond in part.bonds:
                sets.join(Terminal(part.name), Terminal(bond.to))
    return sets
