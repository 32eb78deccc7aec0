"""Switch handle and switch: the contacts that are closed in this position."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.circuit.branches.context import BranchContext
from circuitcheck.circuit.link import Link
from circuitcheck.circuit.netlist import Element
from circuitcheck.model.harness import Harness
from circuitcheck.model.switch import SwitchHandle


def branches(part: SwitchHandle, context: BranchContext) -> Iterator[Element]:
    """Yield each closed contact, named by its button; an open one only has its nodes."""
    seen: dict[str, int] = {}
    for contact in part.contacts:
        seen[contact.button] = seen.get(contact.button, 0) + 1
        suffix = f" {seen[contact.button]}" if seen[contact.button] > 1 else ""
        ends = (
            context.node(f"{part.name}.{contact.terminals[0]}"),
            context.node(f"{part.name}.{contact.terminals[1]}"),
        )
        if context.position.closes(part, contact):
            name = f"{part.name}/{contact.button}{suffix}"
            yield context.contact(name, "switch contact", part.name, ends, part.contact_ohm)


def links(part: SwitchHandle, harness: Harness) -> Iterator[Link]:
    """Yield the path through each contact, open or closed."""
    for contact in part.contacts:
        first, second = contact.terminals
        yield Link(f"{part.name}.{first}", f"{part.name}.{second}", part.name)
