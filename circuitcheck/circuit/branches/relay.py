"""Relay and contactor: the coil with what suppresses it, and the contacts that are closed."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.circuit.branches.coil_body import body_branches, body_links
from circuitcheck.circuit.branches.context import BranchContext
from circuitcheck.circuit.branches.suppression import suppression_branches
from circuitcheck.circuit.link import Link
from circuitcheck.circuit.netlist import Element
from circuitcheck.model.harness import Harness
from circuitcheck.model.relay import Relay


def branches(part: Relay, context: BranchContext) -> Iterator[Element]:
    """Yield the winding, its suppressor and body, then each contact closed in this state."""
    first, second = part.coil_terminals
    ends = (context.node(f"{part.name}.{first}"), context.node(f"{part.name}.{second}"))
    yield context.winding(
        part.name,
        part.name,
        ends,
        part.resistance_20c_ohm,
        part.temperature_limit_c,
        role="relay coil",
    )
    yield from suppression_branches(part.suppression, part.name, part.coil_terminals, context)
    yield from body_branches(part, second, context)
    operated = part.name in context.position.energised_relays
    for side in part.contact_sides:
        common, other = (context.node(f"{part.name}.{terminal}") for terminal in side.terminals)
        if side.closed(operated):
            name = f"{part.name}/{side.side}"
            pair = (common, other)
            yield context.contact(name, "relay contact", part.name, pair, side.resistance_ohm)


def links(part: Relay, harness: Harness) -> Iterator[Link]:
    """Yield the path through each contact, open or closed, and from body to frame."""
    for side in part.contact_sides:
        common, other = (f"{part.name}.{terminal}" for terminal in side.terminals)
        yield Link(common, other, part.name)
    yield from body_links(part, part.coil_terminals[1])
