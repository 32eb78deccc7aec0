"""Reads the circuit back from a drawn page: what a person with a pencil would follow.

Lines that end on one another, or end on another line at a dot, are joined; so are lines that end
at the symbol of a splice, a stud or a frame. Lines that merely cross are not.
"""

from __future__ import annotations

from itertools import combinations, pairwise

from circuitcheck.drawing.geometry import Figure
from circuitcheck.drawing.layout.page import Line, Page
from circuitcheck.drawing.text_size import shortened
from circuitcheck.model.connector import Connector
from circuitcheck.model.converter import Converter
from circuitcheck.model.diode import Diode
from circuitcheck.model.ground import Frame, GroundStud
from circuitcheck.model.harness import Harness
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.resistor import Resistor
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.splice import Splice
from circuitcheck.model.switch import SwitchHandle
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
    _dots(page)
    return sets


def _dots(page: Page) -> None:
    """Three or more ways from one point have a dot there, and no dot has fewer."""
    points = {point for line in page.lines for point in (line.points[0], line.points[-1])}
    for point in points:
        if len(ways(page, point)) > 2:
            assert any(near(dot, point) for dot in page.dots), f"no dot at {point}"
    for dot in page.dots:
        assert len(ways(page, dot)) > 2, f"a dot without a joint at {dot}"


def ways(page: Page, point: tuple[float, float]) -> set[tuple[int, int]]:
    """Directions in which lines leave a point, of lines that end there or bend there."""
    x, y = point
    found = set()
    for line in page.lines:
        ends_here = any(near(point, line.points[end]) for end in (0, -1))
        for (x0, y0), (x1, y1) in pairwise(line.points):
            piece = Line("", "", frozenset(), ((x0, y0), (x1, y1)))
            if not on(point, piece) or not (ends_here or line.kind != "wire"):
                continue
            for xa, ya in ((x0, y0), (x1, y1)):
                if not near((xa, ya), point):
                    found.add(
                        (
                            (xa > x + NEAR_MM) - (xa < x - NEAR_MM),
                            (ya > y + NEAR_MM) - (ya < y - NEAR_MM),
                        )
                    )
    return found


NAMED = (
    SwitchHandle,
    Relay,
    Converter,
    SolenoidCoil,
    PullHoldCoil,
    IndicatorLamp,
    LedIndicator,
    Resistor,
)
"""Parts that bear the names of their terminals."""


def lands(page: Page, harness: Harness, point: tuple[float, float], terminal: Terminal) -> bool:
    """Return whether a line that ends at this point ends at this terminal of its part."""
    part = harness.parts[terminal.part]
    x, y = point
    figures = [figure for figure in page.figures if figure.owner == part.name]
    if isinstance(part, (*NAMED, Diode)):
        ends = [end for f in figures for s in f.strokes for end in (s.points[0], s.points[-1])]
        if not any(near(point, end) for end in ends):
            return False
        if isinstance(part, Diode):
            return any(points_at(figure, x) == terminal.name for figure in figures)
        return any(
            text.text.rstrip("+−") == shortened(terminal.name, 12)
            and 0.0 < y - text.y < 2.0
            and text.box.left - 3.5 < x < text.box.right + 3.5
            for figure in figures
            for text in figure.letterings
        )
    for figure in figures:
        box = figure.body.grown(NEAR_MM)
        if box.left <= x <= box.right and box.top <= y <= box.bottom:
            if not isinstance(part, Connector):
                return True
            cavity = terminal.name.partition(".")[2]
            return [text.text.split(" · ")[0] for text in figure.letterings] == [cavity]
    return False


def points_at(figure: Figure, x: float) -> str:
    """Return which end of a diode lies toward `x`: its triangle points at the cathode."""
    triangle = next(s for s in figure.strokes if s.closed and len(s.points) == 3)
    middle = sum(px for px, _ in triangle.points) / 3.0
    tip = max(triangle.points, key=lambda p: abs(p[0] - middle))[0]
    return "cathode" if (x - middle) * (tip - middle) > 0 else "anode"


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
