"""Wires: broken, chafed through to metal, chafed into each other; a poor crimp at either end."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from circuitcheck.faults.fault import SHORT_TO_FRAME, SHORT_TO_WIRE, Fault, Joined
from circuitcheck.faults.modes.context import SHORT_OHM, FaultContext, Words, poor_joint
from circuitcheck.model.battery import Battery
from circuitcheck.model.connector import Connector
from circuitcheck.model.ground import Frame, GroundStud
from circuitcheck.model.wire import Wire

METAL = (Frame, GroundStud)
MANY_WIRES, NEIGHBOURS = 40, 3
"""In a large loom which wires lie side by side is not known: the file's order stands for it."""


def faults(wire: Wire, context: FaultContext) -> Iterator[Fault]:
    """Yield the faults of one wire with its two crimps and the joints they land on."""
    drop_v = context.limit("wire_drop_v")
    ends = f"{wire.start} to {wire.end}"
    words = Words(
        f"wire {wire.name}, {_colour(wire)}{ends}, through {', '.join(wire.route)}; its crimps, "
        "and the joints at both ends",
        f"make the crimps of {wire.name} again, or lay a new wire of {wire.gauge}",
        f"with its load on, less than {drop_v:g} V from {wire.start} to {wire.end}",
    )
    yield from poor_joint(wire.name, wire.name, words)
    if not _on_metal(wire, context):
        metal = context.frame_at(wire.route)
        words = Words(
            f"along wire {wire.name}, {_colour(wire)}{ends}: where it passes an edge or a hinge",
            f"replace {wire.name}, lead it clear of metal, put on a sleeve; then a new fuse of the "
            "rating in the file",
            f"key off, both ends of {wire.name} off: no path from it to the frame",
        )
        joined = Joined(str(wire.end), metal, SHORT_OHM)
        yield words.fault(
            f"{wire.name} short to frame", wire.name, SHORT_TO_FRAME, joined, other=metal
        )


def _on_metal(wire: Wire, context: FaultContext) -> bool:
    """Whether it lands on the frame or on battery minus, so that metal beside it is nothing new."""
    parts = context.harness.parts
    for end in (wire.start, wire.end):
        part = parts[end.part]
        if isinstance(part, METAL) or (isinstance(part, Battery) and end.name == "-"):
            return True
    return False


def _colour(wire: Wire) -> str:
    return f"{'/'.join(wire.colour)}, " if wire.colour else ""


def pairs(context: FaultContext) -> Iterator[Fault]:
    """Yield pairs of wires shorted together: on one connector half, in one cable or one zone.

    Wires that meet at a terminal are the same net; of all pairs between two nets one is told. Of
    more than MANY_WIRES, those that only share a zone count where they are NEIGHBOURS in the file.
    """
    wires = tuple(context.harness.wires.values())
    net = _nets(wires)
    told: set[frozenset[str]] = set()
    for first, second in _candidates(wires, context):
        nets = frozenset((net[str(first.start)], net[str(second.start)]))
        where = _beside(first, second, context) if len(nets) > 1 and nets not in told else None
        if where is not None:
            told.add(nets)
            yield _shorted(first, second, *where)


def _candidates(wires: tuple[Wire, ...], context: FaultContext) -> Iterator[tuple[Wire, Wire]]:
    """Yield the pairs that may lie side by side, in file order."""
    if len(wires) <= MANY_WIRES:
        yield from itertools.combinations(wires, 2)
        return
    groups: dict[str, list[int]] = {}
    for k, wire in enumerate(wires):
        if wire.cable is not None:
            groups.setdefault(f"cable {wire.cable}", []).append(k)
        for end in (wire.start, wire.end):
            if isinstance(context.harness.parts[end.part], Connector):
                half = end.name.partition(".")[0]
                groups.setdefault(f"half {end.part}.{half}", []).append(k)
    close = {(k, k + step) for step in range(1, NEIGHBOURS + 1) for k in range(len(wires) - step)}
    for group in groups.values():
        close.update(itertools.combinations(sorted(set(group)), 2))
    for first, second in sorted(close):
        yield wires[first], wires[second]


def _shorted(first: Wire, second: Wire, ends: tuple[str, str], where: str) -> Fault:
    words = Words(
        where,
        f"part {first.name} and {second.name}, replace what is damaged, put on a sleeve",
        f"key off, {first.name} and {second.name} off at one end: no path between them",
    )
    joined = Joined(*ends, SHORT_OHM)
    name = f"{first.name} and {second.name} shorted together"
    return words.fault(name, first.name, SHORT_TO_WIRE, joined, other=second.name)


def _nets(wires: tuple[Wire, ...]) -> dict[str, str]:
    """Return for each terminal one that stands for all those which wires join to it."""
    parent: dict[str, str] = {}

    def root(name: str) -> str:
        while parent.setdefault(name, name) != name:
            parent[name] = parent[parent[name]]
            name = parent[name]
        return name

    for wire in wires:
        parent[root(str(wire.start))] = root(str(wire.end))
    return {name: root(name) for name in list(parent)}


def _beside(first: Wire, second: Wire, context: FaultContext) -> tuple[tuple[str, str], str] | None:
    """Return the terminals nearest to where two wires lie side by side, and the place in words."""
    for one in (first.start, first.end):
        for other in (second.start, second.end):
            is_connector = isinstance(context.harness.parts[one.part], Connector)
            half = one.name.partition(".")[0]
            if is_connector and one.part == other.part and half == other.name.partition(".")[0]:
                return (str(one), str(other)), f"at {one.part}, {half} half, or along the wires"
    shared = [zone for zone in first.route if zone in second.route]
    if not shared:
        return None
    zone = shared[-1]
    ends = (_end_in(first, zone), _end_in(second, zone))
    return ends, f"where {first.name} and {second.name} lie together in {zone}"


def _end_in(wire: Wire, zone: str) -> str:
    return str(wire.end if wire.route[-1] == zone else wire.start)
