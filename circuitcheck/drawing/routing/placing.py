"""Where each branch stands: the longest way as a row, other runs in rows of their own off it.

A row starts where its run leaves the row before and goes to the right. Rows on one side are set
from the right, each beyond all that stands in its span, so that no run ever crosses another.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from circuitcheck.drawing.geometry import Box, box_around
from circuitcheck.drawing.routing.content import Content
from circuitcheck.drawing.routing.drawn import NOTHING, Strip, together
from circuitcheck.drawing.routing.places import PlaceLook, place_look
from circuitcheck.drawing.routing.rows import CLEAR_MM, Row
from circuitcheck.drawing.routing.runs import RunLook, look_of
from circuitcheck.drawing.routing.tree import Node, Run

_BETWEEN_MM = 3.0
Leaving = tuple[Node, tuple[Run, Node]]
_RowKey = tuple[int, bool | None, str]


@dataclass
class Looks:
    """How branches and places look, worked out once: a tree is set many times till it fits."""

    content: Content
    _runs: dict[tuple[str, bool, bool, str], RunLook] = field(default_factory=dict)
    _places: dict[tuple[str, str, str, int, int], PlaceLook] = field(default_factory=dict)

    def run(self, run: Run, zone_line: str) -> RunLook:
        """Return how a branch looks; `zone_line` names the band where one begins."""
        key = (run.branch.name if run.branch else "", run.forward, run.cut, zone_line)
        if key not in self._runs:
            self._runs[key] = look_of(run, self.content, zone_line)
        return self._runs[key]

    def place(self, node: Node, up: int, down: int) -> PlaceLook:
        """Return how a place looks; `up` and `down` runs leave it aside."""
        key = (node.place, node.reference, node.mark, up, down)
        if key not in self._places:
            self._places[key] = place_look(node, self.content, up, down)
        return self._places[key]


@dataclass
class Placing:
    """Sets one tree; `mm_per_m` is the scale where lettering leaves room for it."""

    looks: Looks
    mm_per_m: float
    rows: list[Row] = field(default_factory=list)
    room: Box = NOTHING
    # What the rows take, once they are set.
    _kept: dict[_RowKey, Row] = field(default_factory=dict)
    # Rows by the place after the first run, the side, and the zone that they leave.
    _taken: list[tuple[Box, bool]] = field(default_factory=list)
    _turn: bool = False
    _zone_at: dict[int, str] = field(default_factory=dict)
    # Zone of the run that leads to a place, by the place.

    def without(self, places: Iterable[Node]) -> Placing:
        """Return the tree to be set anew after cuts at places: only rows through these change."""
        cut = {id(place) for place in places}
        kept = {
            key: row
            for key, row in self._kept.items()
            if cut.isdisjoint(id(node) for node in row.nodes)
        }
        return Placing(self.looks, self.mm_per_m, _kept=kept, _zone_at=self._zone_at)

    @property
    def box(self) -> Box:
        """The room that the tree takes when it is drawn."""
        room = self.room
        return Box(room.left + CLEAR_MM, room.top, room.right - CLEAR_MM, room.bottom)

    def moved(self, dx: float, dy: float) -> Strip:
        """Return the tree that was set, drawn so far from where it was set."""
        content = self.looks.content
        zones = [*content.harness.zones, *(branch.zone for branch in content.branches)]
        return together(row.moved(dx, dy).drawn(zones) for row in self.rows)

    def set(self, root: Node) -> None:
        """Set the tree; nothing is drawn yet."""
        self._set_row(self._row(root, None, None), 0.0, 0.0, None)
        self.room = box_around(taken for taken, _ in self._taken)

    def _set_row(self, row: Row, x: float, y0: float, side: bool | None) -> None:
        """Set one row and all that leaves it; `side` is True upward, None for the first row."""
        if not row.xs or row.xs[0] != x:
            row.measure(x, self.mm_per_m)
        if side is None:
            self._taken += [(row.box, up) for up in (True, False)]
        else:
            box = row.box
            row.y = self._level(box, side)
            self._taken.append((box.moved(0.0, row.y), side))
        self.rows.append(row)
        row.y0 = y0
        self._set_sides(row, side)

    def _row(self, root: Node | None, leaves: Leaving | None, side: bool | None) -> Row:
        """Follow the straight way from a place, or along the run by which a row leaves another."""
        after = root if leaves is None else leaves[1][1]
        left = "" if leaves is None else self._zone_at.get(id(leaves[0]), "")
        key = (id(after), side, left)
        if key not in self._kept:
            self._kept[key] = self._followed(root, leaves, side, left)
        return self._kept[key]

    def _followed(
        self, root: Node | None, leaves: Leaving | None, side: bool | None, zone: str
    ) -> Row:
        row, node = Row(leaves=leaves), root
        if leaves is not None:
            row.nodes.append(None)
            row.places.append(None)
            node, zone = self._run(row, leaves[1], zone)
        while node is not None:
            up, down = self._shared(len(node.runs) - 1, side)
            row.nodes.append(node)
            row.places.append(self.looks.place(node, up, down))
            here, node = node, None
            if here.runs:
                node, ahead = self._run(row, here.runs[-1], zone)
                zone = zone or ahead
                self._zone_at[id(here)] = zone
                zone = ahead
        return row

    def _run(self, row: Row, pair: tuple[Run, Node], zone: str) -> tuple[Node, str]:
        """Add a run to a row; its zone is named where it is another one than before."""
        run, node = pair
        now = run.branch.zone if run.branch and not run.cut else zone
        line = self.looks.content.zone_words(now) if now != zone else ""
        row.runs.append(self.looks.run(run, line))
        return node, now

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

    def _level(self, box: Box, side: bool) -> float:
        """Return how far from y = 0 a row stands beyond all that is taken in its span."""
        best = 0.0
        for taken, its_side in self._taken:
            if its_side != side or box.left >= taken.right or taken.left >= box.right:
                continue
            if side:
                best = min(best, taken.top - _BETWEEN_MM - box.bottom)
            else:
                best = max(best, taken.bottom + _BETWEEN_MM - box.top)
        return best

    def _set_sides(self, row: Row, side: bool | None) -> None:
        """Set the runs that leave a row, from the right, the outermost last."""
        for index in range(len(row.nodes) - 1, -1, -1):
            node, place = row.nodes[index], row.places[index]
            if node is None or place is None:
                continue
            for k in range(len(node.runs) - 2, -1, -1):
                upward = k < place.up
                turned = side if side is not None else upward
                leaving = self._row(None, (node, node.runs[k]), turned)
                x, y0 = row.xs[index] + place.drop_x(k), row.y + place.drop_y(upward)
                self._set_row(leaving, x, y0, turned)
