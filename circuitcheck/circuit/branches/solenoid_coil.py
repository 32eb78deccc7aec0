"""Solenoid coil: its winding and what suppresses it."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.circuit.branches.coil_body import body_branches, body_links
from circuitcheck.circuit.branches.context import BranchContext
from circuitcheck.circuit.branches.suppression import suppression_branches
from circuitcheck.circuit.link import Link
from circuitcheck.circuit.netlist import Element
from circuitcheck.model.harness import Harness
from circuitcheck.model.solenoid_coil import SolenoidCoil


def branches(part: SolenoidCoil, context: BranchContext) -> Iterator[Element]:
    """Yield the winding from 1 to 2, what suppresses it, and its body's seat on a frame."""
    ends = (context.node(f"{part.name}.1"), context.node(f"{part.name}.2"))
    yield context.winding(
        part.name, part.name, ends, part.resistance_20c_ohm, part.temperature_limit_c
    )
    yield from suppression_branches(part.suppression, part.name, ("1", "2"), context)
    yield from body_branches(part, "2", context)


def links(part: SolenoidCoil, harness: Harness) -> Iterator[Link]:
    """Yield the path from its body to the frame, if any: the winding itself is a load."""
    yield from body_links(part, "2")
