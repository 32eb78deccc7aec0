"""One row of the drawing: branches and places in turn, with the grounds of their zones."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

from circuitcheck.drawing.geometry import THIN_MM, Box, Figure, Lettering, Point, Stroke
from circuitcheck.drawing.layout.page import WIRE, Line
from circuitcheck.drawing.routing.drawn import TINTS, Band, Bundle, Strip
from circuitcheck.drawing.routing.places import PlaceLook
from circuitcheck.drawing.routing.run_drawing import drawn_run
from circuitcheck.drawing.routing.runs import RunLook
from circuitcheck.drawing.routing.tree import Node, Run

ZONE_MM = 4.4
"""Height of a zone's name at the head of its band."""
CORNER_MM = 3.0
"""From the upright piece of a run to its level one's lettering."""
CLEAR_MM = 0.5
"""Kept clear at both ends of a row."""


@dataclass
class Row:
    """A row: `runs[k]` leads from `places[k]` to `places[k + 1]`.

    `places[0]` is None in a row that leaves another one; `leaves` then says which place and by
    which run. `xs` and `ends` are where each place begins and the run behind it ends; `y` is
    where the row stands, `y0` where the upright piece that leads to it begins; `zones` that of the
    run that leads to each place. A row is measured once it has all its runs.
    """

    nodes: list[Node | None] = field(default_factory=list)
    places: list[PlaceLook | None] = field(default_factory=list)
    runs: list[RunLook] = field(default_factory=list)
    xs: list[float] = field(default_factory=list)
    ends: list[float] = field(default_factory=list)
    y: float = 0.0
    y0: float = 0.0
    leaves: tuple[Node, tuple[Run, Node]] | None = None
    zones: list[str] = field(default_factory=list)

    @cached_property
    def above(self) -> float:
        """How far the row rises above its line, with the names of its zones."""
        names = ZONE_MM if any(look.zone_line for look in self.runs) else 0.0
        looks = [look.above_mm for look in self.runs]
        return names + max([*looks, *(place.above_mm for place in self.places if place)])

    @cached_property
    def below(self) -> float:
        """How far the row hangs below its line."""
        looks = [look.below_mm for look in self.runs]
        return max([*looks, *(place.below_mm for place in self.places if place)])

    @property
    def box(self) -> Box:
        """The room of the row about y = 0."""
        return Box(self.xs[0] - CLEAR_MM, -self.above, self.ends[-1] + CLEAR_MM, self.below)

    def measure(self, x: float, mm_per_m: float) -> None:
        """Set out places and runs from x on; a run is as long as its scale or lettering asks."""
        if self.xs and self.xs[0] == x:
            return
        self.xs, self.ends = [], []
        for index, place in enumerate(self.places):
            self.xs.append(x)
            x += place.width if place else 0.0
            if index < len(self.runs):
                look = self.runs[index]
                lead = CORNER_MM if place is None else 0.0
                x += lead + max(look.least_mm, mm_per_m * look.run.weight_m)
            self.ends.append(x)

    def moved(self, dx: float, dy: float) -> Row:
        """Return the row shifted."""
        return Row(
            self.nodes,
            self.places,
            self.runs,
            [x + dx for x in self.xs],
            [x + dx for x in self.ends],
            self.y + dy,
            self.y0 + dy,
            self.leaves,
        )

    def start(self, index: int) -> float:
        """Return where the level piece of a run begins."""
        place = self.places[index]
        return self.xs[index] + (place.width if place else CORNER_MM)

    def drawn(self, zones: Sequence[str]) -> Strip:
        """Return the row drawn; the order of `zones` gives each its tint."""
        bundles: list[Bundle] = []
        figures: list[Figure] = []
        for index, look in enumerate(self.runs):
            start, stop = self.start(index), self.ends[index]
            names = (self._name(index), self._name(index + 1))
            piece = drawn_run(look, start, stop, names)
            row = Strip(piece.bundles, piece.figures).moved(0.0, self.y)
            bundles += row.bundles
            figures += [*row.figures, *self._zone_name(index)]
            if self.places[index] is None:
                bundles.append(self._upright(look, names[0]))
        for index, place in enumerate(self.places):
            if place is not None:
                x = self.xs[index]
                figures += [figure.moved(0.0, self.y) for figure in place.drawn(x)]
                bundles += self._across(index, place)
        return Strip(tuple(bundles), tuple(figures), tuple(self._bands(zones)))

    def _name(self, index: int) -> str:
        node = self.nodes[index]
        return f"{self.xs[index]:.2f}/{self.y:.2f}" if node is None else node.place

    def _upright(self, look: RunLook, name: str) -> Bundle:
        """Return the piece that leads to the row, with its corner."""
        owner = look.run.branch.name if look.run.branch else ""
        nets = frozenset((name, self.leaves[0].place if self.leaves else ""))
        x = self.xs[0]
        points = ((x, self.y0), (x, self.y), (self.start(0), self.y))
        return Bundle(Line(owner, WIRE, nets, points, False, look.title), look.thickness_mm)

    def _across(self, index: int, place: PlaceLook) -> list[Bundle]:
        """Return the bundle across a breakout, thick as the runs beside it up to their dots."""
        if place.boxed or place.mark or place.width == 0.0:
            return []
        near = [look.thickness_mm for look in self.runs[max(0, index - 1) : index + 1]] or [1.0]
        before, after = near[0], near[-1]
        x, dots = self.xs[index], place.dots_x
        xs = (x, x + dots[0], x + dots[-1], x + place.width)
        pieces = zip(xs, xs[1:], (before, max(near), after), strict=False)
        return [
            Bundle(_level_line(place.place, (start, self.y), (stop, self.y)), wide)
            for start, stop, wide in pieces
            if stop > start
        ]

    def _zone_name(self, index: int) -> list[Figure]:
        """Return the name of a zone at the head of its band, where the zone begins."""
        words = self.runs[index].zone_line
        if not words:
            return []
        left = self._ground(index)
        base = self.y - self.above + ZONE_MM - 1.0
        text = Lettering(left + 0.8, base, words)
        edges: tuple[Stroke, ...] = ()
        if index:
            # Two grounds look alike in grey: an edge parts them.
            ends = ((left, self.y - self.above), (left, self.y + self.below))
            edges = (Stroke(ends, THIN_MM, dashed=True),)
        return [Figure("zone", Box(left, base, left, base), edges, (text,))]

    def _ground(self, index: int) -> float:
        """Return where the ground of a branch begins: behind the place if none reaches there.

        Between halves plugged together it goes through where they are in one zone.
        """
        if self.places[index] is None or (index and self.runs[index - 1].run.branch is not None):
            return self.start(index)
        through = index > 0 and not self.runs[index].zone_line
        return self.start(index - 1) if through else self.xs[index]

    def _bands(self, zones: Sequence[str]) -> list[Band]:
        """Return the ground of each branch of the row, with the place behind it."""
        bands = []
        for index, look in enumerate(self.runs):
            branch = look.run.branch
            if branch is None or look.run.cut:
                continue
            after = self.places[index + 1]
            left = self._ground(index) if self.places[index] else self.xs[index]
            right = self.ends[index] + (after.width if after else 0.0)
            tint = TINTS[zones.index(branch.zone) % len(TINTS)]
            box = Box(left, self.y - self.above, right, self.y + self.below)
            bands.append(Band(box, tint, branch.zone))
        return bands


def _level_line(place: str, start: Point, stop: Point) -> Line:
    return Line(place, WIRE, frozenset((place,)), (start, stop))
