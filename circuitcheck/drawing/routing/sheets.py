"""The routing drawing on paper."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from circuitcheck.drawing.layout.page import Page
from circuitcheck.drawing.layout.sheet import Margin, margin_for
from circuitcheck.drawing.legend import FAILING, Legend
from circuitcheck.drawing.marks import InUnits, Mark, NumberedMark, notes_on, numbered
from circuitcheck.drawing.routing.content import Content
from circuitcheck.drawing.routing.drawn import Strip, items_of, page_of, together
from circuitcheck.drawing.routing.placing import Placing
from circuitcheck.drawing.routing.tree import trees_of
from circuitcheck.drawing.sheet import Item, Sheet
from circuitcheck.drawing.text_size import printable
from circuitcheck.drawing.title_block import title_block_of
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library

SCALE = "Not to scale: the figures count, lengths along the bundle."
ASSUMED = "Routes assumed from zones: not measured. Lengths are those of the wires."
THICKNESS = "Ø is an estimate: 1.25 times the root of the sum of the wires' squares."


def routing_sheets(
    harness: Harness,
    library: Library,
    marks: Iterable[Mark] | None = None,
    in_units: InUnits = str,
) -> list[Sheet]:
    signs = numbered(marks or (), [*harness.parts, *harness.wires])
    content = Content(harness, library, notes_on(harness, signs, in_units))
    strips = [Placing(content, 40.0).tree(root) for root in trees_of(harness, content.branches)]
    placed, y = [], 0.0
    for strip in strips:
        box = strip.box
        placed.append(strip.moved(-box.left, y - box.top))
        y += box.height + 6.0
    whole = together(placed)
    block = title_block_of(harness, "Routing drawing")
    margin = margin_for(whole.box, block, Legend((ASSUMED, SCALE, THICKNESS)))
    area = margin.area
    box = whole.box
    whole = whole.moved(area.left - box.left + (area.width - box.width) / 2, area.top - box.top + 4)
    strokes, letterings = margin.drawn()
    return [
        Sheet(
            margin.paper.width_mm,
            margin.paper.height_mm,
            (*items_of(whole), Item(strokes, letterings)),
            printable(harness.circuit),
        )
    ]
