"""The wires between a place where power is taken and the first fuses of the add-on.

Shared ground of fuse near source and fuse protects wire; it judges nothing itself.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass

from circuitcheck.circuit.topology import Link, read_topology, wires_at
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library, LimitRow
from circuitcheck.model.supply_tap import SupplyTap


@dataclass(frozen=True)
class UnfusedRun:
    """What lies between `source` (a tap, or the battery) and the add-on's first fuses.

    `length_m` is the way along the wires to the farthest end, each at its upper length; 0 where
    no wire lies between. `sheathed` tells whether all of them are. `fuses` are the add-on's
    fuses at the ends, empty where a coil is reached without one.
    """

    source: str
    at_battery: bool
    wires: tuple[str, ...]
    length_m: float
    sheathed: bool
    fuses: tuple[str, ...]


def permitted_length(library: Library, run: UnfusedRun) -> LimitRow:
    """Return the limit on the length of a run: bare, sheathed, or straight from a battery."""
    if not run.sheathed:
        return library.limit("fuse_distance_m")
    if run.at_battery:
        return library.limit("fuse_distance_battery_sheathed_m")
    return library.limit("fuse_distance_sheathed_m")


def unfused_runs(harness: Harness) -> tuple[UnfusedRun, ...]:
    """Return one run per tap, and one for the battery where a wire of the add-on starts there."""
    starts = [(tap.name, tap.name, False) for tap in harness.of_kind(SupplyTap)]
    plus = f"{harness.battery.name}.+"
    if wires_at(harness).get(plus):
        starts.append((plus, harness.battery.name, True))
    return tuple(_run(harness, *start) for start in starts)


def _run(harness: Harness, start: str, source: str, at_battery: bool) -> UnfusedRun:
    # The add-on's fuses and the taps end the run; a switch or connector on the way does not.
    ending = {part.name for part in harness.of_kind(Fuse)}
    ending |= {part.name for part in harness.of_kind(SupplyTap)}
    links = [link for link in read_topology(harness).links if link.owner not in ending]
    distance_m = _distances(harness, links, start, stop=f"{harness.battery.name}.-")
    wires = tuple(
        name
        for name, wire in harness.wires.items()
        if str(wire.start) in distance_m and str(wire.end) in distance_m
    )
    ends = [str(end) for n in wires for end in (harness.wires[n].start, harness.wires[n].end)]
    length_m = max((distance_m[end] for end in ends), default=0.0)
    sheathed = bool(wires) and all(harness.wires[name].sheathed for name in wires)
    coils = [f"{coil.name}.{end}" for coil in harness.coils for end in coil.terminals]
    fuses = tuple(
        fuse.name
        for fuse in harness.of_kind(Fuse)
        if any(f"{fuse.name}.{end}" in distance_m for end in fuse.terminals)
    )
    if any(coil in distance_m for coil in coils):
        fuses = ()
    return UnfusedRun(source, at_battery, wires, length_m, sheathed, fuses)


def _distances(harness: Harness, links: list[Link], start: str, *, stop: str) -> dict[str, float]:
    """Return the shortest way to every terminal joined to `start`, in metres of wire."""
    neighbours: dict[str, list[tuple[str, float]]] = {}
    for link in links:
        wire = harness.wires.get(link.owner)
        metres = wire.length_m.upper if wire else 0.0
        neighbours.setdefault(link.start, []).append((link.end, metres))
        neighbours.setdefault(link.end, []).append((link.start, metres))
    found: dict[str, float] = {}
    waiting = [(0.0, start)]
    while waiting:
        metres, here = heapq.heappop(waiting)
        if here in found:
            continue
        found[here] = metres
        if here != stop:
            for there, step in neighbours.get(here, ()):
                heapq.heappush(waiting, (metres + step, there))
    return found
