"""The wires between a place where power is taken and the first fuses of the add-on.

Shared ground of fuse near source and fuse protects wire; it judges nothing itself.
"""

from __future__ import annotations

import heapq

from circuitcheck.circuit.topology import Link, load_ends, read_topology, wires_at
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library, LimitRow
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.record import record


@record
class UnfusedRun:
    """What lies between `source` (a tap, or the battery) and the add-on's first fuses.

    `length_m` is the way along the wires to the farthest end, each at its upper length; 0 where
    no wire lies between. `sheathed` tells whether all of them are. `fuses` are the add-on's
    fuses at the ends, empty where a coil is reached without one. `longest_way` are the wires that
    `length_m` runs along; `upstream_m` is the part of it that the machine's own wire takes, where
    that wire has no fuse.
    """

    source: str
    at_battery: bool
    wires: tuple[str, ...]
    length_m: float
    sheathed: bool
    fuses: tuple[str, ...]
    longest_way: tuple[str, ...] = ()
    upstream_m: float = 0.0


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
    ways = _ways(harness, links, start, stop=f"{harness.battery.name}.-")
    distance_m = {end: _length_m(harness, way) for end, way in ways.items()}
    wires = tuple(
        name
        for name, wire in harness.wires.items()
        if str(wire.start) in distance_m and str(wire.end) in distance_m
    )
    ends = [str(end) for n in wires for end in (harness.wires[n].start, harness.wires[n].end)]
    farthest = max(ends, key=lambda end: distance_m[end], default=start)
    sheathed = bool(wires) and all(harness.wires[name].sheathed for name in wires)
    coils = [end for load in load_ends(harness) for end in load.ends]
    fuses = tuple(
        fuse.name
        for fuse in harness.of_kind(Fuse)
        if any(f"{fuse.name}.{end}" in distance_m for end in fuse.terminals)
    )
    if any(coil in distance_m for coil in coils):
        fuses = ()
    upstream_m = _unfused_upstream_m(harness.parts.get(source))
    length_m = distance_m[farthest] + upstream_m
    # of the machine's own wire nobody knows how it is laid
    sheathed = sheathed and upstream_m == 0.0
    return UnfusedRun(
        source, at_battery, wires, length_m, sheathed, fuses, ways[farthest], upstream_m
    )


def _unfused_upstream_m(part: object) -> float:
    """Return the length of the wire before a tap where it is known to have no fuse. [m]"""
    if isinstance(part, SupplyTap) and part.upstream.fuse is None and part.upstream.fuse_known:
        return part.upstream.length_m.upper
    return 0.0


def _length_m(harness: Harness, way: tuple[str, ...]) -> float:
    return sum(harness.wires[name].length_m.upper for name in way)


def _ways(
    harness: Harness, links: list[Link], start: str, *, stop: str
) -> dict[str, tuple[str, ...]]:
    """Return the wires of the shortest way, in metres, to every terminal joined to `start`."""
    neighbours: dict[str, list[tuple[str, str]]] = {}
    for link in links:
        neighbours.setdefault(link.start, []).append((link.end, link.owner))
        neighbours.setdefault(link.end, []).append((link.start, link.owner))
    found: dict[str, tuple[str, ...]] = {}
    waiting: list[tuple[float, str, tuple[str, ...]]] = [(0.0, start, ())]
    while waiting:
        _, here, way = heapq.heappop(waiting)
        if here in found:
            continue
        found[here] = way
        if here != stop:
            for there, owner in neighbours.get(here, ()):
                onward = (*way, owner) if owner in harness.wires else way
                heapq.heappush(waiting, (_length_m(harness, onward), there, onward))
    return found
