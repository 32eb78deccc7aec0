"""The harness as a wiring diagram: every symbol, line and word with its place. No drawing here.

Stages: drafting (what is drawn) -> columns -> lanes -> order -> rows -> tracks -> places.
"""

from __future__ import annotations

from collections.abc import Iterable

from circuitcheck.drawing.geometry import Box
from circuitcheck.drawing.layout.asked import asked_for
from circuitcheck.drawing.layout.columns import columns_of
from circuitcheck.drawing.layout.diagram import drawn_where
from circuitcheck.drawing.layout.graph import Diagram
from circuitcheck.drawing.layout.lanes import Lanes, Slot, lanes_of
from circuitcheck.drawing.layout.order import arrangements, returns_above
from circuitcheck.drawing.layout.page import Drawn, Page
from circuitcheck.drawing.layout.room import Room
from circuitcheck.drawing.layout.rows import set_rows
from circuitcheck.drawing.layout.sheet import Margin, margin_for, page_of
from circuitcheck.drawing.layout.straighten import straighten
from circuitcheck.drawing.marks import InUnits, Mark, Notes
from circuitcheck.drawing.position_values import PositionValues
from circuitcheck.model.harness import Harness


def layout(
    harness: Harness,
    marks: Iterable[Mark] | None = None,
    in_units: InUnits = str,
    values: PositionValues | None = None,
) -> Page:
    """Return the wiring diagram of a harness on one sheet, as large as it takes.

    `marks` are the failing items, None where nothing was judged; the legend says which it is.
    `in_units` turns lengths into the units that the reader wants. With `values` the sheet shows
    one switch position.
    Lettering of wires stands on one line where that fits A4, else it is broken into two or three
    lines if this saves a larger sheet.
    """
    asked = asked_for(harness, marks, in_units, values)
    lanes = lanes_in_order(asked.drafted(), asked.notes)
    legend = asked.legend(asked.whole)
    best: tuple[Margin, Drawn] | None = None

    def saves(content: Box) -> bool:
        margin = margin_for(content, asked.block, legend)
        return best is None or _area(margin) < _area(best[0]) - 1.0

    for label_lines in (1, 2, 3):
        drawn = drawn_where(saves, lanes, asked.notes, label_lines)
        if drawn is not None:
            best = (margin_for(drawn.box, asked.block, legend), drawn)
        if best is not None and best[0].paper.name == "A4":
            break
    if best is None:
        raise ValueError("nothing to draw")
    return page_of(best[1], best[0])


def _area(margin: Margin) -> float:
    return margin.paper.width_mm * margin.paper.height_mm


_RETURN_ABOVE_MM = 1.0
"""Weight of one line of the return above one of the feed, against length of line."""


def lanes_in_order(diagram: Diagram, notes: Notes) -> Lanes:
    """Return the lanes; of the orders with the fewest crossings the one that reads best."""
    lanes = lanes_of(columns_of(diagram))
    put_in_order(lanes, notes)
    return lanes


def put_in_order(lanes: Lanes, notes: Notes) -> None:
    """Give lanes in the order of the file the one that reads best."""
    best: list[list[Slot]] = []
    least = 0.0
    for layers in arrangements(lanes):
        lanes.layers[:] = layers
        pads = Room(lanes, notes, 1).pads
        straighten(lanes, pads)
        cost = set_rows(lanes, pads) + _RETURN_ABOVE_MM * returns_above(lanes.layers)
        if not best or cost < least:
            best, least = list(lanes.layers), cost
    lanes.layers[:] = best
