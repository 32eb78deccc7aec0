"""Frame and ground stud: bonds of metal to metal."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.circuit.branches.context import BranchContext
from circuitcheck.circuit.link import Link
from circuitcheck.circuit.netlist import Element
from circuitcheck.model.ground import Frame, GroundStud
from circuitcheck.model.harness import Harness


def branches(part: Frame | GroundStud, context: BranchContext) -> Iterator[Element]:
    """Yield the stud's seat on its frame, or each bond of a frame to another."""
    here = context.node(part.name)
    if isinstance(part, GroundStud):
        ends = (here, context.node(part.frame))
        yield context.contact(part.name, "bond", part.name, ends, part.bond_ohm)
        return
    for bond in part.bonds:
        name = f"{part.name}/bond to {bond.to}"
        ends = (here, context.node(bond.to))
        yield context.contact(name, "bond", part.name, ends, bond.resistance_ohm)


def links(part: Frame | GroundStud, harness: Harness) -> Iterator[Link]:
    """Yield the path from stud to frame, or from frame to frame."""
    if isinstance(part, GroundStud):
        yield Link(part.name, part.frame, part.name)
        return
    for bond in part.bonds:
        yield Link(part.name, bond.to, part.name)
