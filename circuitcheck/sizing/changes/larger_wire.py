"""Larger conductors, for one wire or several, and with them the contacts that take them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from circuitcheck.checks.check import Case
from circuitcheck.checks.finding import Finding
from circuitcheck.circuit.topology import wires_at
from circuitcheck.model.conductor_material import in_material
from circuitcheck.model.connector import Connector
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import ConductorRow, ContactRow, Library
from circuitcheck.model.wire import Wire
from circuitcheck.sizing.change import Change, Growing, Ladder, joined, with_part, with_wires
from circuitcheck.sizing.on_the_way import wires_by_drop

NAMED = 3


def ladders(case: Case, finding: Finding) -> Iterator[Growing]:
    """Yield the wire itself; for a part the wires on the way, from the one that loses most on.

    Each group takes in the wire with the next largest drop. Last come all wires of the add-on: two
    coils that share a wire are relieved together.
    """
    if finding.subject in case.harness.wires:
        alone = _ladder(case, (case.harness.wires[finding.subject],))
        if alone is not None:
            yield Growing((alone,))
        return
    wires = wires_by_drop(case, finding)
    groups = (_ladder(case, wires[:count]) for count in range(1, len(wires) + 1))
    found = tuple(ladder for ladder in groups if ladder is not None)
    if not found:
        return
    yield Growing(found)
    every = _ladder(case, tuple(case.harness.wires.values()))
    if every is not None and len(case.harness.wires) > len(wires):
        yield Growing((every,))


def _ladder(case: Case, wires: Sequence[Wire]) -> Ladder | None:
    """Return the steps in which no wire of the group is smaller than one size, then the next."""
    smallest = min(wires, key=lambda wire: wire.conductor.area_mm2)
    steps = []
    for row in case.library.next_conductors(smallest.conductor.name):
        larger = [wire for wire in wires if _is_larger(case.library, row, wire)]
        change = _change(case, larger, row) if larger else None
        if change is not None:
            steps.append(change)
    names = (
        joined(wire.name for wire in wires) if len(wires) <= NAMED else f"all {len(wires)} wires"
    )
    return Ladder(f"{names} larger", tuple(steps)) if steps else None


def _is_larger(library: Library, row: ConductorRow, wire: Wire) -> bool:
    return row.name in {larger.name for larger in library.next_conductors(wire.conductor.name)}


def _change(case: Case, wires: Sequence[Wire], row: ConductorRow) -> Change | None:
    """Return the wires in one larger size; None where no contact of a connector takes it."""
    before = list(dict.fromkeys(wire.conductor.name for wire in wires))
    order = list(case.harness.wires)
    names = sorted((wire.name for wire in wires), key=order.index)
    was = f"was {before[0]}" if len(wires) == 1 else f"were {joined(before)}"
    changed = [_in_size(case.library, wire, row) for wire in wires]
    harness, words = with_wires(case.harness, changed), [f"{joined(names)} in {row.name} ({was})"]
    for part in case.harness.of_kind(Connector):
        areas_mm2, own = _areas_to_take_mm2(case.harness, harness, part), part.contact
        if own is None or _takes(own, areas_mm2):
            continue
        larger = _family(case.library, own, areas_mm2)
        if larger is None:
            return None
        words.append(f"{part.name} with {larger.name} contacts (was {own.name})")
        other = replace(part, contact=larger, contact_ohm=larger.resistance_ohm)
        harness = with_part(harness, other)
    return Change(", ".join(words), harness)


def _in_size(library: Library, wire: Wire, row: ConductorRow) -> Wire:
    """Return a wire in another size, of the metal that it is."""
    conductor = in_material(row, library.material(wire.material))
    return replace(wire, gauge=row.name, conductor=conductor)


def _areas_to_take_mm2(before: Harness, after: Harness, part: Connector) -> list[float]:
    """Return the areas in the cavities that change or fitted before; other misfits stay misfits."""
    old, new = _areas_mm2(before, part), _areas_mm2(after, part)
    own = part.contact
    return [
        area for cavity, area in new.items() if area != old[cavity] or (own and _takes(own, [area]))
    ]


def _areas_mm2(harness: Harness, part: Connector) -> dict[str, float]:
    """Return the area of the wires in each cavity that has any."""
    landed = wires_at(harness)
    cavities = {terminal: landed.get(f"{part.name}.{terminal}", []) for terminal in part.terminals}
    return {
        terminal: sum(harness.wires[name].conductor.area_mm2 for name in names)
        for terminal, names in cavities.items()
        if names
    }


def _takes(row: ContactRow, areas_mm2: Sequence[float]) -> bool:
    if row.area_min_mm2 is None or row.area_max_mm2 is None:
        return True
    return all(row.area_min_mm2 <= area <= row.area_max_mm2 for area in areas_mm2)


def _family(library: Library, own: ContactRow, areas_mm2: Sequence[float]) -> ContactRow | None:
    """Return the smallest family of the same kind, sealing and plating that takes all wires."""
    fitting = (
        row
        for row in library.contacts.values()
        if (row.kind, row.sealed, row.plating) == (own.kind, own.sealed, own.plating)
        and _takes(row, areas_mm2)
    )
    return min(fitting, key=lambda row: row.area_max_mm2 or 0.0, default=None)
