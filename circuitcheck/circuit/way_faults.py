"""Faults between a wire and the branches it runs through: too short, or in a zone it leaves out."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.circuit.structural_faults import StructuralFault
from circuitcheck.model.harness import Harness
from circuitcheck.model.ways import Way, wire_ways
from circuitcheck.model.wire import Wire
from circuitcheck.units import text

_SAME_M = 1e-6


def way_faults(harness: Harness) -> Iterator[StructuralFault]:
    """Yield the wires that do not reach along their way, or whose route leaves a zone of it out.

    length of a wire >= sum of the pieces of branches it runs through; the longest wire that the
    file allows against the shortest way. A way that is not measured is not compared.
    """
    if not harness.branches:
        return
    unknown = {a.subject for a in harness.assumptions if a.key == "length" and a.stated_unknown}
    for name, way in wire_ways(harness).items():
        wire = harness.wires[name]
        if name not in unknown:
            yield from _too_short(wire, way)
        yield from _other_zone(harness, wire, way)


def _too_short(wire: Wire, way: Way) -> Iterator[StructuralFault]:
    needed = way.length_m
    if needed is None or wire.length_m.upper >= needed.lower - _SAME_M:
        return
    lies, reaches = text(needed.lower, "m"), text(wire.length_m.upper, "m")
    yield StructuralFault(
        "too short",
        wire.name,
        f"wire {wire.name}",
        f"{wire.name} is {reaches} long, its way through {', '.join(way.branches)} {lies}",
        "Give the wire's true length, or put its branches right.",
    )


def _other_zone(harness: Harness, wire: Wire, way: Way) -> Iterator[StructuralFault]:
    """A zone that the wire runs through and its route does not name would not be judged."""
    assumed = {a.subject for a in harness.assumptions if a.key == "zone"}
    stated = [name for name in way.branches if f"branch {name}" not in assumed]
    zones = dict.fromkeys(harness.branches[name].zone for name in stated)
    missing = [zone for zone in zones if zone not in wire.route]
    if missing:
        yield StructuralFault(
            "other zone",
            wire.name,
            f"wire {wire.name}",
            f"{wire.name} runs through {' and '.join(missing)}, which its route leaves out",
            f"Its route by the branches: {', '.join(zones)}.",
        )
