"""Indicator lamp and LED indicator: one curve each."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.circuit.branches.context import BranchContext
from circuitcheck.circuit.link import Link
from circuitcheck.circuit.netlist import CurveBranch, DiodeCurve, Element, LampCurve
from circuitcheck.model.harness import Harness
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator


def branches(part: IndicatorLamp | LedIndicator, context: BranchContext) -> Iterator[Element]:
    """Yield the lamp, or the LED from its plus; one that lights either way round is two."""
    first, second = (context.node(f"{part.name}.{terminal}") for terminal in part.terminals)
    if isinstance(part, IndicatorLamp):
        lamp = LampCurve(part.rated_v, part.current_a, part.cold_ratio, part.exponent)
        yield CurveBranch(part.name, part.name, "lamp", first, second, lamp)
        return
    current_a = (part.rated_v - part.forward_v.nominal) / part.series_ohm.nominal
    led = DiodeCurve(part.forward_v, part.series_ohm, current_a, part.reverse_v)
    if part.plus != "2":
        yield CurveBranch(part.name, part.name, "LED", first, second, led)
    if part.plus != "1":
        name = part.name if part.plus == "2" else f"{part.name}/other way"
        yield CurveBranch(name, part.name, "LED", second, first, led)


def links(part: IndicatorLamp | LedIndicator, harness: Harness) -> Iterator[Link]:
    """Yield nothing: an indicator is a load, not a path."""
    yield from ()
