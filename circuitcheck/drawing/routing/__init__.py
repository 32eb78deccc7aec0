"""Stage 7, the routing drawing: branches, what is fitted to them, and connector faces."""

from __future__ import annotations

from collections.abc import Iterable

from circuitcheck.drawing.marks import InUnits, Mark, notes_on, numbered
from circuitcheck.drawing.paper import Paper
from circuitcheck.drawing.routing.content import Content
from circuitcheck.drawing.routing.sheets import RoutingPage, routing_pages
from circuitcheck.drawing.sheet import Sheet
from circuitcheck.drawing.table_sheets import TablePage
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library

__all__ = ["RoutingPage", "routing_layout", "routing_sheets"]


def routing_layout(
    harness: Harness,
    library: Library,
    marks: Iterable[Mark] | None = None,
    in_units: InUnits = str,
    *,
    paper: Paper | None = None,
) -> list[RoutingPage | TablePage]:
    """Return the sheets as data: routing drawing, connector faces, table of branches.

    `marks` are the failing items, None where nothing was judged. `in_units` turns a metric
    quantity such as `2.50 m` into the units that the reader wants. Without `paper` A4 is taken
    where one sheet holds all, else A3.
    """
    signs = numbered(marks or (), [*harness.parts, *harness.wires])
    content = Content(harness, library, notes_on(harness, signs, in_units))
    return routing_pages(content, signs, judged=marks is not None, paper=paper)


def routing_sheets(
    harness: Harness,
    library: Library,
    marks: Iterable[Mark] | None = None,
    in_units: InUnits = str,
    *,
    paper: Paper | None = None,
) -> list[Sheet]:
    """Return the sheets of the routing drawing, ready to be rendered; see `routing_layout`."""
    pages = routing_layout(harness, library, marks, in_units, paper=paper)
    return [page.sheet(f"{harness.circuit}: routing drawing") for page in pages]
