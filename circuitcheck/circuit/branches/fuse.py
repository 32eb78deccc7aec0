"""Fuse: its element and two clips of the holder in series."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.circuit.branches.context import BranchContext
from circuitcheck.circuit.link import Link
from circuitcheck.circuit.netlist import Element
from circuitcheck.model.fuse import Fuse
from circuitcheck.model.harness import Harness


def branches(part: Fuse, context: BranchContext) -> Iterator[Element]:
    """Yield one branch from line to load."""
    ends = (context.node(f"{part.name}.line"), context.node(f"{part.name}.load"))
    resistance = part.element_ohm.plus(part.clip_ohm).plus(part.clip_ohm)
    yield context.contact(part.name, "fuse", part.name, ends, resistance)


def links(part: Fuse, harness: Harness) -> Iterator[Link]:
    """Yield the path through the element, which opens on too much current."""
    yield Link(f"{part.name}.line", f"{part.name}.load", part.name, fuse=True)
