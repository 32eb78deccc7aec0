"""Stage 7: model and findings in, wiring diagram out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from circuitcheck.checks.finding import Finding
from circuitcheck.drawing.layout.layout import layout
from circuitcheck.drawing.marks import InUnits, Mark, failures
from circuitcheck.model.harness import Harness
from circuitcheck.sizing.remedy import Key

__all__ = ["Mark", "draw", "failures", "layout"]


def draw(
    harness: Harness,
    path: str | Path,
    findings: Iterable[Finding] | None = None,
    number_of: Mapping[Key, int] | None = None,
    in_units: InUnits = str,
) -> None:
    """Write the wiring diagram of a harness as SVG, PDF or PNG, by the suffix of `path`.

    Parts and wires of failing findings carry a numbered sign that the legend explains; None says
    that nothing was judged, and so does the legend. `number_of` gives the numbers of a verdict,
    `Verdict.number_of`; without it they are counted. `in_units` turns a metric quantity such as
    `2.50 m` into the units that the reader wants. Raises ValueError for another suffix, OSError
    where the file cannot be written.
    """
    from circuitcheck.drawing.painted import painted
    from circuitcheck.drawing.render import render

    marks = None if findings is None else failures(findings, number_of, in_units)
    render([painted(layout(harness, marks, in_units))], path)
