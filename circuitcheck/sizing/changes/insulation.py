"""Insulation for a higher temperature."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Finding
from circuitcheck.sizing.change import Change, Ladder, with_wires


def ladders(case: Case, finding: Finding) -> Iterator[Ladder]:
    """Yield the classes above a wire's own, by rising temperature, one row per temperature."""
    wire = case.harness.wires.get(finding.subject)
    if wire is None:
        return
    by_temperature = {
        row.temperature_c: row
        for row in case.library.insulations.values()
        if row.temperature_c > wire.insulation.temperature_c
        and row.short_circuit_c >= wire.insulation.short_circuit_c
    }
    steps = tuple(
        Change(
            f"{wire.name} with insulation {row.name} (was {wire.insulation.name})",
            with_wires(case.harness, [replace(wire, insulation=row)]),
        )
        for _, row in sorted(by_temperature.items())
    )
    if steps:
        yield Ladder(f"{wire.name} with insulation for more heat", steps)
