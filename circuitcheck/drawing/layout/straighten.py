"""Moves single lanes and nodes past their neighbours where that costs no crossing.

Many orders have the same number of crossings; this picks one in which lines run straighter.
"""

from __future__ import annotations

from collections.abc import Mapping

from circuitcheck.drawing.layout.crossings import Group, Order
from circuitcheck.drawing.layout.lanes import Lanes, Slot
from circuitcheck.drawing.layout.rows import Pads, Settling

_TRIES = 80
_WORK = 12_000
"""Slots settled in all tries together: a large harness gets fewer."""


def straighten(lanes: Lanes, pads: Pads) -> None:
    """Change the order of `lanes` in place as long as the lines get straighter by it."""
    search = _Search(Order(lanes.layers, lanes), pads)
    for index, layer in enumerate(search.order.layers):
        for group in list(layer) if index else ():
            if len(group) == 1 and search.tries and search.is_bent(group[0]):
                search.move(layer, group)
    lanes.layers[:] = search.order.flat()


class _Search:
    """The order being changed, its cost, and how many more orders may be tried."""

    def __init__(self, order: Order, pads: Pads):
        self.order = order
        self.settling = Settling(order.lanes, pads)
        slots = sum(len(layer) for layer in order.flat())
        self.tries = min(_TRIES, _WORK // max(slots, 1))
        self.least, self.rows = self.settled()

    def settled(self) -> tuple[float, Mapping[int, float]]:
        """Return how ill the order reads as it stands, and its rows."""
        return self.settling.quick_rows(self.order.flat())

    def is_bent(self, slot: Slot) -> bool:
        """Return whether a line at this slot is not straight in the best order so far."""
        row = self.rows[slot.number]
        return any(self.rows[near.number] != row for near in (*slot.before, *slot.after))

    def move(self, layer: list[Group], group: Group) -> None:
        """Try one group at every place that it can reach without more crossings."""
        start = _place(layer, group)
        best = start
        for step in (-1, 1):
            at, more = start, 0
            while 0 <= at + step < len(layer) and self.tries:
                other = layer[at + step]
                upper, lower = (other, group) if step < 0 else (group, other)
                more += self.order.pair_crossings(lower, upper)
                more -= self.order.pair_crossings(upper, lower)
                if more > 0:
                    break
                self.order.swap(layer, min(at, at + step))
                at += step
                self.tries -= 1
                cost, rows = self.settled()
                if cost < self.least:
                    self.least, self.rows, best = cost, rows, at
            self._bring(layer, at, start)
        self._bring(layer, start, best)

    def _bring(self, layer: list[Group], at: int, goal: int) -> None:
        """Take a group back over its neighbours."""
        while at != goal:
            step = 1 if goal > at else -1
            self.order.swap(layer, min(at, at + step))
            at += step


def _place(layer: list[Group], group: Group) -> int:
    return next(at for at, other in enumerate(layer) if other is group)
