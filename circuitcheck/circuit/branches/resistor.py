"""Resistor: one branch; before a load it is part of the line, across one it is a load."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.circuit.branches.context import BranchContext
from circuitcheck.circuit.link import Link
from circuitcheck.circuit.netlist import Element
from circuitcheck.model.harness import Harness
from circuitcheck.model.resistor import Resistor


def branches(part: Resistor, context: BranchContext) -> Iterator[Element]:
    """Yield the resistor."""
    ends = (context.node(f"{part.name}.1"), context.node(f"{part.name}.2"))
    role = "line resistor" if part.name in context.in_line else "resistor"
    yield context.contact(part.name, role, part.name, ends, part.resistance_ohm)


def links(part: Resistor, harness: Harness) -> Iterator[Link]:
    """Yield nothing: whether it is a path hangs on all others (`Topology.in_line`)."""
    yield from ()
