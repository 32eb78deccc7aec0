"""A coil whose second end is its own body, seated on a frame."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.circuit.branches.context import BranchContext
from circuitcheck.circuit.link import Link
from circuitcheck.circuit.netlist import Element
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil


def body_branches(
    part: SolenoidCoil | Relay, end: str, context: BranchContext
) -> Iterator[Element]:
    """Yield the seat of the body, which is the coil's terminal `end`, on its frame."""
    if part.body_frame is not None and part.body_ohm is not None:
        ends = (context.node(f"{part.name}.{end}"), context.node(part.body_frame))
        yield context.contact(f"{part.name}/body", "bond", part.name, ends, part.body_ohm)


def body_links(part: SolenoidCoil | Relay, end: str) -> Iterator[Link]:
    """Yield the path from the body to its frame."""
    if part.body_frame is not None:
        yield Link(f"{part.name}.{end}", part.body_frame, part.name)
