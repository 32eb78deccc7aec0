"""Where each branch stands: the longest way as a row, other runs in rows of their own off it.

A row starts where its run leaves the row before and goes to the right. Rows on one side are set
from the right, each beyond all that stands in its span, so that no run ever crosses another.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from circuitcheck.drawing.geometry import Box
from circuitcheck.drawing.layout.page import WIRE, Line
from circuitcheck.drawing.routing.content import Content
from circuitcheck.drawing.routing.drawn import TINTS, Band, Bundle, Strip, together
from circuitcheck.drawing.routing.places import PlaceLook, place_look
from circuitcheck.drawing.routing.runs import RunLook, drawn_run, look_of
from circuitcheck.drawing.routing.tree import Node, Run

_BETWEEN_MM = 3.0
_CORNER_MM = 3.0
"""From the upright piece of a run to its level one's lettering."""


@dataclass
class Row:
    """One row before it has its place: looks of runs and places in turn, from x = 0.

    `runs[k]` leads to `places[k + 1]`; `places[0]` is None in a row that leaves another one.
    """

    nodes: list[Node | None]
    places: list[PlaceLook | None]
    runs: list[RunLook]
    xs: list[float] = field(default_factory=list)
    ends: list[float] = field(default_factory=list)


@dataclass
class Placing:
    """Sets one tree; `mm_per_m` is the scale where lettering leaves room for it."""

    content: Content
    mm_per_m: float
    strips: list[Strip] = field(default_factory=list)
    _taken: list[tuple[Box, bool]] = field(default_factory=list)
    _turn: bool = False

    def tree(self, root: Node) -> Strip:
        """Return the whole tree drawn, its first row at y = 0."""
        self._set_row(root, None, 0.0, 0.0, None)
        return together(self.strips)

    def _set_row(
        self,
        root: Node | None,
        first: tuple[Run, Node] | None,
        x: float,
        y0: float,
        side: bool | None,
    ) -> None:
        """Set one row and all that leaves it; `side` is True upward, None for the first row."""
        row = self._row(root, first, side)
        self._measure(row, x)
        boxes = list(_boxes(row))
        y = 0.0 if side is None else self._level(boxes, side)
        if side is None:
            self._taken += [(box, up) for box in boxes for up in (True, False)]
        else:
            self._taken += [(box.moved(0.0, y), side) for box in boxes]
        self._draw(row, x, y, y0, side)
        self._set_sides(row, y, side)

    def _row(self, root: Node | None, first: tuple[Run, Node] | None, side: bool | None) -> Row:
        """Follow the straight way from a place or along a run."""
        row = Row([], [], [])
        node, zone = root, ""
        if first is not None:
            row.nodes.append(None)
            row.places.append(None)
        while node is not None or first is not None:
            if node is not None:
                aside = len(node.runs) - 1
                up, down = self._shared(aside, side)
                row.nodes.append(node)
                row.places.append(place_look(node, self.content, up, down))
                if not node.runs:
                    break
                first = node.runs[-1]
            if first is None:
                break
            run, node = first
            first = None
            now = run.branch.zone if run.branch else zone
            line = self.content.zone_words(now) if now != zone else ""
            row.runs.append(look_of(run, self.content, line))
            zone = now
        return row

    def _shared(self, aside: int, side: bool | None) -> tuple[int, int]:
        """Return how many runs leave upward and downward; on the first row they take turns."""
        if aside <= 0:
            return 0, 0
        if side is not None:
            return (aside, 0) if side else (0, aside)
        more = aside - aside // 2
        up, down = (aside // 2, more) if not self._turn else (more, aside // 2)
        self._turn = not self._turn if aside % 2 else self._turn
        return up, down

    def _measure(self, row: Row, x: float) -> None:
        row.xs, row.ends = [], []
        for index, place in enumerate(row.places):
            row.xs.append(x)
            x += place.width if place else 0.0
            if index < len(row.runs):
                look = row.runs[index]
                lead = _CORNER_MM if place is None else 0.0
                x += lead + max(look.least_mm, self.mm_per_m * look.run.weight_m)
            row.ends.append(x)

    def _level(self, boxes: Sequence[Box], side: bool) -> float:
        """Return how far from y = 0 a row stands beyond all that is taken in its span."""
        best = 0.0
        for box in boxes:
            for taken, its_side in self._taken:
                if its_side != side or box.left >= taken.right or taken.left >= box.right:
                    continue
                if side:
                    best = min(best, taken.top - _BETWEEN_MM - box.bottom)
                else:
                    best = max(best, taken.bottom + _BETWEEN_MM - box.top)
        return best

    def _draw(self, row: Row, x: float, y: float, y0: float, side: bool | None) -> None:
        bundles: list[Bundle] = []
        figures = []
        for index, look in enumerate(row.runs):
            place = row.places[index]
            start = row.xs[index] + (place.width if place else _CORNER_MM)
            node, after = row.nodes[index], row.nodes[index + 1]
            names = (self._name(node, x, y), self._name(after, row.ends[index], y))
            drawn = drawn_run(look, start, row.ends[index], names)
            bundles += [_shifted(b, y) for b in drawn.bundles]
            figures += [figure.moved(0.0, y) for figure in drawn.figures]
            if place is None and side is not None:
                net = frozenset((names[0], "drop"))
                points = ((x, y0), (x, y), (start, y))
                line = Line(look.run.branch.name if look.run.branch else "", WIRE, net, points)
                bundles.append(Bundle(line, look.thickness_mm))
        for place_x, place, node in zip(row.xs, row.places, row.nodes, strict=True):
            if place is not None:
                figures += [figure.moved(0.0, y) for figure in place.drawn(place_x)]
                bundles += self._through(place, node, place_x, y, row)
        self.strips.append(Strip(tuple(bundles), tuple(figures), tuple(self._bands(row, y))))

    def _through(
        self, place: PlaceLook, node: Node | None, x: float, y: float, row: Row
    ) -> list[Bundle]:
        """Return the bundle across a breakout, from the run before to the run after."""
        if place.boxed or node is None or place.width == 0.0:
            return []
        near = [look for look in row.runs if look.run.branch]
        wide = max((look.thickness_mm for look in near), default=1.0)
        name = self._name(node, x, y)
        line = Line(node.place, WIRE, frozenset((name,)), ((x, y), (x + place.width, y)))
        return [Bundle(line, wide)]

    @staticmethod
    def _name(node: Node | None, x: float, y: float) -> str:
        return f"{x:.2f}/{y:.2f}" if node is None else node.place

    def _bands(self, row: Row, y: float) -> list[Band]:
        """Return the ground of each branch of the row, with the place behind it."""
        zones = [*self.content.harness.zones, *(b.zone for b in self.content.branches)]
        bands = []
        for index, look in enumerate(row.runs):
            branch = look.run.branch
            if branch is None:
                continue
            place, after = row.places[index], row.places[index + 1]
            left = row.xs[index] + (place.width if place else 0.0)
            if index == 0 and place is not None:
                left = row.xs[0]
            right = row.ends[index] + (after.width if after else 0.0)
            above = max(look.above_mm, after.above_mm if after else 0.0)
            below = max(look.below_mm, after.below_mm if after else 0.0)
            tint = (
                TINTS[zones.index(branch.zone) % len(TINTS)] if branch.zone in zones else TINTS[4]
            )
            bands.append(Band(Box(left, y - above, right, y + below), tint, branch.zone))
        return bands

    def _set_sides(self, row: Row, y: float, side: bool | None) -> None:
        """Set the runs that leave a row, from the right, the outermost last."""
        for index in range(len(row.nodes) - 1, -1, -1):
            node, place, x = row.nodes[index], row.places[index], row.xs[index]
            if node is None or place is None:
                continue
            aside = node.runs[:-1]
            for k in range(len(aside) - 1, -1, -1):
                upward = k < place.up
                self._set_row(None, aside[k], x + place.drop_x(k), y + place.drop_y(upward), upward)


def _shifted(bundle: Bundle, y: float) -> Bundle:
    return Strip((bundle,)).moved(0.0, y).bundles[0]


def _boxes(row: Row) -> list[Box]:
    """Return the room of each run and place of a row about y = 0."""
    boxes = []
    for index, place in enumerate(row.places):
        x = row.xs[index]
        width = place.width if place else 0.0
        if place is not None:
            boxes.append(Box(x - 0.5, -place.above_mm, x + width + 0.5, place.below_mm))
        if index < len(row.runs):
            look = row.runs[index]
            boxes.append(Box(x + width, -look.above_mm, row.ends[index], look.below_mm))
    return boxes
