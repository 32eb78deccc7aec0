"""The harness as a wiring diagram: every symbol, line and word with its place. No drawing here.

Stages: graph (what is drawn) -> columns -> lanes -> order -> rows -> tracks -> places.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from circuitcheck.drawing.layout_columns import columns_of
from circuitcheck.drawing.layout_diagram import drawn_from
from circuitcheck.drawing.layout_graph import diagram_of
from circuitcheck.drawing.layout_lanes import lanes_of
from circuitcheck.drawing.layout_order import arrange
from circuitcheck.drawing.layout_page import Drawn, Page
from circuitcheck.drawing.layout_sheet import page_of, sheet_for
from circuitcheck.drawing.marks import Mark, numbered
from circuitcheck.model.harness import Harness


def layout(harness: Harness, marks: Iterable[Mark] | None = None) -> Page:
    """Return the wiring diagram of a harness on one sheet.

    `marks` are the failing items, None where nothing was judged; the legend says which it is.
    Lettering of wires stands on one line where that fits A4, else it is broken in two if this
    saves a larger sheet.
    """
    signs = numbered(marks or (), [*harness.parts, *harness.wires])
    judged = marks is not None
    numbers = {sign.subject: sign.number for sign in signs}
    best: tuple[float, Drawn] | None = None
    for label_lines in (1, 2):
        drawn = _drawn(harness, numbers, label_lines)
        sheet = sheet_for(drawn.box, signs, judged)
        area = sheet.width * sheet.height
        if best is None or area < best[0] - 1.0:
            best = (area, drawn)
        if sheet.name == "A4":
            break
    if best is None:
        raise ValueError("nothing to draw")
    return page_of(best[1], harness, signs, judged)


def _drawn(harness: Harness, numbers: Mapping[str, int], label_lines: int) -> Drawn:
    columns = columns_of(diagram_of(harness))
    lanes = lanes_of(columns)
    arrange(lanes)
    return drawn_from(lanes, numbers, label_lines)
