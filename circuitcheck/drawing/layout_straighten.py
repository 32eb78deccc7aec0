"""Moves single lanes and nodes past their neighbours where that costs no crossing.

Many orders have the same number of crossings; this picks one in which lines run straighter.
"""

from __future__ import annotations

from circuitcheck.drawing.layout_lanes import Lanes, Slot
from circuitcheck.drawing.layout_order import Order, grouped, pair_crossings
from circuitcheck.drawing.layout_rows import Pads, quick_cost_mm

_TRIES = 80


def straighten(lanes: Lanes, pads: Pads) -> None:
    """Change the order of `lanes` in place as long as the lines get straighter by it."""
    order = grouped(lanes.layers)
    search = _Search(order, lanes, pads)
    for layer in order[1:]:
        for group in list(layer):
            if len(group) == 1 and search.tries:
                search.move(layer, group)
    search.write()


class _Search:
    """The order being changed, its cost, and how many more orders may be tried."""

    def __init__(self, order: Order, lanes: Lanes, pads: Pads):
        self.order, self.lanes, self.pads = order, lanes, pads
        self.tries = _TRIES
        self.least = quick_cost_mm(lanes, pads)

    def write(self) -> None:
        """Put the order into the lanes."""
        self.lanes.layers[:] = [[slot for group in layer for slot in group] for layer in self.order]

    def move(self, layer: list[list[Slot]], group: list[Slot]) -> None:
        """Try one group at every place that it can reach without more crossings."""
        start = _place(layer, group)
        best = start
        for step in (-1, 1):
            at, more = start, 0
            while 0 <= at + step < len(layer) and self.tries:
                other = layer[at + step]
                upper, lower = (other, group) if step < 0 else (group, other)
                more += pair_crossings(lower, upper, self.order, self.lanes)
                more -= pair_crossings(upper, lower, self.order, self.lanes)
                if more > 0:
                    break
                layer[at], layer[at + step] = layer[at + step], layer[at]
                at += step
                self.tries -= 1
                self.write()
                cost = quick_cost_mm(self.lanes, self.pads)
                if cost < self.least:
                    self.least, best = cost, at
            layer.insert(start, layer.pop(at))
        layer.insert(best, layer.pop(start))


def _place(layer: list[list[Slot]], group: list[Slot]) -> int:
    return next(at for at, other in enumerate(layer) if other is group)
