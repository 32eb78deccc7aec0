"""Where each branch stands: the longest way as a row, other runs in rows of their own off it.

A row starts where its run leaves the row before and goes to the right. Rows on one side are set
from the right, each beyond all that stands in its span, so that no run ever crosses another.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from circuitcheck.drawing.geometry import Box, box_around
from circuitcheck.drawing.routing.drawn import NOTHING, Strip, together
from circuitcheck.drawing.routing.followed import FollowedRows
from circuitcheck.drawing.routing.rows import CLEAR_MM, Row
from circuitcheck.drawing.routing.tree import Node

_BETWEEN_MM = 3.0


@dataclass
class Placing:
    """Sets one tree."""

    followed: FollowedRows
    rows: list[Row] = field(default_factory=list)
    room: Box = NOTHING
    # What the rows take, once they are set.
    _taken: list[tuple[Box, bool]] = field(default_factory=list)

    @property
    def box(self) -> Box:
        """The room that the tree takes when it is drawn."""
        room = self.room
        return Box(room.left + CLEAR_MM, room.top, room.right - CLEAR_MM, room.bottom)

    def moved(self, dx: float, dy: float) -> Strip:
        """Return the tree that was set, drawn so far from where it was set."""
        content = self.followed.looks.content
        zones = [*content.harness.zones, *(branch.zone for branch in content.branches)]
        return together(row.moved(dx, dy).drawn(zones) for row in self.rows)

    def set(self, root: Node) -> None:
        """Set the tree; nothing is drawn yet."""
        self._set_row(self.followed.first(root), 0.0, 0.0, None)
        self.room = box_around(taken for taken, _ in self._taken)

    def _set_row(self, row: Row, x: float, y0: float, side: bool | None) -> None:
        """Set one row and all that leaves it; `side` is True upward, None for the first row."""
        row.measure(x, self.followed.mm_per_m)
        box = row.box
        if side is None:
            self._taken += [(box, up) for up in (True, False)]
        else:
            row.y = self._level(box, side)
            self._taken.append((box.moved(0.0, row.y), side))
        self.rows.append(row)
        row.y0 = y0
        for leaving, start, below, turned in self.followed.sides(row, side):
            self._set_row(leaving, start, row.y + below, turned)

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
