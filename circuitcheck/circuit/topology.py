"""What hangs on what, whatever the buttons do: feed side, return side, wires ahead of a fuse."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator

from circuitcheck.circuit.branches import part_links
from circuitcheck.circuit.link import Link
from circuitcheck.model.diode import Diode
from circuitcheck.model.harness import Harness, Part
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.resistor import Resistor
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.record import record

__all__ = [
    "Link",
    "LoadEnds",
    "Topology",
    "coil_sides",
    "load_ends",
    "reach",
    "read_topology",
    "wires_at",
]


@record
class Topology:
    """Terminals by side, with every contact taken as closed and every coil left out.

    `feed` holds what battery plus reaches, `returned` what battery minus reaches, `unfused` what
    battery plus reaches without passing a fuse. `in_line` names the resistors and diodes that
    lead on to something; those across a load or across a contact are no links.
    """

    links: tuple[Link, ...]
    feed: frozenset[str]
    returned: frozenset[str]
    unfused: frozenset[str]
    in_line: frozenset[str] = frozenset()

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
    added = _in_line(harness, links)
    links = (*links, *added)
    plus, minus = f"{harness.battery.name}.+", f"{harness.battery.name}.-"
    return Topology(
        links,
        reach(links, plus, stop=minus),
        reach(links, minus, stop=plus),
        reach((link for link in links if not link.fuse), plus, stop=minus),
        frozenset(link.owner for link in added),
    )


def _in_line(harness: Harness, links: tuple[Link, ...]) -> tuple[Link, ...]:
    """Return the links through resistors and diodes with an end that nothing else leads to.

    One that lies across a load, or across a contact, joins two places that are led to anyway: as
    a link it would be a short circuit, or a contact that never opens. One after another is
    taken in until no more is found, for several may lie in series.
    """
    plus, minus = f"{harness.battery.name}.+", f"{harness.battery.name}.-"
    parts: tuple[Resistor | Diode, ...] = (*harness.of_kind(Resistor), *harness.of_kind(Diode))
    waiting = []
    for part in parts:
        start, end = (f"{part.name}.{terminal}" for terminal in part.terminals)
        waiting.append(Link(start, end, part.name))
    added: list[Link] = []
    while waiting:
        now = (*links, *added)
        led_to = reach(now, plus, stop=minus) | reach(now, minus, stop=plus)
        found = [link for link in waiting if (link.start in led_to) != (link.end in led_to)]
        if not found:
            break
        added += found
        waiting = [link for link in waiting if link not in found]
    return tuple(added)


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


@record
class LoadEnds:
    """A winding or indicator and the two terminals it lies between, in words `coil VL`.

    `wired` are those of the two on which a wire can land; an indicator may lie across a contact.
    """

    part: str
    words: str
    ends: tuple[str, str]
    wired: tuple[str, ...]
    indicator: bool = False


def load_ends(harness: Harness) -> Iterator[LoadEnds]:
    """Yield every winding, lamp and LED, in file order."""
    for part in harness.parts.values():
        for words, pair in _loads_of(part):
            first, second = (f"{part.name}.{terminal}" for terminal in pair)
            wired = tuple(f"{part.name}.{end}" for end in pair if end in part.terminals)
            indicator = isinstance(part, IndicatorLamp | LedIndicator)
            yield LoadEnds(part.name, words, (first, second), wired, indicator)


def _loads_of(part: Part) -> Iterator[tuple[str, tuple[str, str]]]:
    if isinstance(part, SolenoidCoil):
        yield f"coil {part.name}", ("1", "2")
    elif isinstance(part, Relay):
        yield f"the coil of {part.kind} {part.name}", part.coil_terminals
    elif isinstance(part, PullHoldCoil):
        yield f"the hold winding of {part.name}", ("hold", "common")
        yield f"the pull winding of {part.name}", (part.pull_terminal, "common")
    elif isinstance(part, IndicatorLamp | LedIndicator):
        yield f"{part.kind} {part.name}", ("1", "2")


def coil_sides(harness: Harness, topology: Topology) -> dict[str, tuple[str, str]]:
    """Return the side that each coil's terminals 1 and 2 lie on, by coil name."""
    return {
        coil.name: (
            topology.side_of(f"{coil.name}.1"),
            topology.side_of(f"{coil.name}.2"),
        )
        for coil in harness.of_kind(SolenoidCoil)
    }
