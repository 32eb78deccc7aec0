"""Stage 7: model and findings in, wiring diagram out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from pathlib import Path

from circuitcheck.checks.finding import Finding
from circuitcheck.drawing.layout.layout import layout
from circuitcheck.drawing.layout.page import Page
from circuitcheck.drawing.marks import InUnits, Mark, failures
from circuitcheck.drawing.paper import Paper
from circuitcheck.drawing.position_values import PositionValues
from circuitcheck.drawing.sheet import Sheet
from circuitcheck.model.harness import Harness
from circuitcheck.record import record
from circuitcheck.sizing.remedy import Key

__all__ = ["Mark", "Wanted", "draw", "failures", "layout", "wiring_diagram"]


@record
class Wanted:
    """How a wiring diagram is wanted.

    On sheets of `paper`, or without it on the smallest of A4 and A3; `one_sheet` as large as it
    takes; `phone` as one narrow strip. `positions` ask for a drawing of each of these switch
    positions, with its values.
    """

    paper: Paper | None = None
    one_sheet: bool = False
    phone: bool = False
    positions: Sequence[PositionValues] = field(default=())


def wiring_diagram(
    harness: Harness,
    findings: Iterable[Finding] | None = None,
    number_of: Mapping[Key, int] | None = None,
    in_units: InUnits = str,
    wanted: Wanted | None = None,
) -> tuple[Sheet, ...]:
    """Return the wiring diagram of a harness as sheets, ready for `render`.

    Parts and wires of failing findings carry a numbered sign that the legend explains; None says
    that nothing was judged, and so does the legend. `number_of` gives the numbers of a verdict,
    `Verdict.number_of`; without it they are counted. `in_units` turns a metric quantity such as
    `2.50 m` into the units that the reader wants.
    """
    from circuitcheck.drawing.layout.numbered_through import numbered_through
    from circuitcheck.drawing.painted import painted

    marks = None if findings is None else failures(findings, number_of, in_units)
    asked = wanted or Wanted()
    shown: Sequence[PositionValues | None] = asked.positions or [None]
    drawings = [_pages(harness, marks, in_units, asked, values) for values in shown]
    return tuple(painted(page) for page in numbered_through(drawings))


def _pages(
    harness: Harness,
    marks: Iterable[Mark] | None,
    in_units: InUnits,
    wanted: Wanted,
    values: PositionValues | None,
) -> Sequence[Page]:
    from circuitcheck.drawing.layout.phone import layout_phone
    from circuitcheck.drawing.layout.sheets import layout_sheets

    if wanted.phone:
        return [layout_phone(harness, marks, in_units, values)]
    if wanted.one_sheet:
        return [layout(harness, marks, in_units, values)]
    return layout_sheets(harness, marks, in_units, wanted.paper, values)


def draw(
    harness: Harness,
    path: str | Path,
    findings: Iterable[Finding] | None = None,
    number_of: Mapping[Key, int] | None = None,
    in_units: InUnits = str,
) -> None:
    """Write the wiring diagram on one sheet as SVG, PDF or PNG, by the suffix of `path`.

    What the other arguments do is told at `wiring_diagram`. Raises ValueError for another suffix,
    OSError where the file cannot be written.
    """
    from circuitcheck.drawing.render import render

    wanted = Wanted(one_sheet=True)
    render(wiring_diagram(harness, findings, number_of, in_units, wanted), path)
