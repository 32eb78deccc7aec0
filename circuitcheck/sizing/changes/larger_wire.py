"""Larger conductors: one wire, the wires that lose most, all wires on the way together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Finding
from circuitcheck.model.library import ConductorRow, Library
from circuitcheck.model.wire import Wire
from circuitcheck.sizing.change import Change, Ladder, joined, with_wires
from circuitcheck.sizing.on_the_way import wires_on_the_way


def ladders(case: Case, finding: Finding) -> Iterator[Ladder]:
    """Yield the wire itself; for a part each wire on the way, then two, three ... of them.

    Wires come in order of the resistance that they add, so that the first that is enough is the
    one that matters most.
    """
    if finding.subject in case.harness.wires:
        wires: Sequence[Wire] = (case.harness.wires[finding.subject],)
    else:
        wires = sorted(wires_on_the_way(case, finding), key=_resistance_ohm, reverse=True)
    if len(wires) > 1:
        together = _ladder(case, wires)
        if together is None:
            return
        yield replace(together, gate=True)
    for wire in wires:
        alone = _ladder(case, (wire,))
        if alone is not None:
            yield alone
    for count in range(2, len(wires) + 1):
        several = _ladder(case, wires[:count])
        if several is not None:
            yield several


def _resistance_ohm(wire: Wire) -> float:
    return wire.conductor.resistance_ohm_per_m.upper * wire.length_m.upper


def _ladder(case: Case, wires: Sequence[Wire]) -> Ladder | None:
    """Return the steps in which no wire of the group is smaller than one size, then the next."""
    smallest = min(wires, key=lambda wire: wire.conductor.area_mm2)
    steps = []
    for row in case.library.next_conductors(smallest.conductor.name):
        larger = [wire for wire in wires if _is_larger(case.library, row, wire)]
        if larger:
            steps.append(_change(case, larger, row))
    names = joined(wire.name for wire in wires) if len(wires) <= 3 else f"{len(wires)} wires"
    return Ladder(f"larger {names}", tuple(steps)) if steps else None


def _is_larger(library: Library, row: ConductorRow, wire: Wire) -> bool:
    return row.name in {larger.name for larger in library.next_conductors(wire.conductor.name)}


def _change(case: Case, wires: Sequence[Wire], row: ConductorRow) -> Change:
    before = list(dict.fromkeys(wire.conductor.name for wire in wires))
    order = list(case.harness.wires)
    names = sorted((wire.name for wire in wires), key=order.index)
    was = f"was {before[0]}" if len(wires) == 1 else f"were {joined(before)}"
    changed = [replace(wire, gauge=row.name, conductor=row) for wire in wires]
    return Change(
        f"{joined(names)} in {row.name} ({was})",
        with_wires(case.harness, changed),
    )
