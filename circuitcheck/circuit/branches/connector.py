"""Connector: one mated pair per cavity, where a wire lands on either half."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.circuit.branches.context import BranchContext
from circuitcheck.circuit.link import Link
from circuitcheck.circuit.netlist import Element
from circuitcheck.model.connector import HALVES, Connector
from circuitcheck.model.harness import Harness


def branches(part: Connector, context: BranchContext) -> Iterator[Element]:
    """Yield the mated pair of each cavity in use."""
    for cavity in range(1, part.cavities + 1):
        names = [f"{part.name}.{half}.{cavity}" for half in HALVES]
        if any(name in context.landed for name in names):
            ends = (context.node(names[0]), context.node(names[1]))
            name = f"{part.name}/{cavity}"
            yield context.contact(name, "contact", part.name, ends, part.contact_ohm)


def links(part: Connector, harness: Harness) -> Iterator[Link]:
    """Yield the path from plug to receptacle in every cavity."""
    for cavity in range(1, part.cavities + 1):
        plug, receptacle = (f"{part.name}.{half}.{cavity}" for half in HALVES)
        yield Link(plug, receptacle, part.name)
