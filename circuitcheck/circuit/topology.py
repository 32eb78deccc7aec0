"""What hangs on what, whatever the buttons do: feed side, return side, wires ahead of a fuse."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from circuitcheck.circuit.branches import part_links
from circuitcheck.circuit.link import Link
from circuitcheck.model.harness import Harness
from circuitcheck.model.solenoid_coil import SolenoidCoil

__all__ = ["Link", "Topology", "coil_sides", "reach", "read_topology", "wires_at"]


@dataclass(frozen=True)
class Topology:
    """Terminals by side, with every contact taken as closed and every coil left out.

    `feed` holds what battery plus reaches, `returned` what battery minus reaches, `unfused` what
    battery plus reaches without passing a fuse.
    """

    links: tuple[Link, ...]
    feed: frozenset[str]
    returned: frozenset[str]
    unfused: frozenset[str]

    def side_of(self, terminal: str) -> str:
        """Return `feed`, `return`, `both` or `neither` for a terminal."""
        on_feed, on_return = terminal in self.feed, terminal in self.returned
        if on_feed and on_return:
            return "both"
        return "feed" if on_feed else "return" if on_return else "neither"

    def ways_from(self, start: str) -> dict[str, tuple[str, ...]]:
        """Return for every terminal joined to `start` the owners passed on the shortest way."""
        neighbours: dict[str, list[tuple[str, str]]] = {}
        for link in self.links:
            neighbours.setdefault(link.start, []).append((link.end, link.owner))
            neighbours.setdefault(link.end, []).append((link.start, link.owner))
        ways: dict[str, tuple[str, ...]] = {start: ()}
        waiting = deque([start])
        while waiting:
            here = waiting.popleft()
            for there, owner in neighbours.get(here, ()):
                if there not in ways:
                    ways[there] = (*ways[here], owner)
                    waiting.append(there)
        return ways


def read_topology(harness: Harness) -> Topology:
    """Return the sides of the circuit of a harness."""
    links = tuple(_links(harness))
    plus, minus = f"{harness.battery.name}.+", f"{harness.battery.name}.-"
    return Topology(
        links,
        reach(links, plus, stop=minus),
        reach(links, minus, stop=plus),
        reach((link for link in links if not link.fuse), plus, stop=minus),
    )


def reach(links: Iterable[Link], start: str, *, stop: str = "") -> frozenset[str]:
    """Return all terminals that `start` is joined to, not looking past `stop`."""
    neighbours: dict[str, list[str]] = {}
    for link in links:
        neighbours.setdefault(link.start, []).append(link.end)
        neighbours.setdefault(link.end, []).append(link.start)
    found, waiting = {start}, [start]
    while waiting:
        here = waiting.pop()
        if here == stop:
            continue
        for there in neighbours.get(here, ()):
            if there not in found:
                found.add(there)
                waiting.append(there)
    return frozenset(found)


def _links(harness: Harness) -> Iterator[Link]:
    for wire in harness.wires.values():
        yield Link(str(wire.start), str(wire.end), wire.name)
    for part in harness.parts.values():
        yield from part_links(part, harness)


def wires_at(harness: Harness) -> dict[str, list[str]]:
    """Return the names of the wires that land on each terminal, in file order."""
    landed: dict[str, list[str]] = {}
    for wire in harness.wires.values():
        for end in (wire.start, wire.end):
            landed.setdefault(str(end), []).append(wire.name)
    return landed


def coil_sides(harness: Harness, topology: Topology) -> dict[str, tuple[str, str]]:
    """Return the side that each coil's terminals 1 and 2 lie on, by coil name."""
    return {
        coil.name: (
            topology.side_of(f"{coil.name}.1"),
            topology.side_of(f"{coil.name}.2"),
        )
        for coil in harness.of_kind(SolenoidCoil)
    }
