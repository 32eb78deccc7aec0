"""A wire that joins feed and return, taken out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Finding
from circuitcheck.circuit.structural_faults import structural_faults
from circuitcheck.sizing.change import Change, Ladder

SHORT = "short circuit"


def ladders(case: Case, finding: Finding) -> Iterator[Ladder]:
    """Yield, for a short in the wiring, each wire without which there is none, nor any new fault.

    A wire that something needs leaves an open end behind and is no candidate.
    """
    if not finding.quantity.startswith(f"{SHORT}:"):
        return
    before = {(fault.kind, fault.wrong) for fault in structural_faults(case.harness)}
    for name in case.harness.wires:
        wires = {key: wire for key, wire in case.harness.wires.items() if key != name}
        without = replace(case.harness, wires=wires)
        after = {(fault.kind, fault.wrong) for fault in structural_faults(without)}
        if after < before and not any(kind == SHORT for kind, _ in after):
            yield Ladder(f"{name} taken out", (Change(f"{name} taken out", without),))
